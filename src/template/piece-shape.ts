import type { LineKind, PieceLine } from '../geometry/line-kinds.ts';
import { type Bounds, boundsOf, flattenPath, isInside } from '../geometry/measure.ts';
import { mapPath } from '../geometry/path.ts';
import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { type Placement, placer } from './placement.ts';
import { isInRect, type Rect, rectCentre } from './rect.ts';

/** Fine enough to plan with; the drawing itself keeps the cubics. */
const PLANNING_TOLERANCE_MM = 0.1;
/** Half the widest line and a little paper round it: added to a piece's bounds, so that no line is cut off. */
const LINE_ROOM_MM = 0.5;

interface ShapeLine {
  readonly kind: LineKind;
  readonly closed: boolean;
  readonly points: readonly PlanePoint[];
}

/** A piece as polylines in the frame it was placed in, for planning only. */
export interface PieceShape {
  readonly lines: readonly ShapeLine[];
  /** Bounds of all lines, with room for the line's width, mm. */
  readonly bounds: Bounds;
}

/** The polylines of a piece's lines under a placement. A piece without lines is a point at the placement's shift. */
export function pieceShape(lines: readonly PieceLine[], placement: Placement): PieceShape {
  const move = placer(placement);
  const shaped = lines.map(({ kind, path }) => ({
    kind,
    closed: path.closed,
    points: flattenPath(mapPath(path, move), PLANNING_TOLERANCE_MM),
  }));
  const all = shaped.length > 0 ? shaped.flatMap((line) => line.points) : [placement.shift];
  const { minX, minY, maxX, maxY } = boundsOf(all);
  return {
    lines: shaped,
    bounds: {
      minX: minX - LINE_ROOM_MM,
      minY: minY - LINE_ROOM_MM,
      maxX: maxX + LINE_ROOM_MM,
      maxY: maxY + LINE_ROOM_MM,
    },
  };
}

export function moveShape({ lines, bounds }: PieceShape, dx: number, dy: number): PieceShape {
  return {
    lines: lines.map((line) => ({
      ...line,
      points: line.points.map(({ x, y }) => ({ x: x + dx, y: y + dy })),
    })),
    bounds: {
      minX: bounds.minX + dx,
      minY: bounds.minY + dy,
      maxX: bounds.maxX + dx,
      maxY: bounds.maxY + dy,
    },
  };
}

/** Several shapes of one frame taken as one. */
export function jointShape(shapes: readonly PieceShape[]): PieceShape {
  const bounds = shapes.map((shape) => shape.bounds);
  return {
    lines: shapes.flatMap(({ lines }) => lines),
    bounds: {
      minX: Math.min(...bounds.map(({ minX }) => minX)),
      minY: Math.min(...bounds.map(({ minY }) => minY)),
      maxX: Math.max(...bounds.map(({ maxX }) => maxX)),
      maxY: Math.max(...bounds.map(({ maxY }) => maxY)),
    },
  };
}

/** The closed outlines that bound the piece's foam: its cut lines and the openings in it. */
export function outlinesOf(shape: PieceShape, kinds: readonly LineKind[]): (readonly PlanePoint[])[] {
  return shape.lines.filter((line) => line.closed && kinds.includes(line.kind)).map((line) => line.points);
}

/** All the shape's edges, including the closing ones. */
export function* edgesOf(shape: PieceShape): Generator<readonly [PlanePoint, PlanePoint]> {
  for (const { points, closed } of shape.lines) {
    for (let i = 1; i < points.length; i++) yield [points[i - 1]!, points[i]!];
    if (closed && points.length > 1) yield [points[points.length - 1]!, points[0]!];
  }
}

/** True when a line of the shape passes through the rectangle (looked at every millimetre), or its foam covers it. */
export function touchesRect(shape: PieceShape, rect: Rect): boolean {
  for (const [a, b] of edgesOf(shape)) {
    const steps = Math.max(1, Math.ceil(distanceMm(a, b)));
    for (let i = 0; i <= steps; i++) {
      if (isInRect({ x: a.x + ((b.x - a.x) * i) / steps, y: a.y + ((b.y - a.y) * i) / steps }, rect))
        return true;
    }
  }
  return outlinesOf(shape, ['cut']).some((outline) => isInside(rectCentre(rect), outline));
}

/** The point of a straight edge nearest to a point. */
export function nearestOnEdge({ x, y }: PlanePoint, a: PlanePoint, b: PlanePoint): PlanePoint {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const squared = dx * dx + dy * dy;
  const t = squared > 0 ? Math.min(1, Math.max(0, ((x - a.x) * dx + (y - a.y) * dy) / squared)) : 0;
  return { x: a.x + t * dx, y: a.y + t * dy };
}
