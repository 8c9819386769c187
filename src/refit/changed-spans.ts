import { stretchesAbove } from '../geometry/deviation.ts';
import { median } from '../geometry/median.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { agreementMm, type BothSides, type Side } from './outline-sides.ts';

/** From one length along an outline to another, mm. */
export interface Span {
  readonly fromMm: number;
  readonly toMm: number;
}

/** A place along which two outlines differ, on both of them; lengths from their common start. */
export interface ChangedSpan {
  /** True where the new outline lies inside the old one. */
  readonly isInside: boolean;
  readonly peakMm: number;
  readonly at: PlanePoint;
  /** Where the limit is exceeded, along the old outline. */
  readonly core: Span;
  /** From a place where both agree to the next such place. */
  readonly old: Span;
  readonly fresh: Span;
}

/** Runs on one side closer than this are one, mm. */
const BRIDGE_MM = 3;
/** A corner where a cut begins lies inside the span: it reaches this far into what agrees, mm. */
const MARGIN_MM = 1.5;
const SETTLE_MM = 10;

/** Where two outlines differ by more than the limit, in order. Seen from both: a narrow tab shows only on one, a narrow slit only on the other. */
export function changedSpans({ old, fresh }: BothSides, limitMm: number): ChangedSpan[] {
  const agreeMm = Math.min(limitMm / 2, agreementMm(old.samples));
  const seenOnOld = runsOn(old, limitMm, agreeMm).map(
    ({ outside, own, other, core, peakMm, at }): ChangedSpan => ({
      isInside: outside,
      peakMm,
      at,
      core: core.own,
      old: own,
      fresh: other,
    }),
  );
  const seenOnFresh = runsOn(fresh, limitMm, agreeMm).map(
    ({ outside, own, other, core, peakMm, at }): ChangedSpan => ({
      isInside: !outside,
      peakMm,
      at,
      core: core.other,
      old: other,
      fresh: own,
    }),
  );
  return united([...seenOnOld, ...seenOnFresh]);
}

interface RunOnSide {
  readonly outside: boolean;
  readonly peakMm: number;
  readonly at: PlanePoint;
  readonly own: Span;
  readonly other: Span;
  readonly core: { readonly own: Span; readonly other: Span };
}

function runsOn(side: Side, limitMm: number, agreeMm: number): RunOnSide[] {
  const { samples, lengthMm, matchMm } = side;
  const scatter = scatterMm(side);
  const runs = stretchesAbove(samples, limitMm, { closed: false, lengthMm }, BRIDGE_MM);
  const spanOf = (first: number, last: number) => ({
    own: { fromMm: samples[first]!.alongMm, toMm: samples[last]!.alongMm },
    other: forwards(matchMm[first]!, matchMm[last]!),
  });
  return runs.map(({ samples: run, peakMm, at }, i) => {
    const [first, last] = [run[0]!, run[run.length - 1]!];
    const before = runs[i - 1]?.samples.at(-1) ?? -1;
    const after = runs[i + 1]?.samples[0] ?? samples.length;
    const whole = spanOf(
      agreedFrom(side, first, -1, before, agreeMm),
      agreedFrom(side, last, 1, after, agreeMm),
    );
    // The largest of many readings is too large by about twice their scatter.
    const height = Math.max(limitMm, Math.abs(peakMm) - 2 * scatter);
    return { outside: peakMm > 0, peakMm: height, at, ...whole, core: spanOf(first, last) };
  });
}

/** Samples this far apart tell an edge's jitter from its shape. */
const SCATTER_REACH = 4;

/** How much the edge jitters along its way, mm (one sigma, by the median of second differences): 0 on clean lines, whatever their shape. */
function scatterMm({ samples }: Side): number {
  const differences = samples
    .slice(SCATTER_REACH, -SCATTER_REACH)
    .map(({ deviationMm }, i) =>
      Math.abs(deviationMm - (samples[i]!.deviationMm + samples[i + 2 * SCATTER_REACH]!.deviationMm) / 2),
    );
  // A second difference of independent readings has 1.5 times their variance.
  return median(differences) / (0.6745 * Math.sqrt(1.5));
}

