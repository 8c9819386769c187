import type { PlanePoint } from '../geometry/point.ts';
import type { ExcusedFinding } from './excused.ts';
import type { FoldStretch } from './fold-stretches.ts';
import type { FoldedLine } from './folded-line.ts';

/** How far two halves, of one piece or a pair, lie from each other. Signs: positive where a place lies outside the other half. */
export interface FoldFigures {
  readonly limitMm: number;
  /** Largest deviation of any line, without sign, and where: on the half that more likely is the odd one. */
  readonly maxMm: number;
  readonly maxAt: PlanePoint;
  readonly p95Mm: number;
  readonly meanMm: number;
  readonly leftAreaMm2: number;
  readonly rightAreaMm2: number;
  /** How much larger the left area is for what is excused, mm2. */
  readonly excusedAreaMm2: number;
  /** Difference of the halves' areas as a share of their mean, in per cent, without sign; what is excused is left out. */
  readonly areaDifferencePct: number;
  /** Where the limit is exceeded, largest first; each unlikeness is told once although it shows on both halves. */
  readonly stretches: readonly FoldStretch[];
  readonly lines: readonly FoldedLine[];
  /** Stretches that are uneven on purpose, and how uneven they are; in none of the other figures. */
  readonly excused: readonly ExcusedFinding[];
}
