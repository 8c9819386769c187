import { describe, expect, it } from 'vitest';
import { deviationFigures, deviationFrom } from '../../src/geometry/deviation.ts';
import { indexPath } from '../../src/geometry/flat-path.ts';
import type { LineKind, PieceLine } from '../../src/geometry/line-kinds.ts';
import { pathAreaMm2 } from '../../src/geometry/measure.ts';
import {
  mover,
  movePath,
  offsetFromLineMm,
  reflectionAcross,
  type StraightLine,
} from '../../src/geometry/motion.ts';
import { type Path, polylinePath } from '../../src/geometry/path.ts';
import { pathFaults } from '../../src/geometry/path-faults.ts';
import { tangentAt } from '../../src/geometry/place.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { samplePath } from '../../src/geometry/sample-path.ts';
import { foldLine } from '../../src/mirror/axis.ts';
import { checkFold } from '../../src/mirror/check-fold.ts';
import { mend, type Mended, type MendMode } from '../../src/mirror/mend.ts';
import { cubic, ellipse, point } from '../geometry/drawn.ts';
import { BAND, CROWN, EYES, OUTLINES, posed, POSED_AXIS, posedPoint, VISOR, withBumps } from './outlines.ts';

const AXIS = foldLine(POSED_AXIS, 'by-hand');
const UPRIGHT = foldLine({ point: point(0, 0), angleRad: Math.PI / 2 }, 'vertical');
const STAY = { mirrored: false, angleRad: 0, shift: point(0, 0) };
const MODES: readonly MendMode[] = ['keep-left', 'keep-right', 'average'];
const line = (id: string, kind: LineKind, path: Path): PieceLine => ({ id, kind, path });
const cut = (path: Path) => [line('outline', 'cut', path)];

