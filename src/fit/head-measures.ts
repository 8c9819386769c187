/** A wearer's head as a tape finds it, mm; only the girth must be known. */
export interface HeadMeasures {
  /** Round the head over the brow and the fullest part at the back. */
  readonly girthMm: number;
  /** From between the brows to the farthest point at the back, straight. */
  readonly headLengthMm?: number;
  /** Across the widest part above the ears, straight. */
  readonly headBreadthMm?: number;
  /** From the front of one ear over the top to the front of the other. */
  readonly earToEarMm?: number;
  /** From between the brows over the top to the bump at the back of the skull, where the nape begins. */
  readonly browToNapeMm?: number;
  /** From the dip of the nose between the eyes to under the chin, straight. */
  readonly browToChinMm?: number;
  /** From the front of one ear along the head to the middle of the brow. */
  readonly earToBrowMm?: number;
}

export type HeadMeasure = keyof HeadMeasures;

/** In the order in which they are asked for. */
export const HEAD_MEASURES: readonly HeadMeasure[] = [
  'girthMm',
  'headLengthMm',
  'headBreadthMm',
  'earToEarMm',
  'browToNapeMm',
  'browToChinMm',
  'earToBrowMm',
];

export const MEASURE_NAMES: Readonly<Record<HeadMeasure, string>> = {
  girthMm: 'Head girth',
  headLengthMm: 'Head length',
  headBreadthMm: 'Head breadth',
  earToEarMm: 'Ear to ear, over the top',
  browToNapeMm: 'Brow to nape, over the top',
  browToChinMm: 'Brow to chin',
  earToBrowMm: 'Ear to brow',
};
