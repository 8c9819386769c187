import { describe, expect, it } from 'vitest';
import {
  countWords,
  degreeWords,
  digitsFor,
  mmWords,
  percentWords,
  toleranceWords,
  withFiguresWhole,
} from '../../src/ui/controls/number-words.ts';

/** The decimal sign of the locale that the tests run in. */
const sign = (0.1).toLocaleString(undefined)[1]!;
const local = (text: string) => text.replace('.', sign);

describe('lengths in words', () => {
  it('show as many digits as asked, and no minus before a zero', () => {
    expect(mmWords(412.345)).toBe(local('412.3'));
    expect(mmWords(412.345, 2)).toMatch(/^412.3[45]$/);
    expect(mmWords(-0.04)).toBe(local('0.0'));
    expect(mmWords(-0.06)).toBe(local('-0.1'));
    expect(mmWords(1234.5, 0)).toBe('1235');
    expect(mmWords(Number.NaN)).toBe('–');
  });

  it('show the digits that a stated tolerance leaves meaningful', () => {
    expect([2, 0.5, 0.2, 0.05, 0.02, 0.002].map(digitsFor)).toEqual([0, 0, 1, 1, 2, 2]);
    expect([0, Number.NaN].map(digitsFor)).toEqual([1, 1]);
  });

  it('state a tolerance as two sigma, and never as zero', () => {
    expect(toleranceWords(0.22)).toBe(local('± 0.4'));
    expect(toleranceWords(0.022)).toBe(local('± 0.04'));
    expect(toleranceWords(0.0001)).toBe(local('± 0.01'));
    expect(toleranceWords(1.6)).toBe(local('± 3.2'));
  });
});

describe('other figures in words', () => {
  it('carry their unit', () => {
    expect(percentWords(0.9912, 1)).toBe(local('99.1 %'));
    expect(degreeWords(Math.PI / 12)).toBe('15°');
    expect(countWords(1, 'piece')).toBe('1 piece');
    expect(countWords(3, 'piece')).toBe('3 pieces');
    expect(countWords(2, 'half', 'halves')).toBe('2 halves');
  });

  it('are held together in a sentence, which is otherwise left as it is', () => {
    const words = 'A tape would bring ± 3.5 mm down to ± 1.1 mm on 500 mm.';
    expect(withFiguresWhole(words)).toBe(
      'A tape would bring ±\u00A03.5\u00A0mm down to ±\u00A01.1\u00A0mm on 500 mm.',
    );
  });
});
