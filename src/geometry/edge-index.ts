import type { PlanePoint } from './point.ts';

/** Points in order, mm; a closed polyline does not repeat its first point. */
export interface Polyline {
  readonly points: readonly PlanePoint[];
  readonly closed: boolean;
}

/** A reading of the edge index. The same object is reused by the next query, so copy what is kept. */
export interface NearestEdge {
  /** Which of the indexed polylines. */
  line: number;
  /** The edge runs from point `edge` of that polyline to the next one. */
  edge: number;
  /** 0..1 along the edge. */
  u: number;
  x: number;
  y: number;
  distanceMm: number;
}

/** Polylines sorted into a grid, for thousands of nearest-point queries. */
export interface EdgeIndex {
  readonly lines: readonly Polyline[];
  /** The nearest point on any of the polylines, or undefined when none lies closer than `withinMm`. */
  nearest(x: number, y: number, withinMm?: number): NearestEdge | undefined;
}

/**
 * The grid has about this many cells across per square root of the edges, within the limits: queries far
 * from the lines then walk few cells, and near ones test few edges.
 */
const CELLS_PER_ROOT = 1.5;
const FEWEST_CELLS = 8;
const MOST_CELLS = 96;

/** Edges as flat arrays: (ax, ay) to (bx, by), and where each came from. */
interface Edges {
  readonly count: number;
  readonly ax: Float64Array;
  readonly ay: Float64Array;
  readonly bx: Float64Array;
  readonly by: Float64Array;
  readonly line: Int32Array;
  readonly edge: Int32Array;
}

interface Frame {
  readonly minX: number;
  readonly minY: number;
  readonly cellMm: number;
  readonly columns: number;
  readonly rows: number;
}

interface Grid extends Frame {
  /** Edges of cell c are order[starts[c] .. starts[c + 1]). */
  readonly starts: Int32Array;
  readonly order: Int32Array;
}

/** A polyline of one point is kept as one edge of no length. */
function edgeCount({ points, closed }: Polyline): number {
  return closed || points.length === 1 ? points.length : points.length - 1;
}

function gatherEdges(lines: readonly Polyline[]): Edges {
  const count = lines.reduce((sum, line) => sum + edgeCount(line), 0);
  const [ax, ay, bx, by] = Array.from({ length: 4 }, () => new Float64Array(count)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  const edges = { count, ax, ay, bx, by, line: new Int32Array(count), edge: new Int32Array(count) };
  let k = 0;
  for (const [line, polyline] of lines.entries()) {
    for (let edge = 0; edge < edgeCount(polyline); edge++, k++) {
      const a = polyline.points[edge]!;
      const b = polyline.points[(edge + 1) % polyline.points.length]!;
      [ax[k], ay[k], bx[k], by[k], edges.line[k], edges.edge[k]] = [a.x, a.y, b.x, b.y, line, edge];
    }
  }
  return edges;
}

function frameOf(lines: readonly Polyline[], edges: number): Frame {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { points } of lines) {
    for (const { x, y } of points) {
      minX = Math.min(minX, x);
      maxX = Math.max(maxX, x);
      minY = Math.min(minY, y);
      maxY = Math.max(maxY, y);
    }
  }
  const size = Math.max(maxX - minX, maxY - minY);
  const across = Math.min(MOST_CELLS, Math.max(FEWEST_CELLS, Math.ceil(CELLS_PER_ROOT * Math.sqrt(edges))));
  // One cell serves points that coincide, or lie so close that their distance cannot be divided.
  const cellMm = size / across || 1;
  const columns = Math.floor((maxX - minX) / cellMm) + 1;
  const rows = Math.floor((maxY - minY) / cellMm) + 1;
  return { minX, minY, cellMm, columns, rows };
}

const clamp = (value: number, last: number) => (value < 0 ? 0 : value > last ? last : Math.floor(value));

/** Calls `visit` for the cells that edge k passes, row by row. */
function eachCell(frame: Frame, { ax, ay, bx, by }: Edges, k: number, visit: (cell: number) => void): void {
  const { minX, minY, cellMm, columns, rows } = frame;
  const upwards = ay[k]! <= by[k]!;
  const [lowX, lowY] = upwards ? [ax[k]!, ay[k]!] : [bx[k]!, by[k]!];
  const [highX, highY] = upwards ? [bx[k]!, by[k]!] : [ax[k]!, ay[k]!];
  const firstRow = clamp((lowY - minY) / cellMm, rows - 1);
  const lastRow = clamp((highY - minY) / cellMm, rows - 1);
  const xAt = (y: number) => {
    const t = highY > lowY ? Math.min(1, Math.max(0, (y - lowY) / (highY - lowY))) : 0;
    return lowX + t * (highX - lowX);
  };
  for (let row = firstRow; row <= lastRow; row++) {
    const x0 = row === firstRow ? lowX : xAt(minY + row * cellMm);
    const x1 = row === lastRow ? highX : xAt(minY + (row + 1) * cellMm);
    const last = clamp((Math.max(x0, x1) - minX) / cellMm, columns - 1);
    for (let c = clamp((Math.min(x0, x1) - minX) / cellMm, columns - 1); c <= last; c++)
      visit(row * columns + c);
  }
}

