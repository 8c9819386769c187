import { mmWords } from '../controls/number-words.ts';

/** "+12.6", "−12.6", "0.0": a change in mm. */
export function signedWords(value: number): string {
  const words = mmWords(Math.abs(value));
  if (Number(words.replace(',', '.')) === 0) return words;
  return value > 0 ? `+${words}` : `−${words}`;
}
