import { MARKER_CELLS, markerCells, SQUARE_SIDE_MM } from '../capture/card.ts';
import { type Path, polylinePath } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { rectPath } from './shapes.ts';

const CELL_MM = SQUARE_SIDE_MM / MARKER_CELLS;

/** A corner of the cell raster: columns from the left, rows from the top. */
type Corner = readonly [number, number];

type Edge = readonly [Corner, Corner];

/** The four edges round a cell, each with the cell on its right. */
function edgesRound(row: number, column: number): Edge[] {
  const corners: Corner[] = [
    [column, row],
    [column + 1, row],
    [column + 1, row + 1],
    [column, row + 1],
  ];
  return corners.map((corner, i) => [corner, corners[(i + 1) % 4]!]);
}

const keyOf = (from: Corner, to: Corner): string => `${from.join()}>${to.join()}`;

/** The edges between white and black cells: those that two white cells share cancel. */
function whiteEdges(id: number): Map<string, Edge> {
  const edges = new Map<string, Edge>();
  markerCells(id).forEach((cells, row) =>
    cells.forEach((isWhite, column) => {
      if (!isWhite) return;
      for (const [from, to] of edgesRound(row, column)) {
        if (!edges.delete(keyOf(to, from))) edges.set(keyOf(from, to), [from, to]);
      }
    }),
  );
  return edges;
}

/** Joins edges to closed loops; corners in the middle of a straight run are left out. */
function loopsOf(edges: Map<string, Edge>): Corner[][] {
  const loops: Corner[][] = [];
  for (;;) {
    const first = edges.values().next().value;
    if (!first) return loops;
    const loop: Corner[] = [];
    for (let edge: Edge | undefined = first; edge !== undefined; edge = edgeFrom(edges, edge[1])) {
      edges.delete(keyOf(...edge));
      loop.push(edge[0]);
    }
    loops.push(loop.filter((corner, i) => turns(loop.at(i - 1)!, corner, loop[(i + 1) % loop.length]!)));
  }
}

function edgeFrom(edges: ReadonlyMap<string, Edge>, [column, row]: Corner): Edge | undefined {
  return [...edges.values()].find(([from]) => from[0] === column && from[1] === row);
}

function turns(a: Corner, b: Corner, c: Corner): boolean {
  return (b[0] - a[0]) * (c[1] - b[1]) !== (b[1] - a[1]) * (c[0] - b[0]);
}

/**
 * A card's marker as one shape to be filled by the even-odd rule: the black square and the outlines of its white
 * parts, in mm about the marker's centre, x right, y up. One outline for touching cells, because cells drawn each for
 * itself show hairlines between them on screen and in print.
 */
export function markerOutline(id: number): readonly Path[] {
  const half = SQUARE_SIDE_MM / 2;
  const black = rectPath({ x: -half, y: -half, widthMm: SQUARE_SIDE_MM, heightMm: SQUARE_SIDE_MM });
  const toPoint = ([column, row]: Corner): PlanePoint => ({
    x: column * CELL_MM - half,
    y: half - row * CELL_MM,
  });
  return [black, ...loopsOf(whiteEdges(id)).map((loop) => polylinePath(loop.map(toPoint), true))];
}
