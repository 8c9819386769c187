/** Four-sided shapes put together from straight edges: for cards whose print hides parts of their outline. */
import type { PixelPlace } from './polygon-mask.ts';
import { type EdgeField, type ReducedBox, type StraightEdge, straightEdges } from './straight-edges.ts';

export interface EdgeRectangle {
  /** Clockwise in the picture, reduced px. */
  readonly corners: readonly [PixelPlace, PixelPlace, PixelPlace, PixelPlace];
  /** Share of the four sides along which there is an edge, and of the worst side. */
  readonly coverage: number;
}

/** Shorter pieces of a line than this are texture, px. */
const LEAST_PIECE_PX = 5;
/** Only the clearest lines are combined. */
const MOST_LINES = 28;
/** Opposite sides converge by less than this, rad; neighbouring ones stand at least this far apart. */
const MOST_CONVERGENCE = 0.45;
const LEAST_CORNER = 0.8;
/** A line's pieces lie within this of it, px. */
const ONE_LINE_PX = 2;
/** An edge counts within this of a side, px, when it crosses the side at less than about 25 degrees off square. */
const NEAR_PX = 1;
const CROSSES = 0.9;
const LEAST_EDGE = 0.009;
const LEAST_SIDE_COVERAGE = 0.6;
/** Corners are rounded: this share of a side at either end does not count. */
const END_SHARE = 0.08;

interface Line {
  readonly at: PixelPlace;
  readonly du: number;
  readonly dv: number;
  /** Length of its edges times their steps of colour. */
  readonly weight: number;
}

/** Straight line through the ends of the edges, each weighing as its length (total least squares). */
function lineThrough(edges: readonly StraightEdge[]): Line {
  const ends = edges.flatMap(({ from, to, lengthPx }) => [
    { ...from, w: lengthPx },
    { ...to, w: lengthPx },
  ]);
  const whole = ends.reduce((sum, { w }) => sum + w, 0);
  const at = {
    u: ends.reduce((sum, { u, w }) => sum + w * u, 0) / whole,
    v: ends.reduce((sum, { v, w }) => sum + w * v, 0) / whole,
  };
  let [uu, vv, uv] = [0, 0, 0];
  for (const { u, v, w } of ends) {
    uu += w * (u - at.u) ** 2;
    vv += w * (v - at.v) ** 2;
    uv += w * (u - at.u) * (v - at.v);
  }
  const angle = 0.5 * Math.atan2(2 * uv, uu - vv);
  const weight = edges.reduce((sum, { lengthPx, step }) => sum + lengthPx * step, 0);
  return { at, du: Math.cos(angle), dv: Math.sin(angle), weight };
}

/** Lines of the edges, pieces of one line taken together; those that part colours most first. */
function linesOf(edges: readonly StraightEdge[]): Line[] {
  const groups: { line: Line; edges: StraightEdge[] }[] = [];
  for (const edge of edges) {
    const own = groups.find(({ line: { at, du, dv } }) =>
      [edge.from, edge.to].every(({ u, v }) => Math.abs((u - at.u) * dv - (v - at.v) * du) < ONE_LINE_PX),
    );
    if (!own) groups.push({ line: lineThrough([edge]), edges: [edge] });
    else {
      own.edges.push(edge);
      own.line = lineThrough(own.edges);
    }
  }
  return groups
    .map(({ line }) => line)
    .sort((a, b) => b.weight - a.weight)
    .slice(0, MOST_LINES);
}

/** Angle between two undirected lines, 0 .. pi/2. */
function angleBetween(a: Line, b: Line): number {
  return Math.abs(Math.atan2(a.du * b.dv - a.dv * b.du, Math.abs(a.du * b.du + a.dv * b.dv)));
}

function meet(a: Line, b: Line): PixelPlace {
  const cross = a.du * b.dv - a.dv * b.du;
  const s = ((b.at.u - a.at.u) * b.dv - (b.at.v - a.at.v) * b.du) / cross;
  return { u: a.at.u + s * a.du, v: a.at.v + s * a.dv };
}

