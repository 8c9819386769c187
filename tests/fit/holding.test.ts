import { expect, test } from 'vitest';
import { easeNotes, HOLDINGS, HOLDS, tightestEaseMm } from '../../src/fit/holding.ts';

test('tension presses, within its own limit; ears and bar leave room', () => {
  expect(HOLDINGS.tension.usualEaseMm).toBeLessThan(0);
  expect(HOLDINGS.tension.usualEaseMm).toBeGreaterThan(tightestEaseMm(520));
  expect(HOLDINGS.ears.usualEaseMm).toBeGreaterThan(0);
  expect(HOLDINGS['cross-bar'].usualEaseMm).toBeGreaterThan(HOLDINGS.ears.usualEaseMm);
});

test('the usual ease of each says nothing odd, but pressure always brings the headache caution', () => {
  for (const hold of HOLDS) {
    const notes = easeNotes(575, HOLDINGS[hold].usualEaseMm, hold);
    expect(notes.length).toBe(hold === 'tension' ? 1 : 0);
  }
  expect(easeNotes(575, -5, 'tension')[0]).toContain('headache within the hour');
});

test('beyond the limit it says how much is the most', () => {
  expect(easeNotes(580, -13).join(' ')).toContain('12 mm (2 % of the girth)');
  expect(easeNotes(580, -11)).toHaveLength(1);
  expect(easeNotes(580, -12)).toHaveLength(1);
  expect(easeNotes(580, -13)).toHaveLength(2);
});

test('an ease that contradicts the way of holding is told', () => {
  expect(easeNotes(580, 0, 'tension')[0]).toContain('will not hold');
  expect(easeNotes(580, 0, 'cross-bar')[0]).toContain('Give it some');
  expect(easeNotes(580, 0)).toEqual([]);
});
