import type { Path } from './path.ts';

/**
 * What a line on a piece is for: `cut` outer outline, `cutout` inner opening, `score` an indentation not cut
 * through, `fold` a fold line, `placement` where another piece is glued on, `mark` a notch or centre mark,
 * `wrap` the line that goes round the head.
 */
export type LineKind = 'cut' | 'cutout' | 'score' | 'fold' | 'placement' | 'mark' | 'wrap';

/** Words written on a piece: they stand on their line, which is not drawn, and begin at its start. */
export interface LineWords {
  readonly text: string;
  /** Size of the letters, mm. */
  readonly sizeMm: number;
}

export interface PieceLine {
  readonly id: string;
  readonly kind: LineKind;
  readonly path: Path;
  /** Only on a `mark` of one straight segment. */
  readonly words?: LineWords;
}

export interface LineStyle {
  /** Plain name for legends. */
  readonly label: string;
  /** Okabe-Ito palette (Color Universal Design, 2008), which stays distinct for colour-blind readers. */
  readonly color: string;
  /** Dash pattern in mm on paper; empty = solid. Tells the kinds apart in black and white too. */
  readonly dashMm: readonly number[];
  readonly widthMm: number;
}

export const LINE_STYLES: Readonly<Record<LineKind, LineStyle>> = {
  cut: { label: 'cut', color: '#000000', dashMm: [], widthMm: 0.4 },
  cutout: { label: 'cut-out', color: '#d55e00', dashMm: [7, 1.5], widthMm: 0.4 },
  score: { label: 'score', color: '#0072b2', dashMm: [3, 1.5], widthMm: 0.3 },
  fold: { label: 'fold', color: '#009e73', dashMm: [8, 1.5, 1, 1.5], widthMm: 0.3 },
  placement: { label: 'placement', color: '#cc79a7', dashMm: [1, 1.5], widthMm: 0.3 },
  mark: { label: 'mark', color: '#000000', dashMm: [], widthMm: 0.3 },
  wrap: { label: 'wrap', color: '#56b4e9', dashMm: [8, 1.5, 1, 1.5, 1, 1.5], widthMm: 0.3 },
};
