import { beforeAll, describe, expect, it } from 'vitest';
import { indexEdges } from '../../src/geometry/edge-index.ts';
import { flattenPath } from '../../src/geometry/measure.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { readPhotoFile } from '../../src/headless/read-photo.ts';
import { cleanHeld } from '../../src/trace/clean-stretch.ts';
import { liveWire, type WireEnds } from '../../src/trace/live-wire.ts';
import type { Raster } from '../../src/vision/raster.ts';
import { readTruth } from '../setup/truth.ts';
import { dense } from './outline-distance.ts';

/** Clicks a little off the edge, mm: about three pixels of this photo. */
const OFF: readonly PlanePoint[] = [
  { x: 0.6, y: -0.4 },
  { x: -0.5, y: 0.5 },
  { x: 0.3, y: 0.6 },
];

describe('the edge followed from click to click in a practice photo', () => {
  const truth = readTruth('brow-band');
  const piece = truth.pieces[0]!;
  const ring = dense(piece.outer, 0.5);
  const outline = indexEdges([{ points: piece.outer, closed: true }]);
  const offTruthMm = ({ x, y }: PlanePoint) => outline.nearest(x, y)!.distanceMm;
  /** A click beside the place at a share of the way round. */
  const click = (share: number, k: number): PlanePoint => {
    const { x, y } = ring[Math.floor(share * ring.length) % ring.length]!;
    const off = OFF[k % OFF.length]!;
    return { x: x + off.x, y: y + off.y };
  };
  let photo: Raster;
  const follow = (ends: WireEnds): readonly PlanePoint[] => {
    const outcome = liveWire(photo, truth.camera, piece.thicknessMm, ends);
    if (!outcome.ok) throw new Error(outcome.problem.message);
    return outcome.value;
  };

  beforeAll(async () => {
    ({ raster: photo } = await readPhotoFile(truth.photoFile));
  });

  it.each([0.03, 0.2, 0.37, 0.55, 0.71, 0.88])(
    'lies within 0.15 mm of the true outline, its ends on the edge, from %f of the way round',
    (share) => {
      const [from, to] = [click(share, 0), click(share + 0.08, 1)];
      expect(offTruthMm(from)).toBeGreaterThan(0.05);
      const edge = follow({
        from,
        to,
        holdsFrom: false,
        holdsTo: false,
      });
      const path = cleanHeld(edge, 0.15);
      const lengthOfWay = 0.08 * 0.5 * ring.length;
      expect(edge.length).toBeGreaterThan(lengthOfWay);
      expect(Math.max(...alongLine(flattenPath(path, 0.01)).map(offTruthMm))).toBeLessThan(0.15);
      expect(path.start).toEqual(edge[0]);
      expect(path.segments.at(-1)!.to).toEqual(edge.at(-1));
      expect(distanceMm(edge[0]!, from)).toBeLessThan(1.6);
      expect(distanceMm(edge.at(-1)!, to)).toBeLessThan(1.6);
    },
  );

  it('goes on just where the stretch before it ended, and comes back just to where the first began', () => {
    const ends = { from: ring[0]!, to: ring[100]!, holdsFrom: true, holdsTo: true };
    const edge = follow(ends);
    expect(edge[0]).toEqual(ends.from);
    expect(edge.at(-1)).toEqual(ends.to);
  });

  it('says that a place lies outside the photo, or behind the camera', () => {
    for (const to of [
      { x: -5000, y: 4000 },
      { x: 5000, y: 4100 },
    ]) {
      const outcome = liveWire(photo, truth.camera, piece.thicknessMm, {
        from: ring[0]!,
        to,
        holdsFrom: false,
        holdsTo: false,
      });
      expect(outcome).toMatchObject({ ok: false, problem: { code: 'outside-photo' } });
    }
  });

  it('is a point where both clicks are one', () => {
    const at = click(0.4, 0);
    const edge = follow({
      from: at,
      to: at,
      holdsFrom: false,
      holdsTo: false,
    });
    expect(edge.every((one) => offTruthMm(one) < 0.3)).toBe(true);
  });
});

/** Points along an open line. */
function alongLine(points: readonly PlanePoint[]): PlanePoint[] {
  return points.slice(1).flatMap((to, i) => {
    const from = points[i]!;
    const count = Math.max(1, Math.ceil(distanceMm(from, to) / 0.2));
    return Array.from({ length: count }, (_, k) => ({
      x: from.x + ((to.x - from.x) * (k + 1)) / count,
      y: from.y + ((to.y - from.y) * (k + 1)) / count,
    }));
  });
}
