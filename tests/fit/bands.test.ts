/** Bands and cross bar: developed frustum and arcs against published examples, lengths by svg-path-properties. */
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, test } from 'vitest';
import { arcSegments } from '../../src/fit/bands/arc-path.ts';
import { bandShape, slantMm } from '../../src/fit/bands/band-shape.ts';
import { crossBar } from '../../src/fit/bands/cross-bar.ts';
import { joiningBand } from '../../src/fit/bands/joining-band.ts';
import { edgePath } from '../../src/fit/seams/seam-edge.ts';
import { withExtraStrip } from '../../src/fit/spread/extra-strip.ts';
import { pathAreaMm2, pathLengthMm } from '../../src/geometry/measure.ts';
import type { Path } from '../../src/geometry/path.ts';
import { pathFaults } from '../../src/geometry/path-faults.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { SvgPathData, writePath } from '../../src/template/sink.ts';
import { circlePath } from '../../src/template/shapes.ts';

function elsewhereMm(path: Path): number {
  const data = new SvgPathData();
  writePath(path, data);
  return new svgPathProperties(data.toString()).getTotalLength();
}
const degrees = (rad: number) => (rad * 180) / Math.PI;

function shapeOf(...args: Parameters<typeof bandShape>) {
  const outcome = bandShape(...args);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}