function sortIntoGrid(frame: Frame, edges: Edges): Grid {
  const starts = new Int32Array(frame.columns * frame.rows + 1);
  for (let k = 0; k < edges.count; k++) eachCell(frame, edges, k, (cell) => starts[cell + 1]!++);
  for (let cell = 1; cell < starts.length; cell++) starts[cell]! += starts[cell - 1]!;
  const order = new Int32Array(starts[starts.length - 1]!);
  const next = starts.slice(0, -1);
  for (let k = 0; k < edges.count; k++) eachCell(frame, edges, k, (cell) => (order[next[cell]!++] = k));
  return { ...frame, starts, order };
}

/**
 * Least distance from a point (in the grid's frame) to any cell outside the square of rings below `ring`.
 * A side with no more cells beyond it does not count.
 */
function ringGap(x: number, y: number, column: number, row: number, ring: number, frame: Frame): number {
  if (ring === 0) return 0;
  const { cellMm, columns, rows } = frame;
  const left = column - ring < 0 ? Infinity : x - (column - ring + 1) * cellMm;
  const right = column + ring >= columns ? Infinity : (column + ring) * cellMm - x;
  const below = row - ring < 0 ? Infinity : y - (row - ring + 1) * cellMm;
  const above = row + ring >= rows ? Infinity : (row + ring) * cellMm - y;
  return Math.max(0, Math.min(left, right, below, above));
}

/**
 * Indexes polylines (mm) for nearest-point queries; answers are exact for the polylines.
 * Throws when there is no point at all.
 */
export function indexEdges(lines: readonly Polyline[]): EdgeIndex {
  const edges = gatherEdges(lines);
  if (edges.count === 0) throw new RangeError('cannot index polylines without points');
  const grid = sortIntoGrid(frameOf(lines, edges.count), edges);
  const found: NearestEdge = { line: -1, edge: -1, u: 0, x: 0, y: 0, distanceMm: Infinity };

  /** Keeps edge k in `found` when it is nearer; gives the least squared distance so far. */
  const tryEdge = (k: number, x: number, y: number, bestSquared: number): number => {
    const [ax, ay] = [edges.ax[k]!, edges.ay[k]!];
    const [ex, ey] = [edges.bx[k]! - ax, edges.by[k]! - ay];
    const lengthSquared = ex * ex + ey * ey;
    const along = lengthSquared > 0 ? ((x - ax) * ex + (y - ay) * ey) / lengthSquared : 0;
    const u = along < 0 ? 0 : along > 1 ? 1 : along;
    const [footX, footY] = [ax + u * ex, ay + u * ey];
    const squared = (footX - x) * (footX - x) + (footY - y) * (footY - y);
    if (squared >= bestSquared) return bestSquared;
    [found.line, found.edge, found.u, found.x, found.y] = [edges.line[k]!, edges.edge[k]!, u, footX, footY];
    return squared;
  };

  const nearest = (x: number, y: number, withinMm = Infinity): NearestEdge | undefined => {
    const { minX, minY, cellMm, columns, rows, starts, order } = grid;
    const column = clamp((x - minX) / cellMm, columns - 1);
    const row = clamp((y - minY) / cellMm, rows - 1);
    let best = withinMm * withinMm;
    found.line = -1;
    for (let ring = 0; ring < Math.max(columns, rows); ring++) {
      const gap = ringGap(x - minX, y - minY, column, row, ring, grid);
      if (gap * gap >= best) break;
      const lastRow = Math.min(rows - 1, row + ring);
      for (let r = Math.max(0, row - ring); r <= lastRow; r++) {
        // Rows inside the ring have only its two side cells.
        const step = ring === 0 || r === row - ring || r === row + ring ? 1 : 2 * ring;
        for (let c = column - ring; c <= column + ring; c += step) {
          if (c < 0 || c >= columns) continue;
          const cell = r * columns + c;
          for (let i = starts[cell]!; i < starts[cell + 1]!; i++) best = tryEdge(order[i]!, x, y, best);
        }
      }
    }
    if (found.line < 0) return undefined;
    found.distanceMm = Math.sqrt(best);
    return found;
  };

  return { lines, nearest };
}
