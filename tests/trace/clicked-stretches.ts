import type { Camera } from '../../src/capture/camera.ts';
import { indexEdges } from '../../src/geometry/edge-index.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { liveWire } from '../../src/trace/live-wire.ts';
import type { Raster } from '../../src/vision/raster.ts';
import { seeded } from '../simulator/seeded.ts';

/** How a hand sets a click beside the edge it means, mm, one sigma in each direction. */
const HAND_MM = 0.35;
const STEP_MM = 0.25;
/** With fewer, another way round is no longer than the one meant. */
const LEAST_CLICKS = 4;

export interface ClickedStretch {
  readonly points: readonly PlanePoint[];
  /** Distance between the stretch and the truth between its clicks, looked for from both: 95th percentile, greatest. */
  readonly p95Mm: number;
  readonly maxMm: number;
}

/** Points round a ring, a step apart. */
function evenly(ring: readonly PlanePoint[]): PlanePoint[] {
  const round: PlanePoint[] = [];
  let next = 0;
  for (const [i, from] of ring.entries()) {
    const to = ring[(i + 1) % ring.length]!;
    const lengthMm = distanceMm(from, to);
    for (; next < lengthMm; next += STEP_MM) {
      const share = next / lengthMm;
      round.push({ x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) });
    }
    next -= lengthMm;
  }
  return round;
}

/** A ring followed from click to click as on the screen: each stretch begins where the one before ended. */
export function clickedStretches(
  photo: Raster,
  camera: Camera,
  zMm: number,
  ring: readonly PlanePoint[],
  apartMm: number,
  seed: number,
): ClickedStretch[] {
  const random = seeded(seed);
  const round = evenly(ring);
  const count = Math.max(LEAST_CLICKS, Math.round((round.length * STEP_MM) / apartMm));
  const begin = random.below(round.length);
  const places = Array.from({ length: count }, (_, k) => Math.round(begin + (k * round.length) / count));
  const clicks = places.map((k) => {
    const { x, y } = round[k % round.length]!;
    return { x: x + random.normal(HAND_MM), y: y + random.normal(HAND_MM) };
  });
  const truth = indexEdges([{ points: ring, closed: true }]);
  const found: ClickedStretch[] = [];
  for (let k = 0; k < count; k++) {
    const before = found[k - 1]?.points.at(-1);
    const isLast = k === count - 1;
    const outcome = liveWire(photo, camera, zMm, {
      from: before ?? clicks[0]!,
      to: isLast ? (found[0]?.points[0] ?? clicks[0]!) : clicks[k + 1]!,
      holdsFrom: before !== undefined,
      holdsTo: isLast,
    });
    if (!outcome.ok) throw new Error(outcome.problem.message);
    const points = outcome.value;
    const line = indexEdges([{ points, closed: false }]);
    const until = places[k + 1] ?? places[0]! + round.length;
    const own = Array.from({ length: until - places[k]! }, (_, i) => round[(places[k]! + i) % round.length]!);
    const inner = own.filter((at) => distanceMm(at, own[0]!) > 1.5 && distanceMm(at, own.at(-1)!) > 1.5);
    const offMm = [
      ...points.map(({ x, y }) => truth.nearest(x, y)!.distanceMm),
      ...inner.map(({ x, y }) => line.nearest(x, y)!.distanceMm),
    ].sort((a, b) => a - b);
    found.push({ points, p95Mm: offMm[Math.floor(0.95 * (offMm.length - 1))]!, maxMm: offMm.at(-1)! });
  }
  return found;
}
