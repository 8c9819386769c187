import { type DeviationFigures, deviationFigures, type DeviationSample } from '../geometry/deviation.ts';
import type { LineKind, PieceLine } from '../geometry/line-kinds.ts';
import { flattenPath, pathAreaMm2, polygonAreaMm2 } from '../geometry/measure.ts';
import { type Path, reversePath } from '../geometry/path.ts';
import { placeAtLength } from '../geometry/place.ts';
import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { subPath } from '../geometry/split-path.ts';
import { type ChangedSpan, changedSpans, type Span } from './changed-spans.ts';
import { type BothSides, bothSides, type Side } from './outline-sides.ts';

/** A stretch along which foam was taken away or added. Lengths along a closed line may run past its start: then `toMm` is above its length. */
export interface RefitStretch {
  readonly id: string;
  readonly change: 'trimmed' | 'added';
  /** Where the limit is exceeded, along the old line, mm. */
  readonly fromMm: number;
  readonly toMm: number;
  /** Largest distance between the old edge and the new one, mm, and where, in the old frame. */
  readonly peakMm: number;
  readonly at: PlanePoint;
  /** Foam taken away or added, mm2. */
  readonly areaMm2: number;
  /** Where the new edge leaves the old one and comes back, along the old line and along the new one as laid. */
  readonly join: { readonly old: Span; readonly fresh: Span };
}

/** An old line and the new one laid on it. */
export interface ComparedLine extends DeviationFigures {
  readonly lineId: string;
  readonly newLineId: string;
  readonly kind: LineKind;
  readonly lengthMm: number;
  readonly oldAreaMm2: number;
  readonly newAreaMm2: number;
  /** In order along the old line. */
  readonly stretches: readonly RefitStretch[];
  /** Along the old line, in its frame: positive where it lies outside the new one. For strip charts and arrows. */
  readonly samples: readonly DeviationSample[];
  /** Along the new line, in the old frame: positive where it lies outside the old one. */
  readonly newSamples: readonly DeviationSample[];
}

/** The line run the same way round as `like`; both closed. */
export function runLike(path: Path, like: Path): Path {
  return pathAreaMm2(path) * pathAreaMm2(like) < 0 ? reversePath(path) : path;
}

/** Compares two closed lines of one frame, mm. `fresh` must run the same way round as the old one (runLike). */
export function compareLine(old: PieceLine, fresh: PieceLine, limitMm: number): ComparedLine {
  const sides = bothSides(old.path, fresh.path);
  const [samples, newSamples] = [sides.old, sides.fresh].map((side) => side.samples.slice(0, -1)) as [
    DeviationSample[],
    DeviationSample[],
  ];
  const spans = changedSpans(sides, limitMm);
  return {
    lineId: old.id,
    newLineId: fresh.id,
    kind: old.kind,
    lengthMm: sides.old.lengthMm,
    oldAreaMm2: Math.abs(pathAreaMm2(old.path)),
    newAreaMm2: Math.abs(pathAreaMm2(fresh.path)),
    stretches: spans
      .map((span, i) => stretchOf(span, sides, `${old.id}/${i + 1}`, old.kind === 'cutout'))
      .sort((a, b) => a.fromMm - b.fromMm),
    samples: fromFirst(samples, sides.startMm.old, sides.old.lengthMm),
    newSamples: fromFirst(newSamples, sides.startMm.fresh, sides.fresh.lengthMm),
    ...deviationFigures([...samples, ...newSamples]),
  };
}

/** Samples told from the line's own start again. */
function fromFirst(samples: readonly DeviationSample[], startMm: number, lengthMm: number) {
  return samples
    .map((sample) => ({ ...sample, alongMm: (sample.alongMm + startMm) % lengthMm }))
    .sort((a, b) => a.alongMm - b.alongMm);
}

function stretchOf(
  span: ChangedSpan,
  { old, fresh, startMm }: BothSides,
  id: string,
  isOpening: boolean,
): RefitStretch {
  const told = (part: Span, side: Side, start: number): Span => {
    const fromMm = (part.fromMm + start) % side.lengthMm;
    return { fromMm, toMm: fromMm + part.toMm - part.fromMm };
  };
  return {
    id,
    // An opening that shrank has foam added.
    change: span.isInside === isOpening ? 'added' : 'trimmed',
    ...told(span.core, old, startMm.old),
    peakMm: span.peakMm,
    at: span.at,
    areaMm2: areaBetweenMm2(partOf(old, span.old), partOf(fresh, span.fresh)),
    join: { old: told(span.old, old, startMm.old), fresh: told(span.fresh, fresh, startMm.fresh) },
  };
}

const AREA_TOLERANCE_MM = 0.002;

function partOf({ path, lengthMm }: Side, { fromMm, toMm }: Span): readonly PlanePoint[] {
  const from = placeAtLength(path, fromMm);
  if (toMm - fromMm < 1e-9) return [flattenPath(subPath(path, from, from))[0]!];
  if (toMm - fromMm >= lengthMm - 1e-9) return [...flattenPath(path, AREA_TOLERANCE_MM), path.start];
  return flattenPath(subPath(path, from, placeAtLength(path, toMm)), AREA_TOLERANCE_MM);
}

function areaBetweenMm2(old: readonly PlanePoint[], fresh: readonly PlanePoint[]): number {
  const ring = [...fresh, ...old.toReversed()].filter(
    (point, i, all) => i === 0 || distanceMm(point, all[i - 1]!) > 0,
  );
  return Math.abs(polygonAreaMm2(ring));
}
