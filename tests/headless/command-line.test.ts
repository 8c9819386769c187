import { describe, expect, it } from 'vitest';
import { readCommandLine, Unusable } from '../../src/headless/command-line.ts';

const CAPTURE = ['capture', 'photo.jpg', '--out', 'results'];

describe('the command line', () => {
  it('takes a photo and a folder, and everything else as it is usual', () => {
    expect(readCommandLine(CAPTURE)).toEqual({
      command: 'capture',
      photo: 'photo.jpg',
      out: 'results',
      thicknessMm: 0.1,
    });
  });

  it('takes several photos of one table', () => {
    expect(readCommandLine(['capture', 'a.jpg', 'b.jpg', '--out', 'results'])).toMatchObject({
      photo: 'a.jpg',
      otherPhotos: ['b.jpg'],
    });
  });

  it('takes thickness, reference, mode and both check bars', () => {
    const more = ['--thickness', '10', '--reference', 'cards', '--mode', 'cut'];
    const bars = ['--bar-across=149.2', '--bar-along', '198.9'];
    expect(readCommandLine([...CAPTURE, ...more, ...bars])).toMatchObject({
      thicknessMm: 10,
      printer: { acrossMm: 149.2, alongMm: 198.9 },
    });
  });

  it('takes several references, repeated or with commas between, with what belongs to each', () => {
    const more = ['--reference', 'cards,A4', '--reference', 'two-points', '--sheet-sides', '297,209.6'];
    const points = ['--points', '10,20,900,30', '--distance', '250', '--corners', '1,2,30,2,30,40,1,40'];
    expect(readCommandLine([...CAPTURE, ...more, ...points])).toMatchObject({
      references: [
        { kind: 'cards' },
        {
          kind: 'sheet',
          sheet: 'A4',
          measuredMm: { shortMm: 209.6, longMm: 297 },
          nearPx: [
            { u: 1, v: 2 },
            { u: 30, v: 2 },
            { u: 30, v: 40 },
            { u: 1, v: 40 },
          ],
        },
        { kind: 'two-points', fromPx: { u: 10, v: 20 }, toPx: { u: 900, v: 30 }, distanceMm: 250 },
      ],
    });
  });

  it('takes the scale cards for A4 unless told otherwise', () => {
    expect(readCommandLine(['cards', '--out', 'c.pdf'])).toEqual({
      command: 'cards',
      out: 'c.pdf',
      paper: 'A4',
    });
  });

  it('takes a photo of a card page, with one bar, both or none', () => {
    expect(readCommandLine(['check-printer', 'page.jpg'])).toEqual({
      command: 'check-printer',
      photo: 'page.jpg',
      bars: {},
    });
    expect(readCommandLine(['check-printer', 'page.jpg', '--bar-across', '149.1'])).toMatchObject({
      bars: { acrossMm: 149.1 },
    });
    const pointed = ['--bank-card', '--corners', '10,20,90,21,91,70,9,71'];
    expect(readCommandLine(['check-printer', 'page.jpg', ...pointed])).toMatchObject({
      bankCard: {
        kind: 'bank-card',
        nearPx: [
          { u: 10, v: 20 },
          { u: 90, v: 21 },
          { u: 91, v: 70 },
          { u: 9, v: 71 },
        ],
      },
    });
  });

  it('gives help when asked, and when asked nothing', () => {
    for (const args of [[], ['--help'], ['capture', '-h']]) {
      expect(readCommandLine(args)).toEqual({ command: 'help' });
    }
  });

  it.each([
    [['measure', 'photo.jpg'], 'no command "measure"'],
    [['capture', '--out', 'results'], 'Name a photo'],
    [
      ['capture', 'a', 'b', 'c', 'd', 'e', 'f', 'g', '--out', 'results'],
      'At most 6 photos can be joined, not 7',
    ],
    [['capture', 'photo.jpg'], '--out DIR'],
    [[...CAPTURE, '--thickness', '-3'], '--thickness must be a number from 0 to 100 mm, not "-3"'],
    [[...CAPTURE, '--thickness', 'thick'], 'not "thick"'],
    [[...CAPTURE, '--thickness', ''], 'not ""'],
    [[...CAPTURE, '--thickness', 'Infinity'], 'not "Infinity"'],
    [[...CAPTURE, '--reference', 'coin'], '--reference can be cards, bank-card, a4'],
    [[...CAPTURE, '--reference', 'two-points', '--distance', '300'], 'both places in the photo'],
    [[...CAPTURE, '--reference', 'bank-card', '--points', '1,2,3,4'], 'belong to --reference two-points'],
    [
      [...CAPTURE, '--reference', 'two-points', '--points', '1,2,3', '--distance', '9'],
      '--points takes 4 numbers',
    ],
    [['check-printer', 'p.jpg', '--corners', '1,2,3,4,5,6,7,8'], 'belongs to the bank card beside the page'],
    [[...CAPTURE, '--corners', '1,2,3,4,5,6,7,8'], '--corners belongs to one bank card or sheet'],
    [[...CAPTURE, '--reference', 'cards', '--sheet-sides', '210,297'], '--sheet-sides belongs to one sheet'],
    [['capture', 'photo.jpg', '--out', 'results', '--mode', 'painted'], '"cut" (cut-out pieces) or "drawn"'],
    [['capture', 'photo.jpg', '--out', 'results', '--largest-gap', '2'], 'go with --mode drawn'],
    [['capture', 'photo.jpg', '--out', 'r', '--mode', 'drawn', '--faintest-line', '2'], 'from 0.04 to 0.8'],
    [['capture', 'a.jpg', 'b.jpg', '--out', 'results', '--mode', 'drawn'], 'one photo at a time'],
    [[...CAPTURE, '--bar-across', '149'], 'both check bars'],
    [[...CAPTURE, '--bar-across', '149', '--bar-along', '15'], '--bar-along must be a number'],
    [[...CAPTURE, '--wide'], "Unknown option '--wide'"],
    [[...CAPTURE, '--thickness'], 'argument missing'],
    [['cards'], '--out FILE.pdf'],
    [['cards', '--out', 'c.pdf', '--paper', 'A5'], 'not for "A5"'],
  ])('refuses %j in a sentence', (args, words) => {
    expect(() => readCommandLine(args)).toThrow(Unusable);
    expect(() => readCommandLine(args)).toThrow(words);
  });
});
