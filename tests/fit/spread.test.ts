/** Slash and spread: parts move as paper does, edges are trued over the openings, kept openings stay as they are. */
import { booleanOpPaths } from './clipper-area.ts';
import fc from 'fast-check';
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, test } from 'vitest';
import { spreadPiece, type SpreadPiece } from '../../src/fit/spread/spread-piece.ts';
import type { Slash } from '../../src/fit/spread/slash.ts';
import { spreadToWrap } from '../../src/fit/spread/spread-to-wrap.ts';
import { cutLineOf } from '../../src/fit/scale-piece.ts';
import { measureWrapMm, type WrapLine } from '../../src/fit/wrap-line.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { pathAreaMm2, pathLengthMm } from '../../src/geometry/measure.ts';
import { mapPath, type Path } from '../../src/geometry/path.ts';
import { pathFaults } from '../../src/geometry/path-faults.ts';
import { tangentAt } from '../../src/geometry/place.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { SvgPathData, writePath } from '../../src/template/sink.ts';
import { circlePath } from '../../src/template/shapes.ts';

/** The warden's brow: straight foot, two shoulders of one cubic each that meet smoothly in the middle. */
const brow: Path = {
  closed: true,
  start: { x: -160, y: 0 },
  segments: [
    { kind: 'line', to: { x: 160, y: 0 }, joint: 'corner' },
    { kind: 'line', to: { x: 160, y: 30 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 110, y: 90 }, c2: { x: 60, y: 110 }, to: { x: 0, y: 110 }, joint: 'smooth' },
    {
      kind: 'cubic',
      c1: { x: -60, y: 110 },
      c2: { x: -110, y: 90 },
      to: { x: -160, y: 30 },
      joint: 'corner',
    },
    { kind: 'line', to: { x: -160, y: 0 }, joint: 'corner' },
  ],
};
const eye = mapPath(circlePath({ x: 0, y: 0 }, 12), ({ x, y }) => ({ x: 58 - 1.6 * x, y: 45 + y }));
const scoreLine: Path = {
  closed: false,
  start: { x: -120, y: 15 },
  segments: [
    { kind: 'cubic', c1: { x: -40, y: 75 }, c2: { x: 40, y: 75 }, to: { x: 120, y: 15 }, joint: 'smooth' },
  ],
};
const lines: PieceLine[] = [
  { id: 'cut', kind: 'cut', path: brow },
  { id: 'eye', kind: 'cutout', path: eye },
  { id: 'score', kind: 'score', path: scoreLine },
];
const wrapLine: WrapLine = { from: { x: -160, y: 20 }, to: { x: 160, y: 20 }, along: 'straight' };
const upright = (x: number, openingMm: number): Slash => ({
  from: { x, y: -5 },
  to: { x, y: 130 },
  openingMm,
  opens: 'parallel',
});

function spread(...args: Parameters<typeof spreadPiece>): SpreadPiece {
  const outcome = spreadPiece(...args);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}
const pathOf = (spread: SpreadPiece, id: string) => spread.lines.find((line) => line.id === id)!.path;

/** The turn at every joint that says it is smooth, in degrees. */
function smoothTurns(path: Path): number[] {
  return path.segments.flatMap((segment, i) => {
    if (segment.joint !== 'smooth' || (!path.closed && i === path.segments.length - 1)) return [];
    const a = tangentAt(path, { segment: i, t: 1 });
    const b = tangentAt(path, { segment: (i + 1) % path.segments.length, t: 0 });
    return [(Math.acos(Math.min(1, a.x * b.x + a.y * b.y)) * 180) / Math.PI];
  });
}
const corners = (path: Path) => path.segments.filter(({ joint }) => joint === 'corner');

/** Length by svg-path-properties, an independent library. */
function lengthElsewhereMm(path: Path): number {
  const data = new SvgPathData();
  writePath(path, data);
  return new svgPathProperties(data.toString()).getTotalLength();
}

