import fc from 'fast-check';
import { expect, test } from 'vitest';
import { smallestBox } from '../../src/geometry/smallest-box.ts';
import { mapPath, type Path, polylinePath } from '../../src/geometry/path.ts';

const turned = (path: Path, turnRad: number) =>
  mapPath(path, ({ x, y }) => ({
    x: Math.cos(turnRad) * x - Math.sin(turnRad) * y,
    y: Math.sin(turnRad) * x + Math.cos(turnRad) * y,
  }));

const anyTurn = fc.double({ min: -7, max: 7, noNaN: true });

test('a rectangle has its own sides, however it lies', () => {
  const sheet = polylinePath(
    [
      [0, 0],
      [300, 0],
      [300, 120],
      [0, 120],
    ].map(([x, y]) => ({ x: x!, y: y! })),
    true,
  );
  fc.assert(
    fc.property(anyTurn, (turnRad) => {
      const { longMm, shortMm, longRad } = smallestBox(turned(sheet, turnRad));
      expect(longMm).toBeCloseTo(300, 3);
      expect(shortMm).toBeCloseTo(120, 3);
      // Its long side lies along the turn, either way round.
      expect(Math.sin(longRad - turnRad)).toBeCloseTo(0, 5);
    }),
  );
});

test('a curved piece has the same size in every turn', () => {
  const leaf: Path = {
    closed: true,
    start: { x: -100, y: 0 },
    segments: [
      { kind: 'cubic', c1: { x: -40, y: -60 }, c2: { x: 40, y: -60 }, to: { x: 100, y: 0 }, joint: 'corner' },
      { kind: 'cubic', c1: { x: 40, y: 60 }, c2: { x: -40, y: 60 }, to: { x: -100, y: 0 }, joint: 'corner' },
    ],
  };
  fc.assert(
    fc.property(anyTurn, (turnRad) => {
      const { longMm, shortMm } = smallestBox(turned(leaf, turnRad));
      expect(longMm).toBeCloseTo(200, 3);
      expect(shortMm).toBeCloseTo(90, 3);
    }),
  );
});
