import fc from 'fast-check';
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, test } from 'vitest';
import { fitPlan } from '../../src/fit/fit-plan.ts';
import { type ScaledPiece, scalePiece } from '../../src/fit/scale-piece.ts';
import { measureWrapMm, suggestWrapLine, type WrapLine } from '../../src/fit/wrap-line.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { boundsOf, flattenPath, pathAreaMm2 } from '../../src/geometry/measure.ts';
import { mapPath, type Path, polylinePath } from '../../src/geometry/path.ts';

const rectangle = (widthMm: number, heightMm: number): Path =>
  polylinePath(
    [
      { x: 0, y: 0 },
      { x: widthMm, y: 0 },
      { x: widthMm, y: heightMm },
      { x: 0, y: heightMm },
    ],
    true,
  );

/** A band with an arched top (one cubic) and a straight lower edge. */
const arched: Path = {
  closed: true,
  start: { x: -150, y: 0 },
  segments: [
    { kind: 'line', to: { x: 150, y: 0 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 90, y: 120 }, c2: { x: -90, y: 120 }, to: { x: -150, y: 0 }, joint: 'corner' },
  ],
};
const opening: Path = polylinePath(
  [
    { x: -10, y: 20 },
    { x: -10, y: 40 },
    { x: 10, y: 40 },
    { x: 10, y: 20 },
  ],
  true,
);
const linesOf = (cut: Path, ...cutouts: Path[]): PieceLine[] => [
  { id: 'cut', kind: 'cut', path: cut },
  ...cutouts.map((path, i): PieceLine => ({ id: `opening ${i}`, kind: 'cutout', path })),
];
const need = { girthMm: 580, easeMm: 0, coverageRad: Math.PI, foam: { thicknessMm: 10, neutralK: 0.5 } };