describe('20 mm at two lines', () => {
  // One of the lines runs straight through the eye.
  const slashes = [upright(-62, 10), upright(62, 10)];
  const done = spread(lines, wrapLine, slashes, { keptIds: new Set(['eye']) });

  test('lengthens the wrap line by 20.00 mm', () => {
    expect(done.after.wrapMm - done.before.wrapMm).toBeCloseTo(20, 9);
    expect(done.after.alongMm - done.before.alongMm).toBeCloseTo(20, 9);
    expect(done.after.acrossMm).toBeCloseTo(done.before.acrossMm, 9);
  });

  test('keeps the eye opening to 0.01 mm in shape, length and area, although a line runs through it', () => {
    const moved = pathOf(done, 'eye');
    const shift = { x: moved.start.x - eye.start.x, y: moved.start.y - eye.start.y };
    const back = mapPath(moved, ({ x, y }) => ({ x: x - shift.x, y: y - shift.y }));
    back.segments.forEach((segment, i) => {
      expect(distanceMm(segment.to, eye.segments[i]!.to)).toBeLessThan(1e-9);
    });
    expect(Math.abs(lengthElsewhereMm(moved) - lengthElsewhereMm(eye))).toBeLessThan(0.01);
    expect(pathAreaMm2(moved)).toBeCloseTo(pathAreaMm2(eye), 6);
  });

  test('leaves the outline smooth where it was smooth, with the corners it had', () => {
    const outline = pathOf(done, 'cut');
    expect(Math.max(...smoothTurns(outline))).toBeLessThan(0.01);
    expect(Math.max(...smoothTurns(pathOf(done, 'score')))).toBeLessThan(0.01);
    expect(corners(outline)).toHaveLength(4);
    expect(pathFaults(outline)).toEqual([]);
    // The straight foot is still one straight edge, 20 mm longer.
    expect(outline.segments[0]).toEqual({
      kind: 'line',
      to: { x: expect.closeTo(170, 9), y: expect.closeTo(0, 9) },
      joint: 'corner',
    });
  });

  test('is as paper and scissors make it: parts and strips laid together cover the same area (clipper-lib)', () => {
    const paper = booleanOpPaths(brow, slashes);
    const net = pathAreaMm2(cutLineOf(done.lines)!);
    // Before truing: the area of the parts plus a strip of 10 mm along each line, to the flattening.
    expect(paper.areaMm2 - pathAreaMm2(brow)).toBeCloseTo(done.openedMm2, 0);
    // Truing evens out the step at each opened shoulder; it may neither add nor take more than a sliver.
    expect(Math.abs(net - paper.areaMm2) / paper.areaMm2).toBeLessThan(0.002);
    expect(done.after.areaMm2 - done.before.areaMm2).toBeCloseTo(net - pathAreaMm2(brow), 6);
  });

  test('stays where it was on the fold line, which lies in the middle', () => {
    const outline = pathOf(done, 'cut');
    const highest = outline.segments.find(({ to }) => to.y > 109.99)!.to;
    expect(Math.abs(highest.x)).toBeLessThan(1e-6);
  });

  test('says the largest local stretch, and it is that of the trued edges', () => {
    // 10 mm drawn in over 80 mm, steepest in the middle: at most 1.5 * 10 / 80.
    expect(done.largestStretch).toBeGreaterThan(0.1);
    expect(done.largestStretch).toBeLessThanOrEqual(0.1876);
    expect(spread(lines, wrapLine, slashes, { reachMm: 20 }).largestStretch).toBeGreaterThan(0.3);
  });
});

test('a hinged line opens at its far end only, and turns the smooth edge at the hinge without a kink', () => {
  const slash: Slash = { from: { x: 0, y: -5 }, to: { x: 0, y: 130 }, openingMm: 12, opens: 'hinged-to' };
  const done = spread([lines[0]!], wrapLine, [slash]);
  const outline = pathOf(done, 'cut');
  expect(Math.max(...smoothTurns(outline))).toBeLessThan(0.01);
  expect(corners(outline)).toHaveLength(4);
  // The two halves turn by equal shares: 12 mm over 110 mm, by the chord of the arc.
  const turnRad = 2 * Math.asin(12 / 2 / 110);
  const foot = corners(outline)
    .map(({ to }) => to)
    .sort((a, b) => a.y - b.y)
    .slice(0, 2);
  const width = distanceMm(foot[0]!, foot[1]!);
  // Each foot corner turned about the hinge (0, 110) by half of it.
  const spanRad = 2 * (Math.atan2(160, 110) + turnRad / 2);
  expect(width).toBeCloseTo(2 * Math.hypot(160, 110) * Math.sin(spanRad / 2), 6);
  // Triangle of two sides of 110 mm.
  expect(done.openedMm2).toBeCloseTo((Math.sin(turnRad) * 110 * 110) / 2, 6);
  expect(done.after.areaMm2 - done.before.areaMm2).toBeGreaterThan(0.8 * done.openedMm2);
});

