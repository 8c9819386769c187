/**
 * Dash codes of nested sizes, our own: after each long dash come as many short ones as the size has fives, then as many
 * dots as are left over, so that a size is counted off its line in black and white. Size 0 is a plain long dash.
 */

const LONG_MM = 9;
const SHORT_MM = 3;
/** A dot is short enough not to be taken for a dash, and long enough to print. */
const DOT_MM = 0.8;
const GAP_MM = 1.6;
const FIVES = 5;

/** Dash pattern of the size with this index, counted from 0, mm on paper. */
export function sizeDashMm(index: number): number[] {
  const dashes = [LONG_MM];
  for (let i = 0; i < Math.floor(index / FIVES); i++) dashes.push(SHORT_MM);
  for (let i = 0; i < index % FIVES; i++) dashes.push(DOT_MM);
  return dashes.flatMap((dash) => [dash, GAP_MM]);
}

/** The code in words, for the key: "long, 1 short, 2 dots". */
export function sizeDashWords(index: number): string {
  const [fives, dots] = [Math.floor(index / FIVES), index % FIVES];
  return [
    'long',
    ...(fives > 0 ? [`${fives} short`] : []),
    ...(dots > 0 ? [`${dots} ${dots === 1 ? 'dot' : 'dots'}`] : []),
  ].join(', ');
}
