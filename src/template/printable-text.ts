import { FONT_COVERAGE } from './font-data.ts';

const RANGES: readonly (readonly [number, number])[] = FONT_COVERAGE.split(' ').map((range) => {
  const [first, last] = range.split('-').map((part) => Number.parseInt(part, 16));
  return [first!, last ?? first!];
});

/** Stands in print for a letter that the font does not have. */
export const MISSING_LETTER = '\u25a1';

function canPrint(letter: string): boolean {
  const code = letter.codePointAt(0)!;
  return RANGES.some(([first, last]) => code >= first && code <= last);
}

/** Composed letters, invisible ones left out; a line break or control character in a name becomes a blank. */
function tidy(text: string): string {
  return text
    .normalize('NFC')
    .replace(/[\s\p{Cc}]+/gu, ' ')
    .replace(/\p{Cf}/gu, '')
    .trim();
}

/** Text as it can be printed, on one line; letters that the font lacks are replaced by a box. */
export function printableText(text: string): string {
  return Array.from(tidy(text), (letter) => (canPrint(letter) ? letter : MISSING_LETTER)).join('');
}

/** True when printing shows boxes for some of the letters. */
export function hasMissingLetters(text: string): boolean {
  return !Array.from(tidy(text)).every(canPrint);
}

/** Widths of the letters 0x20..0x7e of the font, thousandths of its size. */
const WIDTHS = [
  278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556,
  556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278,
  500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469,
  556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500,
  278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];
/** Other letters, and letters with accents after their base letter; wide ones are drawn narrower if need be. */
const OTHER_WIDTH = 750;

/** About how wide text comes out at a size in mm, before the font itself is at hand. */
export function textWidthMm(text: string, sizeMm: number): number {
  let width = 0;
  for (const letter of text) {
    const code = letter.normalize('NFD').codePointAt(0)!;
    width += WIDTHS[code - 0x20] ?? OTHER_WIDTH;
  }
  return (width / 1000) * sizeMm;
}

/** Text cut off with an ellipsis so that it is no wider than `widthMm`. */
export function fitText(text: string, sizeMm: number, widthMm: number): string {
  if (textWidthMm(text, sizeMm) <= widthMm) return text;
  const letters = Array.from(text);
  while (letters.length > 1 && textWidthMm(`${letters.join('')}…`, sizeMm) > widthMm) letters.pop();
  return `${letters.join('').trimEnd()}…`;
}

/** Text broken at blanks into lines no wider than `widthMm`; a word too wide for a line is cut off. */
export function wrapText(text: string, sizeMm: number, widthMm: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line ? `${line} ${word}` : word;
    if (!line || textWidthMm(longer, sizeMm) <= widthMm) line = longer;
    else {
      lines.push(fitText(line, sizeMm, widthMm));
      line = word;
    }
  }
  return [...lines, fitText(line, sizeMm, widthMm)];
}