/** Nearest places at the foot of a slit may come in the wrong order by a hair; then both are the middle. */
function forwards(fromMm: number, toMm: number): Span {
  const middle = (fromMm + toMm) / 2;
  return fromMm <= toMm ? { fromMm, toMm } : { fromMm: middle, toMm: middle };
}

/** The number of the sample, from `start` on and before `limit`, at which the outlines agree again, or do so best. */
function agreedFrom({ samples }: Side, start: number, step: 1 | -1, limit: number, agreeMm: number): number {
  const size = (i: number) => Math.abs(samples[i]!.deviationMm);
  const away = (i: number, from: number) => Math.abs(samples[i]!.alongMm - samples[from]!.alongMm);
  let best = start;
  for (let i = start; i !== limit; i += step) {
    const isOver = samples[i]!.deviationMm * samples[start]!.deviationMm <= 0;
    if (size(i) < size(best)) best = i;
    if (isOver || size(i) <= agreeMm) break;
  }
  if (size(best) > agreeMm) return best;
  const settled = best;
  while (best + step !== limit && away(best + step, settled) < SETTLE_MM && size(best + step) < size(best)) {
    best += step;
  }
  const quiet = best;
  while (best + step !== limit && away(best + step, quiet) <= MARGIN_MM && size(best + step) <= agreeMm) {
    best += step;
  }
  return best;
}

const length = ({ fromMm, toMm }: Span) => toMm - fromMm;
const both = (a: Span, b: Span): Span => ({
  fromMm: Math.min(a.fromMm, b.fromMm),
  toMm: Math.max(a.toMm, b.toMm),
});
const overlap = (a: Span, b: Span) => Math.min(a.toMm, b.toMm) - Math.max(a.fromMm, b.fromMm);

/** True when most of the shorter lies in the longer. */
function isMostlyWithin(a: Span, b: Span): boolean {
  const shorter = Math.min(length(a), length(b));
  return overlap(a, b) > 0.5 * shorter || (shorter === 0 && overlap(a, b) >= 0);
}

function isSame(a: ChangedSpan, b: ChangedSpan): boolean {
  if (isMostlyWithin(a.old, b.old) || isMostlyWithin(a.fresh, b.fresh)) return true;
  return a.isInside === b.isInside && overlap(a.core, b.core) > 0;
}

/** One span for what both outlines show, and no overlaps between spans. */
function united(spans: readonly ChangedSpan[]): ChangedSpan[] {
  const kept: ChangedSpan[] = [];
  for (const span of spans) {
    let whole = span;
    for (let i = kept.length - 1; i >= 0; i--) {
      if (!isSame(kept[i]!, whole)) continue;
      const [other] = kept.splice(i, 1);
      const larger = other!.peakMm >= whole.peakMm ? other! : whole;
      whole = {
        ...larger,
        core: both(other!.core, whole.core),
        old: both(other!.old, whole.old),
        fresh: both(other!.fresh, whole.fresh),
      };
    }
    kept.push(whole);
  }
  kept.sort((a, b) => a.old.fromMm - b.old.fromMm || a.fresh.fromMm - b.fresh.fromMm);
  for (let i = 1; i < kept.length; i++) {
    const [before, after] = [kept[i - 1]!, kept[i]!];
    const parted = { old: part(before.old, after.old), fresh: part(before.fresh, after.fresh) };
    kept[i - 1] = { ...before, old: parted.old[0], fresh: parted.fresh[0] };
    kept[i] = { ...after, old: parted.old[1], fresh: parted.fresh[1] };
  }
  return kept;
}

/** Neighbours that run into each other meet in the middle instead. */
function part(before: Span, after: Span): [Span, Span] {
  if (before.toMm <= after.fromMm) return [before, after];
  const middle = (before.toMm + after.fromMm) / 2;
  return [
    { fromMm: Math.min(before.fromMm, middle), toMm: middle },
    { fromMm: middle, toMm: Math.max(after.toMm, middle) },
  ];
}
