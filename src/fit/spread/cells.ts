import { flattenPath, isInside, polygonAreaMm2 } from '../../geometry/measure.ts';
import {
  chainMotions,
  mover,
  offsetFromLineMm,
  type RigidMotion,
  undoMotion,
} from '../../geometry/motion.ts';
import type { Path } from '../../geometry/path.ts';
import type { Place } from '../../geometry/place.ts';
import { segmentVelocity } from '../../geometry/segment.ts';
import { segmentOf, segmentStart } from '../../geometry/place.ts';
import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import { splitPath } from '../../geometry/split-path.ts';
import { dot, minus, plus, quarterLeft, directionOf, times } from '../../geometry/vector.ts';
import { type Chord, turnAbout } from './slash.ts';

const STILL: RigidMotion = { mirrored: false, angleRad: 0, shift: { x: 0, y: 0 } };
const CELL_TOLERANCE_MM = 0.02;

/** A part of the piece between the slashes, which moves as one. */
export interface Cell {
  readonly polygon: readonly PlanePoint[];
  readonly motion: RigidMotion;
}

/** A piece cut into cells along its chords. */
export interface CutPiece {
  readonly chords: readonly Chord[];
  readonly cells: readonly Cell[];
  /** Cell of the outline's part that begins at the chord end with this index (ends in outline order). */
  readonly ends: readonly OutlineEnd[];
}

/** Where the outline passes from one cell into the next. */
export interface OutlineEnd {
  readonly place: Place;
  readonly chord: Chord;
  readonly cellBefore: number;
  readonly cellAfter: number;
}

/** True when two chords pass through each other, or share more than an end. */
export function chordsCross(a: Chord, b: Chord): boolean {
  const sides = (line: Chord, other: Chord) => [
    offsetFromLineMm(line.line, other.from),
    offsetFromLineMm(line.line, other.to),
  ];
  const [a1, a2] = sides(a, b);
  const [b1, b2] = sides(b, a);
  return a1! * a2! <= 0 && b1! * b2! <= 0;
}

interface End {
  readonly place: Place;
  readonly chord: number;
}

/** Chord ends in the order in which the outline meets them. */
function endsInOrder(chords: readonly Chord[]): End[] {
  const ends = chords.flatMap((chord, index) => chord.ends.map((place) => ({ place, chord: index })));
  return ends.sort((a, b) => a.place.segment - b.place.segment || a.place.t - b.place.t);
}

/** Joins arcs into cells: what lies before a chord's one end and after its other end lies on the same side of it. */
function cellOfEachArc(ends: readonly End[], chordCount: number): number[] {
  const parent = ends.map((_, i) => i);
  const rootOf = (i: number): number => (parent[i] === i ? i : rootOf(parent[i]!));
  const before = (end: number) => (end + ends.length - 1) % ends.length;
  for (let chord = 0; chord < chordCount; chord++) {
    const [first, second] = ends.flatMap((end, i) => (end.chord === chord ? [i] : []));
    parent[rootOf(first!)] = rootOf(before(second!));
    parent[rootOf(second!)] = rootOf(before(first!));
  }
  const roots = ends.map((_, i) => rootOf(i));
  const order = [...new Set(roots)];
  return roots.map((root) => order.indexOf(root));
}

/** Cuts the inside of a closed outline along chords that do not cross each other, and opens it there. */
export function cutPiece(outline: Path, chords: readonly Chord[]): CutPiece {
  const ends = endsInOrder(chords);
  const arcs = splitPath(
    outline,
    ends.map(({ place }) => place),
  );
  const cellOfArc = cellOfEachArc(ends, chords.length);
  const polygons: PlanePoint[][] = Array.from({ length: chords.length + 1 }, () => []);
  arcs.forEach((arc, i) => polygons[cellOfArc[i]!]!.push(...flattenPath(arc, CELL_TOLERANCE_MM)));
  const outlineEnds = ends.map(({ place, chord }, i) => ({
    place,
    chord: chords[chord]!,
    cellBefore: cellOfArc[(i + ends.length - 1) % ends.length]!,
    cellAfter: cellOfArc[i]!,
  }));
  const motions = motionsOf(outline, outlineEnds, polygons.length);
  const settled = settle(polygons, motions);
  return {
    chords,
    ends: outlineEnds,
    cells: polygons.map((polygon, i) => ({ polygon, motion: settled[i]! })),
  };
}

/** True when the outline passes to the left of the chord at this end. */
function goesLeft(outline: Path, { place, chord }: OutlineEnd): boolean {
  const velocity = segmentVelocity(
    segmentStart(outline, place.segment),
    segmentOf(outline, place.segment),
    place.t,
  );
  return dot(velocity, quarterLeft(directionOf(chord.line.angleRad))) > 0;
}