function planned(...args: Parameters<typeof fitPlan>) {
  const outcome = fitPlan(...args);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

describe('wrap line', () => {
  test('lies along the length of a strip, however the strip is turned, and through its middle', () => {
    fc.assert(
      fc.property(fc.double({ min: -1.5, max: 1.5, noNaN: true }), (turnRad) => {
        const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
        const strip = mapPath(rectangle(300, 40), ({ x, y }) => ({ x: c * x - s * y, y: s * x + c * y }));
        const line = suggestWrapLine(strip, { point: { x: 0, y: 0 }, angleRad: turnRad + Math.PI / 2 })!;
        expect(measureWrapMm(strip, line)).toBeCloseTo(300, 6);
        expect(measureWrapMm(strip, suggestWrapLine(strip)!)).toBeCloseTo(300, 3);
      }),
    );
  });

  test('stays inside a piece with an arch cut out of it', () => {
    const horseshoe = polylinePath(
      [
        [0, 0],
        [40, 0],
        [40, 60],
        [160, 60],
        [160, 0],
        [200, 0],
        [200, 100],
        [0, 100],
      ].map(([x, y]) => ({ x: x!, y: y! })),
      true,
    );
    const line = suggestWrapLine(horseshoe, { point: { x: 100, y: 0 }, angleRad: Math.PI / 2 })!;
    expect(measureWrapMm(horseshoe, line)).toBeCloseTo(200, 6);
    expect(line.from.y).toBeGreaterThan(60);
  });

  test('along the edge it takes the shorter way', () => {
    const line: WrapLine = { from: { x: 0, y: 10 }, to: { x: 30, y: 0 }, along: 'edge' };
    expect(measureWrapMm(rectangle(300, 40), line)).toBeCloseTo(40, 9);
    expect(measureWrapMm(rectangle(300, 40), { ...line, way: 'longer' })).toBeCloseTo(680 - 40, 9);
  });

  test('along the edge agrees with svg-path-properties on a curve', () => {
    const line: WrapLine = { from: { x: 150, y: 0 }, to: { x: -150, y: 0 }, along: 'edge', way: 'longer' };
    const oracle = new svgPathProperties('M150,0 C90,120 -90,120 -150,0').getTotalLength();
    expect(measureWrapMm(arched, line)).toBeCloseTo(oracle, 3);
  });

  test('ends off the edge count from the nearest places on it', () => {
    const line: WrapLine = { from: { x: 20, y: -5 }, to: { x: 120, y: 3 }, along: 'edge' };
    expect(measureWrapMm(rectangle(300, 40), line)).toBeCloseTo(100, 9);
  });
});

describe('fit', () => {
  const wrapLine: WrapLine = { from: { x: -150, y: 0 }, to: { x: 150, y: 0 }, along: 'straight' };
  const wanted = 580 / 2 + Math.PI * 5;

  test('along the wrap only, the wrap becomes what is wanted and the height stays', () => {
    const plan = planned(linesOf(arched, opening), wrapLine, need, 'along-wrap');
    expect(plan.wantedWrapMm).toBeCloseTo(wanted, 9);
    expect(plan.after.wrapMm).toBeCloseTo(wanted, 9);
    expect(plan.after.acrossMm).toBeCloseTo(plan.before.acrossMm, 9);
    expect(plan.after.areaMm2).toBeCloseTo(plan.before.areaMm2 * plan.factor, 6);
  });

  test('whole, every length grows alike and the area by the square', () => {
    const plan = planned(linesOf(arched, opening), wrapLine, need, 'whole');
    expect(plan.after.wrapMm).toBeCloseTo(wanted, 9);
    expect(plan.after.acrossMm / plan.before.acrossMm).toBeCloseTo(plan.factor, 9);
    expect(plan.after.areaMm2).toBeCloseTo(plan.before.areaMm2 * plan.factor ** 2, 6);
  });

  test('the area leaves out the openings', () => {
    const { before } = planned(linesOf(arched, opening), wrapLine, need, 'whole');
    expect(before.areaMm2).toBeCloseTo(Math.abs(pathAreaMm2(arched)) - 400, 3);
  });

  test('a wrap along a curved edge reaches its length too, stretched one way only', () => {
    const edge: WrapLine = { from: { x: 150, y: 0 }, to: { x: -150, y: 0 }, along: 'edge' };
    // The lower edge is the shorter way, so the arch is asked for by two ends on it.
    const top: WrapLine = { from: { x: 100, y: 60 }, to: { x: -100, y: 60 }, along: 'edge' };
    for (const line of [edge, top]) {
      const plan = planned(linesOf(arched), line, { ...need, coverageRad: 2.2 }, 'along-wrap');
      expect(plan.after.wrapMm).toBeCloseTo(plan.wantedWrapMm, 6);
      expect(plan.after.acrossMm).toBeCloseTo(plan.before.acrossMm, 9);
    }
  });

  test('cubics stay cubics and joints stay what they were', () => {
    const plan = planned(linesOf(arched), wrapLine, need, 'along-wrap');
    expect(plan.lines[0]!.path.segments.map(({ kind, joint }) => [kind, joint])).toEqual(
      arched.segments.map(({ kind, joint }) => [kind, joint]),
    );
    expect(boundsOf(flattenPath(plan.lines[0]!.path)).minY).toBeCloseTo(0, 9);
  });

  test('says that K was assumed, and warns of pressure when ease is below zero', () => {
    const notes = planned(linesOf(arched), wrapLine, { ...need, easeMm: -8 }, 'whole').notes.join(' ');
    expect(notes).toContain('K = 0.5');
    expect(notes).toContain('headache');
    const measured = { ...need, foam: { thicknessMm: 10, neutralK: 0.44 } };
    expect(planned(linesOf(arched), wrapLine, measured, 'whole').notes.join(' ')).not.toContain('K = 0.5');
  });

  test.each([
    ['no-outline', [], wrapLine, need],
    ['no-wrap-line', linesOf(arched), { ...wrapLine, to: wrapLine.from }, need],
    ['bad-measure', linesOf(arched), wrapLine, { ...need, girthMm: 58 }],
    ['bad-measure', linesOf(arched), wrapLine, { ...need, coverageRad: 0 }],
    ['absurd-resize', linesOf(arched), { ...wrapLine, to: { x: -100, y: 0 } }, need],
  ] as const)('refuses in words: %s', (code, lines, line, wanted) => {
    const outcome = fitPlan(lines, line, wanted, 'whole');
    expect(outcome.ok).toBe(false);
    if (!outcome.ok) {
      expect(outcome.problem.code).toBe(code);
      expect(outcome.problem.message).toMatch(/\. [A-Z]/);
    }
  });
});

describe('resizing by a factor', () => {
  const wrapLine: WrapLine = { from: { x: -150, y: 0 }, to: { x: 150, y: 0 }, along: 'straight' };
  const scaled = (...args: Parameters<typeof scalePiece>): ScaledPiece => {
    const outcome = scalePiece(...args);
    if (!outcome.ok) throw new Error(outcome.problem.message);
    return outcome.value;
  };

  test('there and back changes nothing', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.55, max: 1.8, noNaN: true }), fc.boolean(), (factor, whole) => {
        const mode = whole ? 'whole' : 'along-wrap';
        const there = scaled(linesOf(arched, opening), wrapLine, mode, factor);
        const back = scaled(there.lines, there.wrapLine, mode, 1 / factor);
        expect(back.after.outlineMm).toBeCloseTo(there.before.outlineMm, 8);
        expect(back.after.areaMm2).toBeCloseTo(there.before.areaMm2, 5);
        expect(back.wrapLine.from.x).toBeCloseTo(-150, 9);
      }),
    );
  });

  test('no line is stretched more than is said, and some line is', () => {
    for (const factor of [0.8, 1.25]) {
      const { largestStretch, lines } = scaled(linesOf(arched, opening), wrapLine, 'along-wrap', factor);
      const lengths = (path: Path) =>
        flattenPath(path, 0.001).map((p, i, all) =>
          Math.hypot(p.x - all[(i + 1) % all.length]!.x, p.y - all[(i + 1) % all.length]!.y),
        );
      const [before, after] = [lengths(opening), lengths(lines[1]!.path)];
      const stretches = before.map((length, i) => Math.max(after[i]! / length, length / after[i]!) - 1);
      expect(Math.max(...stretches)).toBeCloseTo(largestStretch, 9);
      expect(Math.min(...stretches)).toBeCloseTo(0, 9);
    }
  });

  test('refuses in words what would make another piece', () => {
    for (const factor of [0.3, 2.5, -1, 0, Number.NaN]) {
      const outcome = scalePiece(linesOf(arched), wrapLine, 'whole', factor);
      expect(outcome.ok ? '' : outcome.problem.code).toBe('absurd-resize');
    }
    expect(scalePiece([], wrapLine, 'whole', 1).ok).toBe(false);
  });
});
