/** Slash and spread done with scissors, by clipper-lib: the rigid parts and the strips between them, laid together. */
// @ts-expect-error: clipper-lib brings no types.
import ClipperLib from 'clipper-lib';
import type { Slash } from '../../src/fit/spread/slash.ts';
import { flattenPath } from '../../src/geometry/measure.ts';
import type { Path } from '../../src/geometry/path.ts';

const UNITS_PER_MM = 10_000;
const FAR_MM = 2000;

type IntPath = { X: number; Y: number }[];
const int = (points: readonly { x: number; y: number }[]): IntPath =>
  points.map(({ x, y }) => ({ X: Math.round(x * UNITS_PER_MM), Y: Math.round(y * UNITS_PER_MM) }));

function combined(kind: number, subject: IntPath[], clip: IntPath[]): IntPath[] {
  const clipper = new ClipperLib.Clipper();
  clipper.AddPaths(subject, ClipperLib.PolyType.ptSubject, true);
  if (clip.length > 0) clipper.AddPaths(clip, ClipperLib.PolyType.ptClip, true);
  const result: IntPath[] = [];
  clipper.Execute(kind, result, ClipperLib.PolyFillType.pftNonZero, ClipperLib.PolyFillType.pftNonZero);
  return result;
}

/** Area of an outline opened at upright slashes, each part moved aside and each gap filled from edge to edge, mm2. */
export function booleanOpPaths(outline: Path, slashes: readonly Slash[]): { readonly areaMm2: number } {
  const whole = int(flattenPath(outline, 0.001));
  const sorted = slashes.toSorted((a, b) => a.from.x - b.from.x);
  const limits = [-FAR_MM, ...sorted.map(({ from }) => from.x), FAR_MM];
  const laid: IntPath[] = [];
  let shift = 0;
  for (let i = 1; i < limits.length; i++) {
    const [left, right] = [limits[i - 1]!, limits[i]!];
    const band = int([
      { x: left, y: -FAR_MM },
      { x: right, y: -FAR_MM },
      { x: right, y: FAR_MM },
      { x: left, y: FAR_MM },
    ]);
    const part = combined(ClipperLib.ClipType.ctIntersection, [whole], [band]);
    laid.push(...part.map((path) => path.map(({ X, Y }) => ({ X: X + shift, Y }))));
    const openingMm = sorted[i - 1]?.openingMm;
    if (openingMm === undefined) break;
    const ys = part
      .flat()
      .filter(({ X }) => Math.abs(X - right * UNITS_PER_MM) <= 1)
      .map(({ Y }) => Y);
    const opening = Math.round(openingMm * UNITS_PER_MM);
    const at = Math.round(right * UNITS_PER_MM) + shift;
    const [low, high] = [Math.min(...ys), Math.max(...ys)];
    laid.push([
      { X: at, Y: low },
      { X: at + opening, Y: low },
      { X: at + opening, Y: high },
      { X: at, Y: high },
    ]);
    shift += opening;
  }
  const union = combined(ClipperLib.ClipType.ctUnion, laid, []);
  const area = union.reduce((sum, path) => sum + ClipperLib.Clipper.Area(path), 0);
  return { areaMm2: area / UNITS_PER_MM ** 2 };
}
