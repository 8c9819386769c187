import type { Path, Segment } from './path.ts';
import { segmentOf, segmentStart } from './place.ts';
import { distanceMm, type PlanePoint } from './point.ts';
import { segmentPoint, segmentVelocity } from './segment.ts';

/** A point of a path that stands for a length of it. */
export interface PathSample {
  readonly point: PlanePoint;
  /** Length of the path from its start to here, mm. */
  readonly alongMm: number;
  /** The length that this sample stands for, mm; the samples' weights add up to the path's length. */
  readonly weightMm: number;
}

/** Finds points by length quickly. Lengths are good to about 1e-5 of a segment; the points lie on the curves themselves. */
interface Ruler {
  readonly totalMm: number;
  /** Length at the start of each segment, and the total. */
  readonly starts: readonly number[];
  readonly pointAt: (alongMm: number) => PlanePoint;
}

const TABLE_STEPS = 32;

/** Cumulative length over equal steps of t (Simpson's rule on the speed). */
function lengthTable(from: PlanePoint, segment: Segment): number[] {
  if (segment.kind === 'line') return [0, distanceMm(from, segment.to)];
  const speed = (t: number) => {
    const { x, y } = segmentVelocity(from, segment, t);
    return Math.hypot(x, y);
  };
  const table = [0];
  const step = 1 / TABLE_STEPS;
  for (let i = 0; i < TABLE_STEPS; i++) {
    const t = i * step;
    table.push(table[i]! + (step / 6) * (speed(t) + 4 * speed(t + step / 2) + speed(t + step)));
  }
  return table;
}

/** Where `value` lies in an ascending table: the entry before it, and the share of the way to the next. */
function lookUp(table: readonly number[], value: number): { readonly index: number; readonly share: number } {
  let [low, high] = [0, table.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (table[middle]! <= value) low = middle;
    else high = middle;
  }
  const step = table[high]! - table[low]!;
  const share = step > 0 ? (value - table[low]!) / step : 0;
  return { index: low, share: Math.min(1, Math.max(0, share)) };
}

function rulerOf(path: Path): Ruler {
  const tables = path.segments.map((segment, i) => lengthTable(segmentStart(path, i), segment));
  const starts = [0];
  for (const table of tables) starts.push(starts[starts.length - 1]! + table[table.length - 1]!);
  const pointAt = (alongMm: number) => {
    const { index } = lookUp(starts, alongMm);
    const table = tables[index]!;
    const inside = lookUp(table, alongMm - starts[index]!);
    const t = (inside.index + inside.share) / (table.length - 1);
    return segmentPoint(segmentStart(path, index), segmentOf(path, index), t);
  };
  return { totalMm: starts[starts.length - 1]!, starts, pointAt };
}

/** Lengths along the path at which runs between corners begin and end, ascending; a closed path's first is repeated a round later. */
function runLimits(path: Path, { starts, totalMm }: Ruler): number[] {
  const corners = path.segments.flatMap((segment, i) =>
    segment.joint === 'corner' && i + 1 < path.segments.length ? [starts[i + 1]!] : [],
  );
  if (!path.closed) return [0, ...corners, totalMm];
  if (path.segments[path.segments.length - 1]!.joint === 'corner') corners.unshift(0);
  return corners.length > 0 ? [...corners, corners[0]! + totalMm] : [0, totalMm];
}

/**
 * Points on the path in order, evenly spread at most `spacingMm` apart between one corner and the next; every
 * corner is among them, so no spike is missed, and so are an open path's ends.
 */
export function samplePath(path: Path, spacingMm: number): PathSample[] {
  const ruler = rulerOf(path);
  return spread(path, ruler, runLimits(path, ruler), spacingMm);
}

/** Points evenly spread over the whole path, at most `spacingMm` apart, wherever its corners lie: for fitting, where each should count alike. */
export function samplePathEvenly(path: Path, spacingMm: number): PathSample[] {
  const ruler = rulerOf(path);
  return spread(path, ruler, [0, ruler.totalMm], spacingMm);
}

function spread(path: Path, ruler: Ruler, limits: readonly number[], spacingMm: number): PathSample[] {
  if (!(spacingMm > 0)) throw new RangeError('samples need a spacing above zero');
  if (path.segments.length === 0) return [{ point: path.start, alongMm: 0, weightMm: 0 }];
  const places: number[] = [];
  for (let run = 1; run < limits.length; run++) {
    const [begin, end] = [limits[run - 1]!, limits[run]!];
    const steps = Math.max(1, Math.ceil((end - begin) / spacingMm));
    for (let k = 0; k < steps; k++) places.push(begin + (k * (end - begin)) / steps);
  }
  if (!path.closed) places.push(ruler.totalMm);
  const within = places.map((along) =>
    path.closed && along >= ruler.totalMm ? along - ruler.totalMm : along,
  );
  within.sort((a, b) => a - b);
  return within.map((alongMm, i) => ({
    point: ruler.pointAt(alongMm),
    alongMm,
    weightMm: halfGap(within, i, path.closed ? ruler.totalMm : undefined),
  }));
}

/** Half the way from the place before to the place after; `roundMm` is the length of a closed path. */
function halfGap(places: readonly number[], i: number, roundMm: number | undefined): number {
  const before = places[i - 1] ?? (roundMm === undefined ? places[0]! : places[places.length - 1]! - roundMm);
  const after = places[i + 1] ?? (roundMm === undefined ? places[places.length - 1]! : places[0]! + roundMm);
  return (after - before) / 2;
}