function mended(...args: Parameters<typeof mend>): Mended {
  const outcome = mend(...args);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

/** Every point that makes up a path: ends and control points. */
const controls = ({ start, segments }: Path): PlanePoint[] => [
  start,
  ...segments.flatMap((s) => (s.kind === 'line' ? [s.to] : [s.c1, s.c2, s.to])),
];

/** The largest distance of any mirrored control point from the nearest control point of the same lines: 0 when exactly symmetric. */
function asymmetryMm(lines: readonly PieceLine[], axis: StraightLine): number {
  const points = lines.flatMap(({ path }) => controls(path));
  const reflect = mover(reflectionAcross(axis));
  return Math.max(...points.map((p) => Math.min(...points.map((q) => distanceMm(reflect(p), q)))));
}

function apartMm(a: Path, b: Path): number {
  const one = (p: Path, q: Path) =>
    deviationFigures(deviationFrom(samplePath(p, 1), STAY, indexPath(q))).maxMm;
  return Math.max(one(a, b), one(b, a));
}

/** Axis of the check set a little wrong, as a found one may be. */
const OFF_AXIS = foldLine(
  { point: posedPoint(point(0.3, 0)), angleRad: POSED_AXIS.angleRad + 0.003 },
  'free',
);

describe('mending', () => {
  it.each(Object.entries(OUTLINES))(
    'gives exactly symmetric outlines with no more segments: %s',
    (_, path) => {
      for (const axis of [AXIS, OFF_AXIS]) {
        for (const mode of MODES) {
          const { lines } = mended(cut(posed(path)), axis, mode);
          const outline = lines[0]!.path;
          expect(asymmetryMm(lines, axis)).toBeLessThan(1e-9);
          expect(pathFaults(outline)).toEqual([]);
          expect(outline.segments.length).toBeLessThanOrEqual(path.segments.length);
          expect(checkFold(lines, axis, 0.1).maxMm).toBeLessThan(0.005);
          expect(pathAreaMm2(outline) / pathAreaMm2(path)).toBeGreaterThan(0.99);
        }
      }
    },
  );

  it.each(Object.entries(OUTLINES))('changes nothing on a piece that is symmetric already: %s', (_, path) => {
    for (const mode of MODES) {
      const { maxMm, notes, lines } = mended(cut(posed(path)), AXIS, mode);
      expect(maxMm).toBeLessThan(0.005);
      expect(notes).toEqual([]);
      expect(lines[0]!.path.segments.filter(({ joint }) => joint === 'corner')).toHaveLength(
        path.segments.filter(({ joint }) => joint === 'corner').length,
      );
    }
  });

  it('keeps the half that was asked for, and says what changed and where', () => {
    const { path, middles } = withBumps(CROWN, [{ near: point(130, 4), heightMm: 3, widthMm: 30 }]);
    const clean = mended(cut(path), UPRIGHT, 'keep-left');
    expect(apartMm(clean.lines[0]!.path, CROWN)).toBeLessThan(0.05);
    expect(clean.maxMm).toBeCloseTo(3, 1);
    expect(distanceMm(clean.maxAt, middles[0]!)).toBeLessThan(5);
    expect(clean.changes).toHaveLength(1);
    const bumpy = mended(cut(path), UPRIGHT, 'keep-right');
    const both = withBumps(CROWN, [
      { near: point(130, 4), heightMm: 3, widthMm: 30 },
      { near: point(-130, 4), heightMm: 3, widthMm: 30 },
    ]).path;
    expect(apartMm(bumpy.lines[0]!.path, both)).toBeLessThan(0.2);
  });

  it('averages a bump to half its height on both halves', () => {
    for (const shape of [VISOR, BAND]) {
      const near = point(100, -60);
      const { path } = withBumps(shape, [{ near, heightMm: 3, widthMm: 40 }]);
      const half = withBumps(shape, [
        { near, heightMm: 1.5, widthMm: 40 },
        { near: point(-100, -60), heightMm: 1.5, widthMm: 40 },
      ]).path;
      const { lines, maxMm } = mended(cut(path), UPRIGHT, 'average');
      expect(apartMm(lines[0]!.path, half)).toBeLessThan(0.1);
      expect(maxMm).toBeCloseTo(1.5, 1);
    }
  });

  it('fits averaged curves anew with few cubics when the halves are built differently', () => {
    // The right half of an oval in one cubic a quarter, the left half in four.
    const [coarse, fine] = [ellipse(120, 80), ellipse(123, 80, point(0, 0), 4)];
    const quarter = (path: Path, from: number, to: number) => path.segments.slice(from, to);
    // From the bottom (0, -80) up the right side, then down the left side.
    const right = [...quarter(coarse, 3, 4), ...quarter(coarse, 0, 1)];
    const left = quarter(fine, 4, 12);
    const path: Path = { closed: true, start: left[left.length - 1]!.to, segments: [...right, ...left] };
    const { lines } = mended(cut(path), UPRIGHT, 'average');
    const outline = lines[0]!.path;
    expect(apartMm(outline, ellipse(121.5, 80, point(0, 0), 8))).toBeLessThan(0.1);
    expect(outline.segments.length).toBeLessThanOrEqual(8);
    expect(outline.segments.every(({ joint }) => joint === 'smooth')).toBe(true);
  });

  it('a smooth crossing stays smooth: the tangent stands square on the axis, and the kept half hardly moves', () => {
    for (const mode of MODES) {
      const { lines, maxMm } = mended(cut(posed(VISOR)), OFF_AXIS, mode);
      const outline = lines[0]!.path;
      const onAxis = outline.segments.flatMap(({ to, joint }, segment) =>
        Math.abs(offsetFromLineMm(OFF_AXIS, to)) < 1e-9 ? [{ joint, segment }] : [],
      );
      expect(onAxis).toHaveLength(2);
      for (const { joint, segment } of onAxis) {
        expect(joint).toBe('smooth');
        const { x, y } = tangentAt(outline, { segment, t: 1 });
        const square = x * Math.cos(OFF_AXIS.angleRad) + y * Math.sin(OFF_AXIS.angleRad);
        expect(Math.abs(square)).toBeLessThan(1e-9);
      }
      expect(maxMm).toBeLessThan(1.2);
    }
    const kept = mended(cut(posed(VISOR)), OFF_AXIS, 'keep-left').lines[0]!.path;
    const leftHalf = samplePath(kept, 1).filter(({ point: at }) => offsetFromLineMm(OFF_AXIS, at) > 0);
    expect(deviationFigures(deviationFrom(leftHalf, STAY, indexPath(posed(VISOR)))).maxMm).toBeLessThan(0.1);
  });

  it('a pointed crossing stays pointed, and a point that missed the axis is set on it', () => {
    // The crown's middle spike made 1.2 mm off the axis.
    const crooked: Path = {
      ...CROWN,
      segments: CROWN.segments.map((s) => (s.to.y === 130 ? { ...s, to: point(1.2, 130) } : s)),
    };
    for (const mode of MODES) {
      const outline = mended(cut(crooked), UPRIGHT, mode).lines[0]!.path;
      expect(outline.segments).toHaveLength(CROWN.segments.length);
      const top = outline.segments.find(({ to }) => to.y > 125)!;
      expect(top.to.x).toBeCloseTo(0, 12);
      expect(top.joint).toBe('corner');
    }
  });

  it('a blunt tip stays blunt', () => {
    const blunt = polylinePath([point(-80, 0), point(80, 0), point(1.5, 90), point(-1.6, 90)], true);
    const outline = mended(cut(blunt), UPRIGHT, 'keep-right').lines[0]!.path;
    expect(outline.segments).toHaveLength(4);
    expect(
      controls(outline)
        .filter(({ y }) => y > 80)
        .map(({ x }) => Math.abs(x).toFixed(9)),
    ).toEqual(['1.500000000', '1.500000000']);
  });

  it('a straight edge across the axis stays one straight edge; a slanted one meets in a point, and it is said', () => {
    const tilted = polylinePath([point(-90, 1), point(90, -1), point(0, 150)], true);
    const level = mended(cut(tilted), UPRIGHT, 'keep-left');
    expect(level.lines[0]!.path.segments).toHaveLength(3);
    expect(level.notes).toEqual([]);
    const slanted = polylinePath([point(-90, 40), point(90, -40), point(0, 150)], true);
    const pointed = mended(cut(slanted), UPRIGHT, 'keep-left');
    expect(pointed.lines[0]!.path.segments).toHaveLength(4);
    expect(pointed.notes.map(({ code }) => code)).toEqual(['pointed-at-axis']);
    expect(asymmetryMm(pointed.lines, UPRIGHT)).toBeLessThan(1e-9);
  });

  it('mends openings in pairs, across the axis, and keeps a lone one with its mirrored copy', () => {
    const rightEye = movePath(EYES[1]!, { mirrored: false, angleRad: 0.05, shift: point(2, 1) });
    const nose = ellipse(8, 12, point(0.4, -20));
    const lone = ellipse(6, 5, point(120, 20));
    const lines = [
      ...cut(VISOR),
      line('left eye', 'cutout', EYES[0]!),
      line('right eye', 'cutout', rightEye),
      line('nose', 'cutout', nose),
      line('badge', 'placement', lone),
    ];
    for (const mode of MODES) {
      const result = mended(lines, UPRIGHT, mode);
      expect(result.lines.map(({ id }) => id)).toEqual([
        'outline',
        'left eye',
        'right eye',
        'nose',
        'badge',
        'badge-mirrored',
      ]);
      expect(asymmetryMm(result.lines, UPRIGHT)).toBeLessThan(1e-9);
      expect(result.notes.map(({ code }) => code)).toEqual(['single-mirrored']);
      expect(result.lines[4]!.path).toBe(lone);
      // Openings keep running the way they ran.
      for (const [i, { path }] of result.lines.slice(0, 5).entries()) {
        expect(Math.sign(pathAreaMm2(path))).toBe(Math.sign(pathAreaMm2(lines[i]!.path)));
      }
      expect(checkFold(result.lines, UPRIGHT, 0.1).maxMm).toBeLessThan(0.005);
    }
    const kept = mended(lines, UPRIGHT, 'keep-right').lines;
    expect(kept[2]!.path).toBe(rightEye);
    const average = mended(lines, UPRIGHT, 'average');
    expect(average.changes.map(({ lineId }) => lineId)).toContain('right eye');
  });

  it('mends open lines, lays a centre line on the axis, and leaves the wrap line alone', () => {
    const arc: Path = {
      closed: false,
      start: point(100, 22),
      segments: [cubic(point(40, 45), point(-40, 44), point(-100, 20))],
    };
    const centre = polylinePath([point(0.4, -10), point(-0.3, 50)], false);
    const wrap = polylinePath([point(-140, 0), point(90, 12)], false);
    const winding = polylinePath([point(-20, 30), point(20, 34), point(-20, 38), point(20, 42)], false);
    const lines = [
      ...cut(VISOR),
      line('arc', 'score', arc),
      line('centre', 'fold', centre),
      line('wrap', 'wrap', wrap),
      line('winding', 'score', winding),
    ];
    const { lines: result, notes } = mended(lines, UPRIGHT, 'keep-left');
    expect(asymmetryMm(result.slice(0, 3), UPRIGHT)).toBeLessThan(1e-9);
    expect(result[1]!.path.start.x).toBeGreaterThan(0);
    expect(result[1]!.path.segments.map(({ joint }) => joint)).toEqual(['smooth', 'smooth']);
    for (const { x } of controls(result[2]!.path)) expect(Math.abs(x)).toBeLessThan(1e-12);
    expect(result[3]!.path).toBe(wrap);
    expect(result[4]!.path).toBe(winding);
    expect(notes.map(({ code }) => code)).toEqual(['line-left-alone']);
  });

  it('refuses in words what has no two halves', () => {
    const beside = mend(cut(VISOR), foldLine({ point: point(400, 0), angleRad: 1.57 }, 'by-hand'), 'average');
    expect(beside.ok ? '' : beside.problem.code).toBe('axis-misses-outline');
    // Along the middle of a zigzag edge.
    const zigzag = polylinePath(
      [
        point(-50, 0),
        point(50, 0),
        point(50, 100),
        point(5, 90),
        point(-5, 80),
        point(5, 70),
        point(-50, 60),
      ],
      true,
    );
    const often = mend(cut(zigzag), UPRIGHT, 'keep-left');
    expect(often.ok ? '' : often.problem.code).toBe('axis-crossed-often');
    for (const outcome of [beside, often])
      expect(outcome.ok ? '' : outcome.problem.message).toMatch(/\. [A-Z]/);
  });

  it('refuses when the line would cross itself once its parts are drawn to the axis', () => {
    // A barb hangs into the gap that closes when the corner at x = -2.9 is set on the axis.
    const barbed = polylinePath(
      [
        point(-60, 0),
        point(60, 0),
        point(60, 95),
        point(-2.9, 100),
        point(-20, 120),
        point(-4, 102.5),
        point(-30, 140),
        point(-60, 80),
      ],
      true,
    );
    expect(pathFaults(barbed)).toEqual([]);
    const outcome = mend(cut(barbed), UPRIGHT, 'keep-left');
    expect(outcome.ok ? '' : outcome.problem.code).toBe('would-cross-itself');
    expect(mend(cut(barbed), UPRIGHT, 'keep-left', { snapMm: 1 }).ok).toBe(true);
  });

  it('brings a centre mark that lies a hair beside the axis onto it, and makes no second one', () => {
    const mark = polylinePath([point(0.4, 50), point(0.6, 60)], false);
    const lines: PieceLine[] = [
      { id: 'outline', kind: 'cut', path: VISOR },
      { id: 'mark', kind: 'mark', path: mark },
    ];
    expect(checkFold(lines, UPRIGHT, 0.5).lines.find(({ lineId }) => lineId === 'mark')!.maxMm).toBeCloseTo(
      1.2,
      1,
    );
    const result = mend(lines, UPRIGHT, 'average');
    if (!result.ok) throw new Error(result.problem.message);
    expect(result.value.lines).toHaveLength(2);
    for (const { x } of [result.value.lines[1]!.path.start, result.value.lines[1]!.path.segments[0]!.to]) {
      expect(x).toBeCloseTo(0, 9);
    }
  });
});
