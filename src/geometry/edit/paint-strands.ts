import { indexEdges } from '../edge-index.ts';
import type { PieceLine } from '../line-kinds.ts';
import { flattenPath, pathAreaMm2, polylineLengthMm } from '../measure.ts';
import { type Path, reversePath } from '../path.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { subPath } from '../split-path.ts';
import { type Brush, ringBetween } from './brush.ts';
import { type Coverage, coverageOf, type Crossing } from './brush-crossings.ts';

/** Whether foam is added under the brush or taken away. */
export type Paint = 'in' | 'out';

/** A closed edge of the foam, which lies on its left, and where it passes under the brush. */
export interface Strand extends Coverage {
  readonly line: PieceLine;
  readonly path: Path;
}

/** Cut lines and openings bound the foam; the other kinds are drawn on it. */
export const boundsFoam = ({ kind, path }: PieceLine) =>
  path.closed && (kind === 'cut' || kind === 'cutout') && path.segments.length > 0;

function foamOnLeft({ kind, path }: PieceLine): Path {
  return pathAreaMm2(path) >= 0 === (kind === 'cut') ? path : reversePath(path);
}

/** The edges of the foam with their crossings, or undefined where these make no sense together. */
export function strandsUnder(lines: readonly PieceLine[], brush: Brush, paint: Paint): Strand[] | undefined {
  const strands = lines.filter(boundsFoam).map((line): Strand => {
    const path = foamOnLeft(line);
    return { line, path, ...coverageOf(path, brush, paint === 'in' ? 'right' : 'left') };
  });
  const settled = withoutIdlePairs(strands, brush, paint === 'out');
  return brush.rings.every((_, ring) => takesTurns(onRing(settled, ring))) ? settled : undefined;
}

/** The crossings on a ring of the brush, in its order. */
export function onRing(strands: readonly Strand[], ring: number): Crossing[] {
  return strands
    .flatMap(({ crossings }) => crossings.filter((crossing) => crossing.ring === ring))
    .sort((a, b) => a.alongMm - b.alongMm);
}

const takesTurns = (crossings: readonly Crossing[]) =>
  crossings.every(({ enters }, i) => enters !== crossings[(i + 1) % crossings.length]!.enters);

/** The neighbour of a crossing on its ring, in the direction that the new edge runs. */
export function nextOnRing(crossings: readonly Crossing[], crossing: Crossing, isBack: boolean): Crossing {
  const at = crossings.indexOf(crossing) + (isBack ? -1 : 1);
  return crossings[(at + crossings.length) % crossings.length]!;
}

/** Between the ends of such a pair line and brush run this close together, mm, and no farther than this. */
const HUG_MM = 0.04;
const LONGEST_HUG_MM = 5;
/** Foam and brush that only touch do so for no longer than this, mm. */
const LONGEST_KISS_MM = 1;
/** Lines are flattened this finely to be compared, mm. */
const FLAT_MM = 0.005;

/** Drops neighbouring crossings between which the brush's edge would only take the place of a line just like it. */
function withoutIdlePairs(strands: readonly Strand[], brush: Brush, isBack: boolean): Strand[] {
  let settled = [...strands];
  for (let pair = idlePair(settled, brush, isBack); pair; pair = idlePair(settled, brush, isBack)) {
    const { strand, a, b } = pair;
    const crossings = strand.crossings.filter((one) => one !== a && one !== b);
    // What is left of the line is as it was before the first of them.
    const isCovered = crossings.length === 0 ? !a.enters : strand.isCovered;
    settled = settled.map((one) => (one === strand ? { ...strand, crossings, isCovered } : one));
  }
  return settled;
}

interface Pair {
  readonly strand: Strand;
  readonly a: Crossing;
  readonly b: Crossing;
}

function idlePair(strands: readonly Strand[], brush: Brush, isBack: boolean): Pair | undefined {
  const rings = brush.rings.map((_, ring) => onRing(strands, ring));
  for (const strand of strands) {
    const { crossings } = strand;
    for (const [i, a] of crossings.entries()) {
      const b = crossings[(i + 1) % crossings.length]!;
      if (a.ring !== b.ring || distanceMm(a.at, b.at) > LONGEST_HUG_MM) continue;
      const [ahead, against] = [isBack, !isBack].map((back) =>
        nextOnRing(rings[a.ring]!, a, back) === b ? edgeBetween(brush, a, b, back) : undefined,
      );
      if (!ahead && !against) continue;
      const stretch = stretchBetween(strand.path, a, b, i + 1 === crossings.length);
      const isIdle =
        (a.enters && ahead && hug(stretch, ahead)) ||
        [ahead, against].some((edge) => edge && kiss(stretch, edge, brush));
      if (isIdle) return { strand, a, b };
    }
  }
  return undefined;
}

/** The line from one crossing to the next; undefined when both are one place. `isRound`: past the last to the first. */
export function partBetween(path: Path, a: Crossing, b: Crossing, isRound: boolean): Path | undefined {
  const way = b.station - a.station + (isRound ? path.segments.length : 0);
  return way <= 0 ? undefined : subPath(path, a.place, b.place);
}

function stretchBetween(path: Path, a: Crossing, b: Crossing, isRound: boolean): PlanePoint[] {
  const part = partBetween(path, a, b, isRound);
  return part ? flattenPath(part, FLAT_MM) : [a.at];
}

/** The brush's edge between crossings, from one exact place to the other. */
export function edgeBetween(brush: Brush, a: Crossing, b: Crossing, isBack: boolean): PlanePoint[] {
  const ring = brush.rings[a.ring]!;
  return [a.at, ...ringBetween(ring, a.alongMm, b.alongMm, isBack), b.at];
}

function hug(one: readonly PlanePoint[], other: readonly PlanePoint[]): boolean {
  if (longerMm(one, other) > LONGEST_HUG_MM) return false;
  const isNear = (points: readonly PlanePoint[], to: readonly PlanePoint[]) => {
    const index = indexEdges([{ points: to, closed: false }]);
    return points.every(({ x, y }) => index.nearest(x, y, HUG_MM) !== undefined);
  };
  return isNear(one, other) && isNear(other, one);
}

/** Where line and brush's edge only touch, whichever way each of them runs. */
const kiss = (stretch: readonly PlanePoint[], edge: readonly PlanePoint[], brush: Brush) =>
  longerMm(stretch, edge) <= LONGEST_KISS_MM &&
  stretch.every((point) => Math.abs(brush.clearanceMm(point)) <= HUG_MM);

const longerMm = (...lines: readonly (readonly PlanePoint[])[]) =>
  Math.max(...lines.map((points) => polylineLengthMm(points, false)));
