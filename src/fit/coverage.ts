/** How much of the way round the head a piece covers, as makers say it. */
export interface CoverageWord {
  readonly id: string;
  readonly words: string;
  readonly coverageRad: number;
}

const TURN = 2 * Math.PI;

export const COVERAGE_WORDS: readonly CoverageWord[] = [
  { id: 'all', words: 'all', coverageRad: TURN },
  { id: 'half', words: 'half', coverageRad: TURN / 2 },
  { id: 'third', words: 'third', coverageRad: TURN / 3 },
  { id: 'quarter', words: 'quarter', coverageRad: TURN / 4 },
];

/** The word for a coverage, if one fits it to a hundredth of a degree. */
export function coverageWord(coverageRad: number): CoverageWord | undefined {
  return COVERAGE_WORDS.find((word) => Math.abs(word.coverageRad - coverageRad) < Math.PI / 18000);
}

/** The word whose share of `roundMm` (the wrap length all round) comes nearest to a wrap line, by ratio. */
export function likeliestCoverage(wrapMm: number, roundMm: number): CoverageWord {
  const unlikeness = ({ coverageRad }: CoverageWord) =>
    Math.abs(Math.log((coverageRad / TURN) * (roundMm / Math.max(wrapMm, 1e-6))));
  return COVERAGE_WORDS.reduce((best, word) => (unlikeness(word) < unlikeness(best) ? word : best));
}

export function degreesOf(angleRad: number): number {
  return (angleRad * 180) / Math.PI;
}

export function radiansOf(degrees: number): number {
  return (degrees * Math.PI) / 180;
}
