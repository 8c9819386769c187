import simplify from 'simplify-js';
import { expect, test } from 'vitest';

// Worked example of Douglas & Peucker 1973 line thinning, computed in FACTS section 11.
const CHAIN = [
  [0, 0],
  [1, 0.1],
  [2, -0.1],
  [3, 5],
  [4, 6],
  [5, 7],
  [6, 8.1],
  [7, 9],
  [8, 9],
  [9, 9],
].map(([x, y]) => ({ x: x!, y: y! }));

test.each([
  [1, '0,0 2,-0.1 3,5 7,9 9,9'],
  [0.5, '0,0 2,-0.1 3,5 7,9 9,9'],
  [3, '0,0 9,9'],
])(
  'the thinning that finds the sides of sheets keeps the published points at tolerance %d',
  (tolerance, kept) => {
    expect(
      simplify(CHAIN, tolerance, true)
        .map(({ x, y }) => `${x},${y}`)
        .join(' '),
    ).toBe(kept);
  },
);

test('at tolerance 0.05 it keeps seven points', () => {
  expect(simplify(CHAIN, 0.05, true)).toHaveLength(7);
});
