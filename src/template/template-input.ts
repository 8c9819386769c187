import type { PieceLine } from '../geometry/line-kinds.ts';
import type { TemplatePageSetup } from './paper.ts';

/** A line as it is printed; `dashMm` stands for the dash of its kind (nested sizes have codes of their own). */
export interface TemplateLine extends PieceLine {
  readonly dashMm?: readonly number[];
}

/** A piece as it is printed: plain data, lines in mm in the piece's own frame. */
export interface TemplatePiece {
  readonly name: string;
  /** How many to cut in all, the mirrored ones among them. */
  readonly count: number;
  readonly mirroredCount: number;
  readonly foamName: string;
  /** Left out where no foam has been chosen. */
  readonly foamThicknessMm?: number;
  readonly sizeLabel: string;
  readonly revisionLabel: string;
  readonly lines: readonly TemplateLine[];
}

export interface TemplateInput {
  readonly buildName: string;
  /** Printed as given. */
  readonly date: string;
  readonly pieces: readonly TemplatePiece[];
  readonly pageSetup: TemplatePageSetup;
}

/** The trade's phrase for how often a piece is cut: "cut 2 (1 mirrored)". */
export function cutPhrase({ count, mirroredCount }: Pick<TemplatePiece, 'count' | 'mirroredCount'>): string {
  if (mirroredCount === 0) return `cut ${count}`;
  return mirroredCount === count ? `cut ${count} (mirrored)` : `cut ${count} (${mirroredCount} mirrored)`;
}

/** Foam and thickness as printed: "EVA, 6 mm". */
export function foamPhrase({ foamName, foamThicknessMm }: TemplatePiece): string {
  if (foamThicknessMm === undefined) return foamName;
  const thickness = `${Number(foamThicknessMm.toFixed(1))} mm`;
  return foamName.includes(thickness) ? foamName : `${foamName}, ${thickness}`;
}