/** Each cell's motion against the first one's: a chain of openings from cell to cell. */
function motionsOf(outline: Path, ends: readonly OutlineEnd[], cellCount: number): RigidMotion[] {
  const motions: (RigidMotion | undefined)[] = Array.from({ length: cellCount }, () => undefined);
  motions[0] = STILL;
  for (let round = 0; round < cellCount; round++) {
    for (const end of ends) {
      const before = motions[end.cellBefore];
      if (!before || motions[end.cellAfter]) continue;
      const { step } = end.chord;
      const here = goesLeft(outline, end) ? step : undoMotion(step);
      motions[end.cellAfter] = chainMotions(here, before);
    }
  }
  return motions.map((motion) => motion ?? STILL);
}

function centroidOf(polygon: readonly PlanePoint[]): PlanePoint {
  // Measured from a point of the polygon, so that places far from the origin keep their figures.
  const origin = polygon[0]!;
  let [twice, x, y] = [0, 0, 0];
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const [a, b] = [minus(polygon[j]!, origin), minus(polygon[i]!, origin)];
    const cross = a.x * b.y - b.x * a.y;
    twice += cross;
    x += (a.x + b.x) * cross;
    y += (a.y + b.y) * cross;
  }
  if (twice === 0) return origin;
  return { x: origin.x + x / (3 * twice), y: origin.y + y / (3 * twice) };
}

/**
 * The same motions seen so that the piece as a whole neither moves nor turns: means weighted by area stay put, so a
 * fold axis with equal slashes on both sides of it stays the fold axis.
 */
function settle(polygons: readonly PlanePoint[][], motions: readonly RigidMotion[]): RigidMotion[] {
  const areas = polygons.map((polygon) => Math.abs(polygonAreaMm2(polygon)));
  const total = areas.reduce((sum, area) => sum + area, 0);
  if (!(total > 0)) return [...motions];
  const mean = (points: readonly PlanePoint[]) =>
    points.reduce((sum, point, i) => plus(sum, times(point, areas[i]! / total)), { x: 0, y: 0 });
  const centroids = polygons.map(centroidOf);
  const moved = mean(centroids.map((centroid, i) => mover(motions[i]!)(centroid)));
  const turnRad = motions.reduce((sum, { angleRad }, i) => sum + (angleRad * areas[i]!) / total, 0);
  const back = minus(mean(centroids), moved);
  const turn = turnAbout(moved, -turnRad);
  const settleAll: RigidMotion = { ...turn, shift: plus(turn.shift, back) };
  return motions.map((motion) => chainMotions(motion, settleAll));
}

function distanceToPolygonMm(point: PlanePoint, polygon: readonly PlanePoint[]): number {
  let nearest = Infinity;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const [a, b] = [polygon[j]!, polygon[i]!];
    const along = minus(b, a);
    const squared = dot(along, along);
    const t = squared > 0 ? Math.min(1, Math.max(0, dot(minus(point, a), along) / squared)) : 0;
    nearest = Math.min(nearest, distanceMm(point, plus(a, times(along, t))));
  }
  return nearest;
}

/** The cell that a point lies in, or the nearest one for a point beside the piece. */
export function cellAt({ cells }: Pick<CutPiece, 'cells'>, point: PlanePoint): number {
  const inside = cells.findIndex(({ polygon }) => isInside(point, polygon));
  if (inside >= 0) return inside;
  const gaps = cells.map(({ polygon }) => distanceToPolygonMm(point, polygon));
  return gaps.indexOf(Math.min(...gaps));
}

/** One motion for what moves as a whole: of the cells under its points the mean, turned about its own middle. */
export function meanMotion(cut: Pick<CutPiece, 'cells'>, points: readonly PlanePoint[]): RigidMotion {
  const motions = points.map((point) => cut.cells[cellAt(cut, point)]!.motion);
  const first = motions[0]!;
  if (motions.every((motion) => motion === first)) return first;
  const share = 1 / points.length;
  const middle = points.reduce((sum, point) => plus(sum, times(point, share)), { x: 0, y: 0 });
  const moved = motions.reduce((sum, motion) => plus(sum, times(mover(motion)(middle), share)), {
    x: 0,
    y: 0,
  });
  const angleRad = motions.reduce((sum, motion) => sum + motion.angleRad * share, 0);
  const turn = turnAbout(middle, angleRad);
  return { ...turn, shift: plus(turn.shift, minus(moved, middle)) };
}
