/** What a build may hold. Commands and the file format refuse what lies outside; screens offer only what lies inside. */
export interface Range {
  readonly min: number;
  readonly max: number;
}

export const LIMITS = {
  girthMm: { min: 300, max: 900 },
  headLengthMm: { min: 100, max: 350 },
  headBreadthMm: { min: 80, max: 300 },
  earToEarMm: { min: 180, max: 600 },
  browToNapeMm: { min: 180, max: 650 },
  browToChinMm: { min: 50, max: 250 },
  earToBrowMm: { min: 70, max: 300 },
  /** Liner or padding, squeezed as worn. */
  liningMm: { min: 0, max: 60 },
  testStripMm: { min: 50, max: 3000 },
  testGapMm: { min: -500, max: 500 },
  readingMm: { min: 0.1, max: 10 },
  doubtK: { min: 0, max: 5 },
  foamThicknessMm: { min: 0.5, max: 60 },
  neutralK: { min: 0, max: 1 },
  pieceThicknessMm: { min: 0, max: 100 },
  thicknessDoubtMm: { min: 0, max: 20 },
  edgeBias: { min: -1, max: 1 },
  /** Share of the paper's light that a drawn line takes away. */
  leastDarkness: { min: 0.04, max: 0.8 },
  largestGapMm: { min: 0, max: 10 },
  cleaningToleranceMm: { min: 0.01, max: 5 },
  count: { min: 0, max: 99 },
  easeMm: { min: -100, max: 300 },
  coverageRad: { min: 0.01, max: 2 * Math.PI },
  /** Below a tenth of a millimetre nothing is measured, above 20 mm nothing is checked. */
  foldLimitMm: { min: 0.1, max: 20 },
  marginMm: { min: 0, max: 40 },
  overlapMm: { min: 0, max: 40 },
  /** The check bars are 150 and 200 mm long; a printer that is out by more than a fifth printed "fit to page". */
  checkAcrossMm: { min: 120, max: 180 },
  checkAlongMm: { min: 160, max: 240 },
  tapeLengthMm: { min: 1, max: 5000 },
  /** Letter's short side less a tenth to A3's long side and a tenth. */
  sheetSideMm: { min: 180, max: 460 },
  notchesPerHalf: { min: 0, max: 20 },
  /** Foam folded back on itself has no bevel. */
  foldRad: { min: -2.8, max: 2.8 },
  extraMm: { min: 0.1, max: 60 },
  sizeStepMm: { min: 1, max: 100 },
  tapeDoubtMm: { min: 0.01, max: 50 },
  /** Letters on a piece: smaller ones are not read, larger ones are a drawing. */
  wordsSizeMm: { min: 2, max: 50 },
} as const satisfies Readonly<Record<string, Range>>;

export const LONGEST_NAME = 120;
export const LONGEST_WORDS = 60;

/** More than any piece has, few enough to hold in memory: lines of a revision, segments of a line. */
export const MOST_LINES = 2000;
export const MOST_SEGMENTS = 20_000;
/** Nothing on a worktable or in a photo lies farther away than this, in mm or px. */
export const FARTHEST = 1e6;

export function isWithin(value: number, range: Range): boolean {
  return value >= range.min && value <= range.max;
}