test('what lies away from the openings is as rigid as paper', () => {
  const done = spread(lines, wrapLine, [upright(0, 8)], { reachMm: 20 });
  const outline = pathOf(done, 'cut');
  // Right-hand corners by +4, left-hand ones by -4.
  for (const { to } of corners(brow)) {
    const moved = { x: to.x + Math.sign(to.x) * 4, y: to.y };
    expect(Math.min(...corners(outline).map((corner) => distanceMm(corner.to, moved)))).toBeLessThan(1e-9);
  }
});

test('any lines that do not cross give a sound outline and exactly the opened wrap line', () => {
  fc.assert(
    fc.property(
      fc.array(fc.record({ x: fc.integer({ min: -13, max: 13 }), mm: fc.integer({ min: 1, max: 12 }) }), {
        minLength: 1,
        maxLength: 4,
      }),
      (drawn) => {
        const places = new Map(drawn.map(({ x, mm }) => [x * 11, mm]));
        const slashes = [...places].map(([x, mm]) => upright(x, mm));
        const outcome = spreadPiece(lines, wrapLine, slashes, { keptIds: new Set(['eye']) });
        if (!outcome.ok) throw new Error(outcome.problem.message);
        const { before, after } = outcome.value;
        const total = [...places.values()].reduce((sum, mm) => sum + mm, 0);
        expect(after.wrapMm - before.wrapMm).toBeCloseTo(total, 8);
        const outline = pathOf(outcome.value, 'cut');
        expect(pathFaults(outline)).toEqual([]);
        expect(Math.max(...smoothTurns(outline))).toBeLessThan(0.02);
        expect(corners(outline)).toHaveLength(4);
      },
    ),
    { numRuns: 30 },
  );
});

test('lapping shortens, and too much of it is refused in words', () => {
  const done = spread(lines, wrapLine, [upright(-60, -5), upright(60, -5)]);
  expect(done.after.wrapMm - done.before.wrapMm).toBeCloseTo(-10, 9);
  expect(done.largestSqueeze).toBeLessThan(0);
  const outcome = spreadPiece(lines, wrapLine, [upright(-10, -30), upright(10, -30)], { reachMm: 15 });
  expect(outcome.ok ? '' : outcome.problem.code).toBe('no-room');
});

test('lines beside the piece, or across each other, are refused in words', () => {
  const beside = spreadPiece(lines, wrapLine, [upright(400, 5)]);
  expect(beside.ok ? '' : beside.problem.code).toBe('line-misses');
  const across: Slash = { from: { x: -100, y: -5 }, to: { x: 100, y: 130 }, openingMm: 5, opens: 'parallel' };
  const crossed = spreadPiece(lines, wrapLine, [upright(0, 5), across]);
  expect(crossed.ok ? '' : crossed.problem.code).toBe('lines-cross');
});

test('openings are found that bring a wrap line along the edge to the length wanted', () => {
  const along: WrapLine = { from: { x: -160, y: 30 }, to: { x: 160, y: 30 }, along: 'edge' };
  const edgeMm = measureWrapMm(brow, along);
  const outcome = spreadToWrap(lines, along, [upright(-70, 1), upright(70, 1)], edgeMm + 17.3, {});
  if (!outcome.ok) throw new Error(outcome.problem.message);
  expect(outcome.value.spread.after.wrapMm - edgeMm).toBeCloseTo(17.3, 3);
  expect(outcome.value.slashes.every(({ openingMm }) => openingMm > 8.6)).toBe(true);
  expect(pathLengthMm(pathOf(outcome.value.spread, 'cut'))).toBeGreaterThan(pathLengthMm(brow) + 17);
});
