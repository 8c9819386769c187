import type { PieceLine } from '../geometry/line-kinds.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import { nearestOnPath } from '../geometry/nearest.ts';
import type { Path } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { Half } from './axis.ts';
import type { FoldedLine, FoldSample } from './folded-line.ts';

/**
 * A stretch that is uneven on purpose. It is kept by three places in the piece's frame, mm, and not by lengths along a line, so that it
 * stays where it is when the piece is mended, traced again or comes back trimmed.
 */
export interface ExcusedStretch {
  readonly id: string;
  /** In the maker's words: "feather side". */
  readonly name: string;
  readonly from: PlanePoint;
  /** Between the ends: tells which way round a closed line. */
  readonly via: PlanePoint;
  readonly to: PlanePoint;
}

/** An excused stretch as it lies on a line. On a closed line `toMm` may be above its length. */
export interface ExcusedSpan {
  readonly stretch: ExcusedStretch;
  readonly lineId: string;
  readonly fromMm: number;
  readonly toMm: number;
}

/** What was left out of the figures, and how uneven it is. */
export interface ExcusedFinding extends ExcusedSpan {
  /** Largest deviation there, with its sign, mm, and where. */
  readonly peakMm: number;
  readonly at: PlanePoint;
}

/** Places farther from every line than this belong to none: the piece was changed there since, mm. */
const REACH_MM = 25;

/** Where the stretches lie on the lines; those that no line runs near to any more are left out. */
export function excusedSpans(
  lines: readonly PieceLine[],
  stretches: readonly ExcusedStretch[],
): ExcusedSpan[] {
  return stretches.flatMap((stretch) => {
    const found = lines.map((line) => ({ line, via: nearestOnPath(line.path, stretch.via) }));
    const [best] = found.sort((a, b) => a.via.distanceMm - b.via.distanceMm);
    if (!best || best.via.distanceMm > REACH_MM) return [];
    return [{ stretch, lineId: best.line.id, ...spanThrough(best.line.path, stretch, best.via.alongMm) }];
  });
}

function spanThrough(path: Path, { from, to }: ExcusedStretch, viaMm: number) {
  const [a, b] = [from, to].map((end) => nearestOnPath(path, end).alongMm) as [number, number];
  if (!path.closed) return { fromMm: Math.min(a, b, viaMm), toMm: Math.max(a, b, viaMm) };
  const lengthMm = pathLengthMm(path);
  const ahead = (start: number, end: number) => (end - start + lengthMm) % lengthMm;
  const [fromMm, end] = ahead(a, viaMm) <= ahead(a, b) ? [a, b] : [b, a];
  return { fromMm, toMm: fromMm + ahead(fromMm, end) };
}

function isOn({ fromMm, toMm }: ExcusedSpan, alongMm: number, lengthMm: number): boolean {
  return (alongMm >= fromMm && alongMm <= toMm) || alongMm + lengthMm <= toMm;
}

export interface ExcuseContext {
  readonly spans: readonly ExcusedSpan[];
  readonly lines: readonly PieceLine[];
  /** Carries a point of one half to where it lies on the other. */
  readonly toTwin: (point: PlanePoint, from: Half) => PlanePoint;
}

/**
 * Marks the samples that lie on an excused stretch, or face one from the other half. A sample is told by the first stretch that it belongs to;
 * the result holds the stretch of every sample, undefined where none excuses it.
 */
export function excusesOf(
  line: FoldedLine,
  twinLengthMm: number,
  { spans, lines, toTwin }: ExcuseContext,
): (ExcusedSpan | undefined)[] {
  const own = spans.filter(({ lineId }) => lineId === line.lineId);
  const facing = spans.filter(({ lineId }) => lineId === line.twinId);
  const twin = lines.find(({ id }) => id === line.twinId);
  return line.samples.map((sample) => {
    const here = own.find((span) => isOn(span, sample.alongMm, line.lengthMm));
    if (here || facing.length === 0 || !twin) return here;
    const { alongMm } = nearestOnPath(twin.path, toTwin(sample.match, sample.half));
    return facing.find((span) => isOn(span, alongMm, twinLengthMm));
  });
}

/** The largest deviation on each stretch that any sample belongs to. */
export function excusedFindings(
  found: readonly { readonly sample: FoldSample; readonly span: ExcusedSpan }[],
): ExcusedFinding[] {
  const largest = new Map<ExcusedStretch, ExcusedFinding>();
  for (const { sample, span } of found) {
    const known = largest.get(span.stretch);
    if (known && Math.abs(known.peakMm) >= Math.abs(sample.deviationMm)) continue;
    largest.set(span.stretch, { ...span, peakMm: sample.deviationMm, at: sample.point });
  }
  return [...largest.values()];
}