function bandOf(aMm: number, bMm: number, widthMm: number) {
  const outcome = joiningBand({ aMm, bMm, widthMm }, 'band', true);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

describe('the developed frustum', () => {
  test('of ends 5 and 8 across, 4 high, has radii 7.12 and 11.39 and 126.4 degrees (FACTS section 4: ceemrr.com)', () => {
    // In tens of millimetres, so that the band is one that can be cut.
    const [aMm, bMm] = [50 * Math.PI, 80 * Math.PI];
    const widthMm = slantMm(aMm, bMm, 40);
    expect(widthMm).toBeCloseTo(42.72, 3);
    const shape = shapeOf({ aMm, bMm, widthMm });
    if (shape.kind !== 'curved') throw new Error('straight');
    expect(shape.innerRadiusMm).toBeCloseTo(71.2, 2);
    expect(shape.outerRadiusMm).toBeCloseTo(113.92, 2);
    expect(degrees(shape.angleRad)).toBeCloseTo(126.4044, 3);
    expect(shape.shorter).toBe('a');
  });

  test('of girths 570 and 600, 60 high: slant 60.190, radii 1143.604 and 1203.794, 28.5576 degrees (FACTS section 4)', () => {
    const widthMm = slantMm(570, 600, 60);
    expect(widthMm).toBeCloseTo(60.19, 3);
    const shape = shapeOf({ aMm: 600, bMm: 570, widthMm });
    if (shape.kind !== 'curved') throw new Error('straight');
    expect(shape.innerRadiusMm).toBeCloseTo(1143.604, 2);
    expect(shape.outerRadiusMm).toBeCloseTo(1203.794, 2);
    expect(degrees(shape.angleRad)).toBeCloseTo(28.5576, 4);
    // Outer chord and rise, as the factsheet works them out.
    const band = bandOf(600, 570, widthMm);
    expect(distanceMm(band.edgeA.from, band.edgeA.to)).toBeCloseTo(593.81, 2);
    const lowest = Math.min(...edgePath(band.lines[0]!.path, band.edgeA).segments.map(({ to }) => to.y));
    expect(band.edgeA.from.y - lowest).toBeCloseTo(37.19, 2);
  });

  test('drawn, has edges as long as the seams it joins, to 0.1 mm and better', () => {
    for (const [aMm, bMm, widthMm] of [
      [598.85, 640.2, 45],
      [640.2, 598.85, 45],
      [80, 140, 30],
      [300, 300.05, 40],
    ] as const) {
      const { lines, edgeA, edgeB, shape } = bandOf(aMm, bMm, widthMm);
      const cut = lines[0]!.path;
      const tolerance = shape.kind === 'straight' ? 0.1 : 1e-3;
      expect(Math.abs(elsewhereMm(edgePath(cut, edgeA)) - aMm)).toBeLessThan(tolerance);
      expect(Math.abs(elsewhereMm(edgePath(cut, edgeB)) - bMm)).toBeLessThan(tolerance);
      expect(pathAreaMm2(cut)).toBeCloseTo(((aMm + bMm) / 2) * widthMm, 0);
      expect(pathFaults(cut)).toEqual([]);
      // Ends square to both edges and as long as the band is wide.
      expect(distanceMm(edgeA.to, edgeB.from)).toBeCloseTo(widthMm, 6);
    }
  });

  test('nearly a cylinder is a straight strip, and says what that leaves unequal', () => {
    const shape = shapeOf({ aMm: 600, bMm: 600.1, widthMm: 40 });
    expect(shape).toMatchObject({ kind: 'straight', shorter: 'a' });
    expect(shape.kind === 'straight' && shape.leftOverMm).toBeCloseTo(0.1, 9);
    expect(shapeOf({ aMm: 600, bMm: 600, widthMm: 40 })).toMatchObject({ lengthMm: 600, shorter: 'neither' });
    expect(shapeOf({ aMm: 600, bMm: 603, widthMm: 40 }).kind).toBe('curved');
  });

  test('that would close into a flat ring is refused in words', () => {
    const outcome = bandShape({ aMm: 600, bMm: 300, widthMm: 40 });
    expect(outcome.ok ? '' : outcome.problem.code).toBe('too-conical');
  });
});

test('arcs are circles: the published chord, rise and length (FACTS section 5: matheass.eu)', () => {
  const [radius, angle] = [12.1875, (118.979525 * Math.PI) / 180];
  const segments = arcSegments({ x: 0, y: 0 }, radius, -angle / 2, angle / 2, 'corner');
  const start = { x: radius * Math.cos(angle / 2), y: -radius * Math.sin(angle / 2) };
  const path: Path = { closed: false, start, segments };
  expect(pathLengthMm(path)).toBeCloseTo(25.3083731, 5);
  const end = segments[segments.length - 1]!.to;
  expect(distanceMm(start, end)).toBeCloseTo(21, 5);
  expect(radius - end.x).toBeCloseTo(6, 5);
});

describe('the cross bar', () => {
  const need = {
    earToEarMm: 350,
    leftHeightMm: 60,
    rightHeightMm: 60,
    clearanceMm: 10,
    widthMm: 30,
    tabMm: 25,
    foam: { thicknessMm: 6, neutralK: 0.5 },
  };
  const barOf = (more: Partial<typeof need> = {}) => {
    const outcome = crossBar({ ...need, ...more }, 'bar');
    if (!outcome.ok) throw new Error(outcome.problem.message);
    return outcome.value;
  };

  test('is the tape between its fixings, bent about the middle of its foam, with a tab at each end', () => {
    const bar = barOf();
    expect(bar.headMm).toBe(230);
    // The bend allowance of FACTS section 3 on the part of half a turn that is left.
    const turnRad = (Math.PI * 230) / 350;
    const insideRadiusMm = 230 / turnRad + 10;
    expect(bar.betweenMm).toBeCloseTo(turnRad * (insideRadiusMm + 0.5 * 6), 9);
    expect(bar.lengthMm).toBeCloseTo(bar.betweenMm + 50, 9);
    const cut = bar.lines[0]!.path;
    expect(pathFaults(cut)).toEqual([]);
    expect(elsewhereMm(cut)).toBeCloseTo(2 * (bar.lengthMm - 30) + 30 * Math.PI, 2);
    expect(pathAreaMm2(cut)).toBeCloseTo((bar.lengthMm - 30) * 30 + 225 * Math.PI, 2);
  });

  test('thicker foam makes it longer, fixings at two heights move its top mark', () => {
    expect(barOf({ foam: { thicknessMm: 10, neutralK: 0.5 } }).betweenMm - barOf().betweenMm).toBeCloseTo(
      barOf().turnRad * 2,
      9,
    );
    const top = (bar: ReturnType<typeof barOf>) =>
      bar.lines.find(({ id }) => id === 'bar-top-1')!.path.start.x;
    expect(top(barOf())).toBeCloseTo(0, 9);
    expect(top(barOf({ leftHeightMm: 40, rightHeightMm: 80 }))).toBeGreaterThan(10);
  });

  test('impossible figures are refused in words', () => {
    for (const more of [{ earToEarMm: 35 }, { leftHeightMm: 170, rightHeightMm: 170 }, { widthMm: 2 }]) {
      const outcome = crossBar({ ...need, ...more }, 'bar');
      expect(outcome.ok ? '' : outcome.problem.code).toBe('bad-bar');
    }
  });
});

test('an extra strip runs outside the cut line by its width, and the true line stays as a mark', () => {
  const lines = withExtraStrip([{ id: 'cut', kind: 'cut', path: circlePath({ x: 0, y: 0 }, 50) }], 8)!;
  expect(lines.map(({ kind }) => kind)).toEqual(['cut', 'mark']);
  // Steiner: area grows by perimeter x d + pi d2.
  const grown = pathAreaMm2(lines[0]!.path) - pathAreaMm2(lines[1]!.path);
  expect(Math.abs(grown - (2 * Math.PI * 50 * 8 + Math.PI * 64))).toBeLessThan(1);
});
