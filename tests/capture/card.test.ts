import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import {
  CARD_COUNT,
  MARK_CENTRES,
  MARKER_CELLS,
  markerCells,
  SQUARE_CORNERS,
} from '../../src/capture/card.ts';

const { AR } = createRequire(import.meta.url)('js-aruco2') as {
  AR: { DICTIONARIES: { ARUCO_MIP_36h12: { codeList: number[] } } };
};

/** The 6 x 6 inner bits of a card, row by row. */
const innerBits = (id: number): string =>
  markerCells(id)
    .slice(1, -1)
    .map((row) =>
      row
        .slice(1, -1)
        .map((white) => (white ? '1' : '0'))
        .join(''),
    )
    .join('');

describe('the scale card', () => {
  it('carries the codes of the published dictionary ARUCO_MIP_36h12, as js-aruco2 lists them', () => {
    for (let id = 0; id < CARD_COUNT; id++) {
      expect(innerBits(id)).toBe(AR.DICTIONARIES.ARUCO_MIP_36h12.codeList[id]!.toString(2).padStart(36, '0'));
    }
  });

  it('tells any two ids apart by 12 bits or more in every turn (the dictionary has that distance)', () => {
    const turned = (bits: string): string =>
      Array.from({ length: 36 }, (_, k) => bits[(5 - (k % 6)) * 6 + Math.floor(k / 6)]).join('');
    const distance = (a: string, b: string): number => Array.from(a).filter((bit, i) => bit !== b[i]).length;
    for (let a = 0; a < CARD_COUNT; a++) {
      for (let b = 0; b <= a; b++) {
        let other = innerBits(b);
        for (let turn = 0; turn < 4; turn++) {
          if (a !== b || turn > 0) expect(distance(innerBits(a), other)).toBeGreaterThanOrEqual(12);
          other = turned(other);
        }
      }
    }
  });

  it('has a black border of one cell', () => {
    const cells = markerCells(11);
    expect(cells).toHaveLength(MARKER_CELLS);
    const last = MARKER_CELLS - 1;
    for (let k = 0; k < MARKER_CELLS; k++) {
      expect([cells[0]![k], cells[last]![k], cells[k]![0], cells[k]![last]]).toEqual([
        false,
        false,
        false,
        false,
      ]);
    }
  });

  it('lists corners and marks from the top left clockwise, y up', () => {
    expect(SQUARE_CORNERS.map(({ x, y }) => [Math.sign(x), Math.sign(y)])).toEqual([
      [-1, 1],
      [1, 1],
      [1, -1],
      [-1, -1],
    ]);
    expect(MARK_CENTRES[2]).toEqual({ x: 33, y: -33 });
  });

  it('has no id beyond the last', () => {
    expect(() => markerCells(CARD_COUNT)).toThrow('no card has the id 12');
    expect(() => markerCells(-1)).toThrow();
  });
});
