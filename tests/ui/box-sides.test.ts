import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { Piece } from '../../src/build/types.ts';
import { mapPath, polylinePath } from '../../src/geometry/path.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { boxSides } from '../../src/ui/trace/box-sides.ts';

const TRIANGLE = polylinePath(
  [
    { x: 0, y: 0 },
    { x: 260, y: 0 },
    { x: 90, y: 110 },
  ],
  true,
);

function pieceTurned(turnRad: number): Piece {
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  const path = mapPath(TRIANGLE, ({ x, y }) => ({ x: 40 + c * x - s * y, y: -70 + s * x + c * y }));
  const lines = [{ id: 'cut', kind: 'cut' as const, path }];
  const revisions = [{ id: 'r', when: '', why: 'test', lines }];
  return { id: 'p', name: 'Fin', foamId: 'f', count: 1, mirroredCount: 0, included: true, revisions };
}

it('runs beside the piece, as long as its size says, and the piece lies on the inner side', () => {
  fc.assert(
    fc.property(fc.double({ min: -4, max: 4, noNaN: true }), (turnRad) => {
      const piece = pieceTurned(turnRad);
      const corners = piece.revisions[0]!.lines[0]!.path.segments.map(({ to }) => to);
      for (const { from, to, out, lengthMm } of boxSides(piece)) {
        expect(distanceMm(from, to)).toBeCloseTo(lengthMm, 3);
        expect(Math.hypot(out.x, out.y)).toBeCloseTo(1, 9);
        const beyond = corners.map(({ x, y }) => (x - from.x) * out.x + (y - from.y) * out.y);
        // On the inner side, and touched by it.
        expect(Math.max(...beyond)).toBeCloseTo(0, 3);
      }
      const [long, short] = boxSides(piece);
      expect([long.lengthMm, short.lengthMm].map(Math.round)).toEqual([260, 110]);
    }),
  );
});