/** Share of the way from p to q, its ends left out, along which an edge runs. */
function coverageOf({ width, height, strength, du, dv }: EdgeField, p: PixelPlace, q: PixelPlace): number {
  const length = Math.hypot(q.u - p.u, q.v - p.v);
  const [nu, nv] = [-(q.v - p.v) / length, (q.u - p.u) / length];
  const count = Math.max(8, Math.round((length * (1 - 2 * END_SHARE)) / 2));
  let seen = 0;
  for (let i = 0; i < count; i++) {
    const t = END_SHARE + ((1 - 2 * END_SHARE) * (i + 0.5)) / count;
    for (let d = -NEAR_PX; d <= NEAR_PX; d++) {
      const column = Math.round(p.u + t * (q.u - p.u) + d * nu);
      const row = Math.round(p.v + t * (q.v - p.v) + d * nv);
      if (column < 0 || row < 0 || column >= width || row >= height) continue;
      const at = row * width + column;
      if (strength[at]! > LEAST_EDGE && Math.abs(du[at]! * nu + dv[at]! * nv) > CROSSES) {
        seen++;
        break;
      }
    }
  }
  return seen / count;
}

/** Proportion of the mean lengths of opposite sides, 1 or more. */
function proportionOf([a, b, c, d]: EdgeRectangle['corners']): number {
  const side = (p: PixelPlace, q: PixelPlace): number => Math.hypot(q.u - p.u, q.v - p.v);
  const one = side(a, b) + side(c, d);
  const other = side(b, c) + side(d, a);
  return Math.max(one, other) / Math.min(one, other);
}

/** Two lines that may be opposite sides. */
type Pair = readonly [Line, Line];

function oppositePairs(lines: readonly Line[], leastPx: number): Pair[] {
  return lines.flatMap((a, i) =>
    lines.slice(i + 1).flatMap((b): Pair[] => {
      if (angleBetween(a, b) > MOST_CONVERGENCE) return [];
      const apart = Math.abs((b.at.u - a.at.u) * a.dv - (b.at.v - a.at.v) * a.du);
      return apart > leastPx ? [[a, b]] : [];
    }),
  );
}

function cornersOf([a, b]: Pair, [c, d]: Pair): EdgeRectangle['corners'] | undefined {
  if (Math.min(angleBetween(a, c), angleBetween(a, d), angleBetween(b, c), angleBetween(b, d)) < LEAST_CORNER)
    return undefined;
  const [p, q, r, s] = [meet(a, c), meet(a, d), meet(b, d), meet(b, c)];
  const turn = (x: PixelPlace, y: PixelPlace, z: PixelPlace): number =>
    (y.u - x.u) * (z.v - y.v) - (y.v - x.v) * (z.u - y.u);
  const turns = [turn(p, q, r), turn(q, r, s), turn(r, s, p), turn(s, p, q)];
  if (turns.every((value) => value > 0)) return [p, q, r, s];
  return turns.every((value) => value < 0) ? [p, s, r, q] : undefined;
}

/**
 * Four-sided shapes in a box whose sides all run along edges, best covered first. `proportion` bounds the long sides
 * over the short ones as they appear; `leastPx` is the shortest side that is looked for.
 */
export function edgeRectangles(
  field: EdgeField,
  box: ReducedBox,
  proportion: readonly [number, number],
  leastPx: number,
): EdgeRectangle[] {
  const lines = linesOf(straightEdges(field, box, LEAST_PIECE_PX));
  const pairs = oppositePairs(lines, leastPx);
  const inBox = ({ u, v }: PixelPlace): boolean =>
    u >= box.minU && u <= box.maxU && v >= box.minV && v <= box.maxV;
  const found: EdgeRectangle[] = [];
  for (const [i, one] of pairs.entries()) {
    for (const other of pairs.slice(i + 1)) {
      const corners = cornersOf(one, other);
      if (!corners?.every(inBox)) continue;
      const shown = proportionOf(corners);
      if (shown < proportion[0] || shown > proportion[1]) continue;
      const sides = corners.map((p, k) => coverageOf(field, p, corners[(k + 1) % 4]!));
      if (Math.min(...sides) < LEAST_SIDE_COVERAGE) continue;
      found.push({ corners, coverage: sides.reduce((sum, share) => sum + share, 0) / 4 });
    }
  }
  return found.sort((a, b) => b.coverage - a.coverage);
}
