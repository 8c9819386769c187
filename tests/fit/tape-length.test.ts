import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readTape, tapeWords } from '../../src/fit/tape-length.ts';

test.each([
  ['573', 'mm', 573],
  ['573.5 mm', 'in', 573.5],
  ['57,3 cm', 'mm', 573],
  ['22 7/8', 'in', 581.03],
  ['22-7/8 in', 'mm', 581.03],
  ['22.875"', 'mm', 581.03],
  ['7/8', 'in', 22.23],
  ['  23  ', 'in', 584.2],
  ['22⁄8', 'in', 69.85],
  ['13/8', 'in', 41.28],
] as const)('"%s" on a tape in %s is %d mm', (text, unit, mm) => {
  expect(readTape(text, unit)).toBeCloseTo(mm, 2);
});

test.each(['', '-3', 'mm', '12 3', '1/0', '5 feet', 'about 57', '1e3'])('"%s" is no length', (text) => {
  expect(readTape(text, 'mm')).toBeUndefined();
});

test.each([
  [581.025, 'in', '22 7/8'],
  [584.2, 'in', '23'],
  [22.2, 'in', '7/8'],
  [571.5, 'in', '22 1/2'],
  [580, 'mm', '580'],
  [580.25, 'mm', '580.3'],
] as const)('%d mm in %s reads %s', (mm, unit, words) => {
  expect(tapeWords(mm, unit)).toBe(words);
});

test('what is written on the tape is read back to within half a sixteenth of an inch', () => {
  fc.assert(
    fc.property(fc.double({ min: 20, max: 900, noNaN: true }), (mm) => {
      expect(Math.abs(readTape(tapeWords(mm, 'in'), 'in')! - mm)).toBeLessThanOrEqual(25.4 / 32 + 0.005);
      expect(Math.abs(readTape(tapeWords(mm, 'mm'), 'mm')! - mm)).toBeLessThanOrEqual(0.0501);
    }),
  );
});
