/** Words on a piece, read back from the PDF by pdf.js and from the SVG: where they were put, and no line under them. */
import { describe, expect, it } from 'vitest';
import { wordsPath } from '../../src/geometry/edit/marks.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { piecesSvg } from '../../src/template/pieces-svg.ts';
import { templatePdf } from '../../src/template/template-pdf.ts';
import { boxPath, plainPiece } from './marsh-heron.ts';
import { readPdf } from './read-pdf.ts';

const WORDS: PieceLine = {
  id: 'words',
  kind: 'mark',
  path: wordsPath({ x: 20, y: 70 }, 'glue <here> & there', 6),
  words: { text: 'glue <here> & there', sizeMm: 6 },
};
const bare = plainPiece('Guard', boxPath(120, 90));
const PIECE = { ...bare, lines: [...bare.lines, WORDS] };

describe('words on a piece', () => {
  it('are printed where they begin on the piece, and their line is not', async () => {
    const input = {
      buildName: 'Marsh Heron Warden',
      date: '2 May 2031',
      pageSetup: { paper: 'A4', marginMm: 8, overlapMm: 10 },
    } as const;
    const [withWords, without] = await Promise.all(
      [PIECE, bare].map(async (piece) => readPdf(await templatePdf({ ...input, pieces: [piece] }))),
    );
    const page = withWords!.find(({ words }) => words.some(({ text }) => text === 'glue <here> & there'));
    const word = page!.words.find(({ text }) => text === 'glue <here> & there')!;
    // As many strokes as without the words, whose legend has no marks in it.
    const strokes = (pages: typeof withWords) => pages!.at(-1)!.paths.length;
    expect(strokes(withWords)).toBe(strokes(without));
    const corners = page!.paths.flatMap(({ commands }) => commands.flatMap(({ points }) => points));
    // From the piece's corners to where the words begin, 20 mm along and 70 mm up.
    for (const wanted of [Math.hypot(20, 70), Math.hypot(100, 70), Math.hypot(100, 20), Math.hypot(20, 20)]) {
      const nearest = Math.min(...corners.map((at) => Math.abs(distanceMm(at, word.at) - wanted)));
      expect(nearest).toBeLessThan(0.02);
    }
  });

  it('are text in the layer of the marks of the SVG, safely written', () => {
    const svg = piecesSvg({ pieces: [PIECE] });
    const marks = svg.split('<g id="mark"')[1]!;
    expect(marks).toContain('font-size="6"');
    expect(marks).toContain('glue &lt;here&gt; &amp; there</text>');
    expect(marks.split('</g>')[0]).not.toContain(' d="');
  });
});
