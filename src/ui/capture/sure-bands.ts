import type { ToleranceField } from '../../capture/tolerance-field.ts';
import { contourLevels } from '../../capture/tolerance-field.ts';
import { mmWords } from '../controls/number-words.ts';

/**
 * Shading that reads in black and white: the surest band is bare, and each level crossed adds one set of slanting
 * lines to those before it, so that the bands grow denser.
 */
export const LINE_SETS = [
  { way: 1, shift: 0 },
  { way: 1, shift: 0.5 },
  { way: -1, shift: 0 },
  { way: -1, shift: 0.5 },
] as const;

/** Distance of a set's lines, px on the screen. */
export const LINE_STEP_PX = 18;

function levelWords(levelMm: number): string {
  return mmWords(levelMm, Number.isInteger(Math.round(1000 * levelMm) / 100) ? 1 : 2);
}

/** "± 0.5 mm" at a contour. */
export function contourWords(levelMm: number): string {
  return `± ${levelWords(levelMm)} mm`;
}

/** The bands in words, the surest first. */
export function bandWords(field: ToleranceField): readonly string[] {
  const levels = contourLevels(field);
  if (levels.length === 0) return ['about even over the whole photo'];
  return [
    `under ${contourWords(levels[0]!)}`,
    ...levels.slice(1).map((level, k) => `± ${levelWords(levels[k]!)} to ${levelWords(level)} mm`),
    `over ${contourWords(levels.at(-1)!)}`,
  ];
}
