import fontkit from '@cantoo/fontkit';
import { PDFDocument, StandardFonts } from '@cantoo/pdf-lib';
import { describe, expect, it } from 'vitest';
import { FONT_BASE64 } from '../../src/template/font-data.ts';
import {
  fitText,
  hasMissingLetters,
  MISSING_LETTER,
  printableText,
  textWidthMm,
  wrapText,
} from '../../src/template/printable-text.ts';

const font = fontkit.create(Buffer.from(FONT_BASE64, 'base64'));
const hasGlyph = (code: number): boolean => 'hasGlyphForCodePoint' in font && font.hasGlyphForCodePoint(code);

describe('text made ready for printing', () => {
  it.each(['Łuk čelní', 'Øreklap', 'Çeltik', 'Перо шапки', 'Κορώνα', 'Ăn', 'Ćwiek “A” – ½ × 3'])(
    'keeps %s',
    (name) => {
      expect(printableText(name)).toBe(name);
      expect(hasMissingLetters(name)).toBe(false);
    },
  );

  it('has a glyph of the font for everything it lets through', () => {
    for (let code = 0x20; code < 0x3000; code++) {
      const letter = printableText(`a${String.fromCodePoint(code)}a`)
        .slice(1, -1)
        .normalize('NFC');
      for (const shown of letter)
        expect(hasGlyph(shown.codePointAt(0)!), `U+${code.toString(16)}`).toBe(true);
    }
  });

  it('shows a box for each letter that the font lacks', () => {
    expect(printableText('灯 plate 🪶')).toBe(`${MISSING_LETTER} plate ${MISSING_LETTER}`);
    expect(hasMissingLetters('灯 plate')).toBe(true);
  });

  it('joins a letter and its accent, and drops what cannot be seen', () => {
    expect(printableText('c\u030celni\u0301')).toBe('čelní');
    expect(printableText('wing\u200b\u202e tip')).toBe('wing tip');
  });

  it('puts a name of several lines on one', () => {
    expect(printableText('  left\n\tguard\u0000 ')).toBe('left guard');
  });
});

describe('text widths', () => {
  it('are the metrics of Helvetica (Adobe Font Metrics, as pdf-lib carries them) to a thousandth of the size', async () => {
    const document = await PDFDocument.create();
    const helvetica = await document.embedFont(StandardFonts.Helvetica);
    for (let code = 0x20; code < 0x7f; code++) {
      const letter = String.fromCodePoint(code);
      // The apostrophe of the typewriter is the one letter that the two fonts draw differently.
      if (letter === "'") continue;
      expect(textWidthMm(letter, 1), letter).toBeCloseTo(helvetica.widthOfTextAtSize(letter, 1), 2);
    }
  });

  it('take an accented letter for its base letter', () => {
    expect(textWidthMm('čelní', 10)).toBe(textWidthMm('celni', 10));
  });
});

describe('text fitted to a width', () => {
  it('is left alone when it fits and cut off with an ellipsis when not', () => {
    expect(fitText('Guard', 4, 50)).toBe('Guard');
    const cut = fitText('A very long name for a small guard', 4, 20);
    expect(cut).toMatch(/^A very.*…$/);
    expect(textWidthMm(cut, 4)).toBeLessThanOrEqual(20);
  });

  it('breaks at blanks into lines that fit, losing no word', () => {
    const text = 'Marsh Heron Warden of the lantern festival by the reeds';
    const lines = wrapText(text, 4, 30);
    expect(lines.join(' ')).toBe(text);
    expect(lines.length).toBeGreaterThan(2);
    for (const line of lines) expect(textWidthMm(line, 4)).toBeLessThanOrEqual(30);
  });

  it('cuts off a word wider than a line', () => {
    const lines = wrapText(`short ${'w'.repeat(200)} end`, 4, 30);
    expect(lines[0]).toBe('short');
    for (const line of lines) expect(textWidthMm(line, 4)).toBeLessThanOrEqual(30);
  });
});
