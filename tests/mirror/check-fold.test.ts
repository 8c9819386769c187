import DiscreteHausdorffDistance from 'jsts/org/locationtech/jts/algorithm/distance/DiscreteHausdorffDistance.js';
import { describe, expect, it } from 'vitest';
import type { LineKind, PieceLine } from '../../src/geometry/line-kinds.ts';
import { flattenPath, pathAreaMm2 } from '../../src/geometry/measure.ts';
import { movePath, mover, reflectionAcross } from '../../src/geometry/motion.ts';
import { type Path, polylinePath } from '../../src/geometry/path.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { foldLine } from '../../src/mirror/axis.ts';
import { checkFold } from '../../src/mirror/check-fold.ts';
import { findAxes } from '../../src/mirror/find-axes.ts';
import { ellipse, jstsRing, point, rectangle } from '../geometry/drawn.ts';
import {
  CROWN,
  EYES,
  fineOutline,
  OUTLINES,
  posed,
  POSED_AXIS,
  posedPoint,
  VISOR,
  withBumps,
  withNoise,
} from './outlines.ts';

const AXIS = foldLine(POSED_AXIS, 'by-hand');
const UPRIGHT = foldLine({ point: point(0, 0), angleRad: Math.PI / 2 }, 'vertical');
const line = (id: string, kind: LineKind, path: Path): PieceLine => ({ id, kind, path });
const cut = (path: Path) => [line('outline', 'cut', path)];

/** Places well away from the axis and from corners, where a bump's height is what it is said to be. */
function calmPlaces(path: Path): PlanePoint[] {
  const corners = path.segments.filter(({ joint }) => joint === 'corner').map(({ to }) => to);
  const fine = fineOutline(path, 5);
  const calm = fine.filter(
    ({ at }) => Math.abs(at.x) > 40 && corners.every((corner) => distanceMm(corner, at) > 20),
  );
  return [0.1, 0.35, 0.6, 0.85].map((share) => calm[Math.floor(share * calm.length)]!.at);
}

describe('a bump on a symmetric piece', () => {
  const heights = [0.5, 1, 2, 4, -0.5, -1, -2, -4];

  it.each(Object.entries(OUTLINES))(
    'is found in its place and at its height, once, axis found too: %s',
    (_, path) => {
      calmPlaces(path).forEach((near, i) => {
        for (const heightMm of [heights[i]!, heights[i + 4]!]) {
          const { path: spoiled, middles } = withBumps(path, [{ near, heightMm, widthMm: 30 }]);
          const outline = posed(spoiled);
          const nearTruth = ({ axis }: { axis: { angleRad: number } }) =>
            Math.abs(axis.angleRad - POSED_AXIS.angleRad) < 0.1;
          const { axis } = findAxes(outline).find(nearTruth)!;
          const check = checkFold(cut(outline), axis, 0.3);
          expect(check.stretches).toHaveLength(1);
          const [stretch] = check.stretches;
          const middle = posedPoint(middles[0]!);
          // Folding cannot always tell which half is the odd one; then the twin place is the bump's.
          expect(Math.min(distanceMm(stretch!.at, middle), distanceMm(stretch!.twinAt, middle))).toBeLessThan(
            5,
          );
          expect(Math.abs(Math.abs(stretch!.peakMm) - Math.abs(heightMm))).toBeLessThan(0.1);
          expect(Math.abs(check.maxMm - Math.abs(heightMm))).toBeLessThan(0.1);
          expect(stretch!.fromMm).toBeLessThan(stretch!.toMm);
        }
      });
    },
  );

  it('is put on the half it is on, outwards or inwards, on straight and curved edges', () => {
    let told = 0;
    let right = 0;
    for (const path of Object.values(OUTLINES)) {
      for (const near of calmPlaces(path)) {
        for (const heightMm of [1, 3, -1, -3]) {
          const { path: spoiled, middles } = withBumps(path, [{ near, heightMm, widthMm: 30 }]);
          const [stretch] = checkFold(cut(posed(spoiled)), AXIS, 0.3).stretches;
          told++;
          if (distanceMm(stretch!.at, posedPoint(middles[0]!)) < 5) right++;
        }
      }
    }
    expect(right / told).toBeGreaterThan(0.9);
  });

  it('under 0.1 mm of noise is still the one thing above half a millimetre and a bit', () => {
    const near = point(120, 66);
    const { path, middles } = withBumps(CROWN, [{ near, heightMm: 2, widthMm: 30 }]);
    const check = checkFold(cut(posed(withNoise(path, 0.1, 3))), AXIS, 0.7);
    expect(check.stretches).toHaveLength(1);
    expect(distanceMm(check.stretches[0]!.at, posedPoint(middles[0]!))).toBeLessThan(5);
  });
});

