/** How sure the photo is over the whole table, as a field with contours. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { distanceMm } from '../geometry/point.ts';
import { imageToPlane } from './camera.ts';
import { statedTolerance } from '../stated-tolerance.ts';
import { toleranceOfLengthMm } from './tolerance.ts';
import type { Capture } from './types.ts';

/** Values on a grid over the photo, row by row from the top left. */
export interface ToleranceField {
  readonly columns: number;
  readonly rows: number;
  /** Distance between neighbours, px. */
  readonly stepU: number;
  readonly stepV: number;
  /** Stated tolerance, mm; NaN where the table is not seen. */
  readonly valuesMm: readonly number[];
  /** Where lengths start, mm on the table. */
  readonly fromMm: PlanePoint;
}

/** Nearer to the middle than this a length says little about its place. */
const NEAREST_MM = 1;

function meanOf(points: readonly PlanePoint[]): PlanePoint {
  const n = Math.max(1, points.length);
  return {
    x: points.reduce((sum, { x }) => sum + x, 0) / n,
    y: points.reduce((sum, { y }) => sum + y, 0) / n,
  };
}

/**
 * Stated tolerance of the distance from the middle of the piece (`fromMm`; the middle of the used cards when left
 * out) to every place of the table that the photo shows, on the pieces' top face. Chosen over the tolerance of a
 * short length because it is what a maker asks: how far off is a tip that ends here?
 */
export function toleranceField(
  capture: Capture,
  { columns, rows }: { readonly columns: number; readonly rows: number },
  fromMm = meanOf(capture.cards.filter(({ used }) => used).map(({ centre }) => centre)),
): ToleranceField {
  const { camera, thicknessMm } = capture;
  const stepU = (camera.widthPx - 1) / (columns - 1);
  const stepV = (camera.heightPx - 1) / (rows - 1);
  const valuesMm = Array.from({ length: columns * rows }, (_, k) => {
    const seen = { u: (k % columns) * stepU, v: Math.floor(k / columns) * stepV };
    const at = imageToPlane(camera, seen, thicknessMm);
    // At the middle itself the length is nothing; a point beside it stands for it.
    const away = distanceMm(at, fromMm) < NEAREST_MM ? { x: fromMm.x + NEAREST_MM, y: fromMm.y } : at;
    return statedTolerance(toleranceOfLengthMm(capture, fromMm, away));
  });
  return { columns, rows, stepU, stepV, valuesMm, fromMm };
}

/** Tolerances at which contours may run, mm. */
const ROUND_MM = [0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.7, 1, 1.5, 2, 3, 4, 5, 7, 10, 15, 20, 30, 50];
const MOST_LEVELS = 4;

/** A band that takes in less of the photo than this is not worth its line. */
const SMALLEST_SHARE = 0.04;

/** Up to four round tolerances, mm, that divide the photo into bands of some size; none where it is even. */
export function contourLevels({ valuesMm }: ToleranceField): readonly number[] {
  const seen = valuesMm.filter(Number.isFinite).sort((a, b) => a - b);
  const at = (share: number): number => seen[Math.round(share * (seen.length - 1))] ?? Number.NaN;
  const [least, most] = [at(SMALLEST_SHARE), at(1 - SMALLEST_SHARE)];
  const between = ROUND_MM.filter((level) => level > least && level < most);
  if (between.length <= MOST_LEVELS) return between;
  // Evenly thinned; the first stays, for it bounds the best part of the table.
  return Array.from(
    { length: MOST_LEVELS },
    (_, k) => between[Math.round((k * (between.length - 1)) / (MOST_LEVELS - 1))]!,
  );
}

/** The part of the photo where the field is at least some tolerance, px. */
export interface FieldPart {
  /** It is the sum of these polygons. */
  readonly polygons: readonly (readonly ImagePoint[])[];
  /** Its contour, in short straight pieces. */
  readonly contour: readonly (readonly [ImagePoint, ImagePoint])[];
}

interface Corner extends ImagePoint {
  readonly value: number;
}

/** The grid's cells as four triangles each round their middles, so that no crossing is in doubt; unseen ones left out. */
function trianglesOf({
  columns,
  rows,
  stepU,
  stepV,
  valuesMm,
}: ToleranceField): readonly (readonly Corner[])[] {
  const triangles: (readonly Corner[])[] = [];
  for (let row = 0; row + 1 < rows; row++) {
    for (let column = 0; column + 1 < columns; column++) {
      const corner = (c: number, r: number): Corner => ({
        u: (column + c) * stepU,
        v: (row + r) * stepV,
        value: valuesMm[(row + r) * columns + column + c]!,
      });
      const corners = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)];
      const value = corners.reduce((sum, each) => sum + each.value, 0) / 4;
      if (Number.isNaN(value)) continue;
      const middle = { u: (column + 0.5) * stepU, v: (row + 0.5) * stepV, value };
      corners.forEach((each, i) => triangles.push([each, corners[(i + 1) % 4]!, middle]));
    }
  }
  return triangles;
}

/** Where the field is at least `levelMm`, cut by straight lines between the grid's values. */
export function partAbove(field: ToleranceField, levelMm: number): FieldPart {
  const polygons: (readonly ImagePoint[])[] = [];
  const contour: (readonly [ImagePoint, ImagePoint])[] = [];
  for (const triangle of trianglesOf(field)) {
    const cuts: ImagePoint[] = [];
    const polygon = triangle.flatMap((a, i): ImagePoint[] => {
      const b = triangle[(i + 1) % 3]!;
      const isIn = a.value >= levelMm;
      const own = isIn ? [{ u: a.u, v: a.v }] : [];
      if (isIn === b.value >= levelMm) return own;
      const share = (levelMm - a.value) / (b.value - a.value);
      const cut = { u: a.u + share * (b.u - a.u), v: a.v + share * (b.v - a.v) };
      cuts.push(cut);
      return [...own, cut];
    });
    if (polygon.length > 2) polygons.push(polygon);
    if (cuts.length === 2) contour.push([cuts[0]!, cuts[1]!]);
  }
  return { polygons, contour };
}
