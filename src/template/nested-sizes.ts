import { sizeDashMm, sizeDashWords } from '../fit/range/dash-codes.ts';
import type { PieceInSize } from '../fit/range/size-range.ts';
import type { FitPlan } from '../fit/fit-plan.ts';
import { cutLineOf } from '../fit/scale-piece.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { pathAreaMm2 } from '../geometry/measure.ts';
import { nearestOnPath } from '../geometry/nearest.ts';
import { polylinePath } from '../geometry/path.ts';
import { placeAtLength, pointAt, tangentAt } from '../geometry/place.ts';
import { plus, quarterLeft, times } from '../geometry/vector.ts';
import type { TemplateLine } from './template-input.ts';

const WORDS_MM = 2.5;
/** Names on one side stand in this many steps along the edge, so far apart, mm. */
const STEPS = 3;
const STEP_MM = 9;

/**
 * The size's name on the inner side of its own line, where the wrap line begins or ends, for there the sizes lie farthest
 * apart: by turns at either end, so that neighbouring sizes' names do not meet.
 */
function nameOnLine({ lines, wrapLine }: FitPlan, label: string, index: number): PieceLine[] {
  const outline = cutLineOf(lines);
  if (!outline) return [];
  const { alongMm } = nearestOnPath(outline, index % 2 === 0 ? wrapLine.to : wrapLine.from);
  const step = (Math.floor(index / 2) % STEPS) - 1;
  const place = placeAtLength(outline, alongMm + step * STEP_MM - STEP_MM / 2);
  const tangent = tangentAt(outline, place);
  const start = plus(pointAt(outline, place), times(quarterLeft(tangent), 0.7));
  const path = polylinePath([start, plus(start, times(tangent, 8))], false);
  return [
    {
      id: `size-${index}-name`,
      kind: 'mark',
      path,
      words: { text: label.slice(0, 40), sizeMm: WORDS_MM },
    },
  ];
}

/**
 * A piece's sizes drawn into each other: each size's cut lines and openings with its own dash code and its name. Only
 * the largest one's outline is a `cut` line, so that the piece is laid out as one; the others are cut along all the same.
 */
export function nestedSizes(sizes: readonly PieceInSize[]): TemplateLine[] {
  const made = sizes.flatMap(({ plan, head }, index) => (plan ? [{ plan, label: head.label, index }] : []));
  const areaOf = ({ plan }: (typeof made)[number]) => Math.abs(pathAreaMm2(cutLineOf(plan.lines)!));
  const largest = made.reduce<(typeof made)[number] | undefined>(
    (best, each) => (best && areaOf(best) >= areaOf(each) ? best : each),
    undefined,
  );
  return made.flatMap(({ plan, label, index }) => {
    const isLargest = index === largest?.index;
    const lines = plan.lines.map((line): TemplateLine => {
      const id = `size-${index}-${line.id}`;
      if (line.kind !== 'cut' && line.kind !== 'cutout') return { ...line, id };
      return { ...line, id, kind: isLargest ? line.kind : 'mark', dashMm: sizeDashMm(index) };
    });
    return [...lines, ...nameOnLine(plan, label, index)];
  });
}

/** "54 cm: long; 56 cm: long, 1 dot": which code is which size. */
export function sizesKey(sizes: readonly PieceInSize[]): string {
  return sizes
    .flatMap(({ head, plan }, index) => (plan ? [`${head.label}: ${sizeDashWords(index)}`] : []))
    .join('; ');
}