describe('fold check', () => {
  it.each(Object.entries(OUTLINES))('finds nothing on a symmetric piece: %s', (_, path) => {
    const outline = posed(path);
    const check = checkFold(cut(outline), findAxes(outline)[0]!.axis, 0.1);
    expect(check.maxMm).toBeLessThan(0.02);
    expect(check.stretches).toEqual([]);
    expect(check.areaDifferencePct).toBeLessThan(0.02);
    expect(check.leftAreaMm2 + check.rightAreaMm2).toBeCloseTo(pathAreaMm2(outline), 3);
  });

  it('finds nothing above half a millimetre on noisy symmetric pieces but rare spikes', () => {
    for (const path of [CROWN, VISOR]) {
      const outline = posed(withNoise(path, 0.1, 4));
      expect(checkFold(cut(outline), findAxes(outline)[0]!.axis, 0.55).stretches).toEqual([]);
    }
  });

  it('gives the largest deviation that jsts finds between the outline and its reflection', () => {
    for (const heightMm of [0.5, 2, -3]) {
      const { path } = withBumps(VISOR, [{ near: point(140, 30), heightMm, widthMm: 30 }]);
      const points = flattenPath(path);
      const reflected = points.map(mover(reflectionAcross(UPRIGHT)));
      const hausdorff = DiscreteHausdorffDistance.distance(jstsRing(points), jstsRing(reflected));
      expect(checkFold(cut(path), UPRIGHT, 1).maxMm).toBeCloseTo(hausdorff, 2);
    }
  });

  it('gives signs, areas and means of a square moved 2 mm off the axis as they are', () => {
    const square = rectangle(100, 100, -48, 0);
    const check = checkFold(cut(square), UPRIGHT, 1);
    // Right edge 2 x 2 mm outside, left edge as much inside, upper and lower edge on themselves but for their ends.
    expect(check.maxMm).toBeCloseTo(4, 9);
    expect([check.leftAreaMm2, check.rightAreaMm2].map((mm2) => mm2.toFixed(6))).toEqual([
      '4800.000000',
      '5200.000000',
    ]);
    expect(check.areaDifferencePct).toBeCloseTo(8, 9);
    const [outline] = check.lines;
    for (const { point: at, deviationMm, half } of outline!.samples) {
      if (at.y < 4 || at.y > 96) continue;
      expect(deviationMm).toBeCloseTo(at.x > 0 ? 4 : -4, 9);
      expect(half).toBe(at.x > 0 ? 'right' : 'left');
    }
    // Right edge 100 mm at 4 mm; left edge as much less 2 x 8 near its ends; 2 x 4 mm ends with a mean of 2 mm.
    expect(check.meanMm).toBeCloseTo((400 + 384 + 16) / 400, 9);
    expect(check.stretches).toHaveLength(1);
    expect(check.stretches[0]!.peakMm).toBeCloseTo(4, 9);
  });

  it('tells arrows that lead each place to its match', () => {
    const { path } = withBumps(CROWN, [{ near: point(120, 66), heightMm: 3, widthMm: 30 }]);
    const [outline] = checkFold(cut(path), UPRIGHT, 1).lines;
    for (const { point: at, match, deviationMm } of outline!.samples) {
      expect(distanceMm(at, match)).toBeCloseTo(Math.abs(deviationMm), 9);
    }
  });

  it('checks openings in pairs and across the axis, and names what has no partner', () => {
    const shifted = movePath(EYES[1]!, { mirrored: false, angleRad: 0, shift: point(1.5, 0) });
    const nose = ellipse(8, 12, point(0.5, -20));
    const lone = ellipse(6, 6, point(120, 20));
    const lines = [
      ...cut(VISOR),
      line('left eye', 'cutout', EYES[0]!),
      line('right eye', 'cutout', shifted),
      line('nose', 'cutout', nose),
      line('badge', 'cutout', lone),
    ];
    const check = checkFold(lines, UPRIGHT, 0.8);
    const byId = new Map(check.lines.map((l) => [l.lineId, l]));
    expect(byId.get('left eye')!.twinId).toBe('right eye');
    expect(byId.get('right eye')!.maxMm).toBeCloseTo(1.5, 2);
    expect(byId.get('nose')!.twinId).toBe('nose');
    expect(byId.get('nose')!.maxMm).toBeCloseTo(1, 2);
    expect(byId.get('outline')!.maxMm).toBeLessThan(0.01);
    expect(check.unmatchedIds).toEqual(['badge']);
    expect(check.maxMm).toBeCloseTo(1.5, 2);
    // Each eye shows it twice, outside at one end and inside at the other; told once each.
    expect(new Set(check.stretches.map(({ lineId }) => lineId))).not.toContain('outline');
    const eye = pathAreaMm2(EYES[0]!);
    expect(check.leftAreaMm2 + check.rightAreaMm2).toBeCloseTo(
      pathAreaMm2(VISOR) - 2 * eye - pathAreaMm2(nose) - pathAreaMm2(lone),
      3,
    );
  });

  it('checks open inner lines, and leaves the wrap line out', () => {
    const arc = polylinePath([point(-100, 20), point(0, 40), point(101, 20)], false);
    const wrap = polylinePath([point(-140, 0), point(90, 12)], false);
    const check = checkFold(
      [...cut(VISOR), line('arc', 'score', arc), line('wrap', 'wrap', wrap)],
      UPRIGHT,
      0.5,
    );
    expect(check.lines.map(({ lineId }) => lineId)).toEqual(['outline', 'arc']);
    expect(check.lines[1]!.maxMm).toBeCloseTo(1, 1);
    expect(check.unmatchedIds).toEqual([]);
  });

  it('refuses a limit of nothing, and a piece that does not meet the axis', () => {
    expect(() => checkFold(cut(VISOR), UPRIGHT, 0)).toThrow(RangeError);
    const beside = movePath(VISOR, { mirrored: false, angleRad: 0, shift: point(500, 0) });
    expect(() => checkFold(cut(beside), UPRIGHT, 1)).toThrow(RangeError);
  });
});
