import { deviationFigures } from '../geometry/deviation.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { excusedFindings, type ExcusedSpan, excusesOf } from './excused.ts';
import type { FoldFigures } from './fold-figures.ts';
import { findStretches, placeOfLargest, type ToTwin } from './fold-stretches.ts';
import type { FoldedLine, FoldSample } from './folded-line.ts';

interface HalvesToJudge {
  readonly folded: readonly FoldedLine[];
  /** The lines that were folded, of both pieces for a pair. */
  readonly lines: readonly PieceLine[];
  readonly toTwin: ToTwin;
  readonly limitMm: number;
  readonly leftAreaMm2: number;
  readonly rightAreaMm2: number;
  /** What is uneven on purpose. */
  readonly spans: readonly ExcusedSpan[];
}

/** The figures of halves laid on each other; stretches that are uneven on purpose count in none of them. */
export function judgeHalves(halves: HalvesToJudge): FoldFigures {
  const { limitMm, toTwin, leftAreaMm2, rightAreaMm2 } = halves;
  const { folded, found, excusedAreaMm2 } = excuse(halves);
  const judged = folded.flatMap(({ samples }) => samples.filter(({ isExcused }) => !isExcused));
  const { maxMm, p95Mm, meanMm } = figuresOf(judged);
  const apartMm2 = leftAreaMm2 - rightAreaMm2 - excusedAreaMm2;
  return {
    limitMm,
    maxMm,
    maxAt: placeOfLargest(folded, toTwin),
    p95Mm,
    meanMm,
    leftAreaMm2,
    rightAreaMm2,
    excusedAreaMm2,
    areaDifferencePct: (200 * Math.abs(apartMm2)) / (leftAreaMm2 + rightAreaMm2 || 1),
    stretches: findStretches(folded, toTwin, limitMm),
    lines: folded,
    excused: excusedFindings(found),
  };
}

/** Nothing differs where everything is excused. */
function figuresOf(samples: readonly FoldSample[]) {
  return samples.length > 0 ? deviationFigures(samples) : { maxMm: 0, p95Mm: 0, meanMm: 0, rmsMm: 0 };
}

function excuse({ folded, lines, toTwin, spans }: HalvesToJudge) {
  if (spans.length === 0) return { folded, found: [], excusedAreaMm2: 0 };
  const told = folded.map((line) => {
    const twin = folded.find(({ lineId }) => lineId === line.twinId);
    const spansHere = excusesOf(line, twin?.lengthMm ?? line.lengthMm, { spans, lines, toTwin });
    const found = line.samples.flatMap((sample, i) => (spansHere[i] ? [{ sample, span: spansHere[i] }] : []));
    if (found.length === 0) return { line, found };
    const samples = line.samples.map(
      (sample, i): FoldSample => (spansHere[i] ? { ...sample, isExcused: true } : sample),
    );
    const judged = samples.filter(({ isExcused }) => !isExcused);
    return { line: { ...line, samples, ...figuresOf(judged) }, found };
  });
  return {
    folded: told.map(({ line }) => line),
    found: told.flatMap(({ found }) => found),
    excusedAreaMm2: told.reduce((sum, { line, found }) => sum + leftSurplusMm2(line, found), 0),
  };
}

/** By how much the excused part of an edge makes the left half larger: seen from both halves, so each counts half. */
function leftSurplusMm2(
  { kind, closed }: FoldedLine,
  found: readonly { readonly sample: FoldSample }[],
): number {
  if (!closed || (kind !== 'cut' && kind !== 'cutout')) return 0;
  const sign = kind === 'cut' ? 0.5 : -0.5;
  return found.reduce(
    (sum, { sample: { half, deviationMm, weightMm } }) =>
      sum + (half === 'left' ? sign : -sign) * deviationMm * weightMm,
    0,
  );
}
