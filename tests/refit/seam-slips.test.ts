import { describe, expect, it } from 'vitest';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { movePath } from '../../src/geometry/motion.ts';
import { type Path, polylinePath } from '../../src/geometry/path.ts';
import { compareRevisions } from '../../src/refit/compare-revisions.ts';
import { seamSlips } from '../../src/refit/seam-slips.ts';
import { layoutTemplate } from '../../src/template/layout.ts';
import { tilesOnPiece } from '../../src/template/tiles-on-piece.ts';
import { point } from '../geometry/drawn.ts';
import { CROWN, VISOR, withNoise } from '../mirror/outlines.ts';
import { ELSEWHERE } from './mock-ups.ts';
import { printedAlone, type Slip, slippedPrint } from './slipped-print.ts';

const cut = (path: Path): PieceLine[] => [{ id: 'outline', kind: 'cut', path }];

function checked(piece: Path, slip: Slip | undefined, noiseMm = 0) {
  const lines = cut(piece);
  const { tiles, seams } = tilesOnPiece(layoutTemplate(printedAlone(lines)), 0);
  const [seam] = seams;
  const second = tiles.find(({ name }) => name === seam!.tiles[1])!;
  const middle = point(
    second.corners.reduce((sum, { x }) => sum + x, 0) / 4,
    second.corners.reduce((sum, { y }) => sum + y, 0) / 4,
  );
  const taped = slip ? slippedPrint(piece, seam!, middle, slip) : piece;
  const photographed = movePath(noiseMm > 0 ? withNoise(taped, noiseMm, 5) : taped, ELSEWHERE);
  const comparison = compareRevisions(lines, cut(photographed), { limitMm: 1 });
  if (!comparison.ok) throw new Error(comparison.problem.message);
  const slips = seamSlips(lines, cut(photographed), comparison.value, tiles, seams);
  return { slips, comparison: comparison.value, seam: seam!, tiles, seams };
}

describe('the seams of a taped print', () => {
  it('are where the template room put them, in the frame of the piece', () => {
    const { seams, tiles, slips } = checked(VISOR, undefined);
    expect(tiles.length).toBeGreaterThan(1);
    expect(slips).toHaveLength(seams.length);
    for (const { alongMm, apartMm } of slips) {
      expect(Math.abs(alongMm ?? 0)).toBeLessThan(0.02);
      expect(Math.abs(apartMm ?? 0)).toBeLessThan(0.02);
    }
  });

  it.each<[string, Path, Slip]>([
    ['2 mm along', VISOR, { alongMm: 2, apartMm: 0 }],
    ['1.5 mm the other way', VISOR, { alongMm: -1.5, apartMm: 0 }],
    ['a gap of 2 mm', VISOR, { alongMm: 0, apartMm: 2 }],
    ['3 mm too far over, and 1 along', CROWN, { alongMm: 1, apartMm: -3 }],
  ])('tell a slip of %s within 0.25 mm, also with a rough edge', (_, piece, slip) => {
    const [found] = checked(piece, slip, 0.05).slips;
    expect(found!.alongMm).toBeDefined();
    expect(found!.apartMm).toBeDefined();
    expect(Math.abs(found!.alongMm! - slip.alongMm)).toBeLessThan(0.25);
    expect(Math.abs(found!.apartMm! - slip.apartMm)).toBeLessThan(0.25);
  });

  it('tell a turned page too', () => {
    const [found] = checked(VISOR, { alongMm: 0, apartMm: 0, turnRad: 0.012 }).slips;
    expect(Math.abs(found!.turnRad! - 0.012)).toBeLessThan(0.002);
  });

  it('are not told along a strip whose pages hold straight edges only; across it the edges tell', () => {
    const strip = polylinePath([point(0, 0), point(900, 0), point(900, 40), point(0, 40)], true);
    const lines = cut(strip);
    const { tiles, seams } = tilesOnPiece(layoutTemplate(printedAlone(lines)), 0);
    const rough = cut(withNoise(strip, 0.05, 3));
    const comparison = compareRevisions(lines, rough, { limitMm: 1 });
    if (!comparison.ok) throw new Error(comparison.problem.message);
    const slips = seamSlips(lines, rough, comparison.value, tiles, seams);
    expect(slips).toHaveLength(3);
    // A seam stands square on the strip, so apart is along the strip.
    for (const { apartMm, alongMm } of slips) {
      expect(apartMm).toBeUndefined();
      expect(alongMm).toBeCloseTo(0, 1);
    }
  });
});
