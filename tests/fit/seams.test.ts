/** Seams: edges walked, trued and notched; lengths against svg-path-properties and jsts, mid-surface against Steiner. */
import Coordinate from 'jsts/org/locationtech/jts/geom/Coordinate.js';
import GeometryFactory from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';
import LengthIndexedLine from 'jsts/org/locationtech/jts/linearref/LengthIndexedLine.js';
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, test } from 'vitest';
import { bevelRad, midSurfaceInsetMm, ringFoldRad } from '../../src/fit/seams/bevel.ts';
import { edgeRuler } from '../../src/fit/seams/edge-ruler.ts';
import { notchMarks } from '../../src/fit/seams/notch-marks.ts';
import { edgeAt, edgePath } from '../../src/fit/seams/seam-edge.ts';
import { trueSeam } from '../../src/fit/seams/true-seam.ts';
import { seamNotches, seamRulers, type SeamSide, walkSeam } from '../../src/fit/seams/walk-seam.ts';
import { flattenPath, pathAreaMm2 } from '../../src/geometry/measure.ts';
import { mapPath, type Path } from '../../src/geometry/path.ts';
import { pathFaults } from '../../src/geometry/path-faults.ts';
import { tangentAt } from '../../src/geometry/place.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { SvgPathData, writePath } from '../../src/template/sink.ts';
import { circlePath } from '../../src/template/shapes.ts';

/** A cheek plate: its right-hand edge is a drawn curve of two cubics that meet smoothly. */
const plate: Path = {
  closed: true,
  start: { x: 0, y: 0 },
  segments: [
    { kind: 'line', to: { x: 90, y: 5 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 108, y: 40 }, c2: { x: 112, y: 70 }, to: { x: 100, y: 100 }, joint: 'smooth' },
    { kind: 'cubic', c1: { x: 92, y: 120 }, c2: { x: 80, y: 135 }, to: { x: 60, y: 150 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 40, y: 120 }, c2: { x: 0, y: 60 }, to: { x: 0, y: 0 }, joint: 'corner' },
  ],
};
/** The crown side that meets it: another curve, another length. */
const side: Path = {
  closed: true,
  start: { x: 0, y: 0 },
  segments: [
    { kind: 'cubic', c1: { x: 50, y: 10 }, c2: { x: 80, y: 20 }, to: { x: 120, y: 0 }, joint: 'corner' },
    { kind: 'line', to: { x: 120, y: 160 }, joint: 'corner' },
    { kind: 'line', to: { x: 30, y: 160 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 10, y: 120 }, c2: { x: -25, y: 70 }, to: { x: 0, y: 0 }, joint: 'corner' },
  ],
};
const a: SeamSide = { outline: plate, edge: edgeAt(plate, { x: 104, y: 60 }), insetMm: 0 };
const b: SeamSide = { outline: side, edge: edgeAt(side, { x: -5, y: 80 }), insetMm: 0 };

const dataOf = (path: Path) => {
  const data = new SvgPathData();
  writePath(path, data);
  return data.toString();
};
const elsewhereMm = (path: Path) => new svgPathProperties(dataOf(path)).getTotalLength();
const jstsString = (path: Path) =>
  new GeometryFactory().createLineString(flattenPath(path, 1e-5).map(({ x, y }) => new Coordinate(x, y)));
/** The point at a length, by jsts. (svg-path-properties finds lengths well, but points only to 0.07 mm.) */
function jstsLine(path: Path): (alongMm: number) => { x: number; y: number } {
  const line = new LengthIndexedLine(jstsString(path));
  return (alongMm) => {
    const { x, y } = line.extractPoint(alongMm);
    return { x, y };
  };
}
function jstsLengthMm(path: Path): number {
  return jstsString(path).getLength();
}

function smoothTurnsDeg(path: Path): number[] {
  return path.segments.flatMap((segment, i) => {
    if (segment.joint !== 'smooth') return [];
    const [p, q] = [
      tangentAt(path, { segment: i, t: 1 }),
      tangentAt(path, { segment: (i + 1) % path.segments.length, t: 0 }),
    ];
    return [(Math.acos(Math.min(1, p.x * q.x + p.y * q.y)) * 180) / Math.PI];
  });
}

describe('two drawn edges', () => {
  const walk = walkSeam(a, b, 'beside');

  test('are picked from corner to corner, past smooth joints', () => {
    expect(a.edge).toEqual({ from: { x: 90, y: 5 }, to: { x: 60, y: 150 } });
    expect(b.edge).toEqual({ from: { x: 30, y: 160 }, to: { x: 0, y: 0 } });
  });

  test('are as long as svg-path-properties and jsts say, to 0.01 mm', () => {
    for (const [lengthMm, { outline, edge }] of [
      [walk.aMm, a],
      [walk.bMm, b],
    ] as const) {
      expect(Math.abs(lengthMm - elsewhereMm(edgePath(outline, edge)))).toBeLessThan(0.01);
      expect(Math.abs(lengthMm - jstsLengthMm(edgePath(outline, edge)))).toBeLessThan(0.01);
    }
    expect(walk.differenceMm).toBeCloseTo(walk.aMm - walk.bMm, 12);
    expect(Math.abs(walk.differenceMm)).toBeGreaterThan(1);
  });

  test('the place where the shorter ends lies that far along the longer', () => {
    const longer = walk.differenceMm > 0 ? a : b;
    const shorterMm = Math.min(walk.aMm, walk.bMm);
    expect(walk.shorterEndsAt.edge).toBe(walk.differenceMm > 0 ? 'a' : 'b');
    const path = edgePath(longer.outline, longer.edge);
    // B is met against its way.
    const alongMm = longer === a ? shorterMm : elsewhereMm(path) - shorterMm;
    expect(distanceMm(jstsLine(path)(alongMm), walk.shorterEndsAt.at)).toBeLessThan(0.01);
  });

  test.each(['share', 'a-follows', 'b-follows'] as const)('are trued to one length: %s', (how) => {
    const outcome = trueSeam(a, b, 'beside', how, false);
    if (!outcome.ok) throw new Error(outcome.problem.message);
    const trued = outcome.value;
    const wanted = { share: (walk.aMm + walk.bMm) / 2, 'a-follows': walk.bMm, 'b-follows': walk.aMm }[how];
    for (const [part, former] of [
      [trued.a, plate],
      [trued.b, side],
    ] as const) {
      expect(Math.abs(elsewhereMm(edgePath(part.outline, part.edge)) - wanted)).toBeLessThan(0.01);
      const corners = ({ segments }: Path) => segments.filter(({ joint }) => joint === 'corner').length;
      expect(corners(part.outline)).toBe(corners(former));
      expect(Math.max(0, ...smoothTurnsDeg(part.outline))).toBeLessThan(0.01);
      expect(pathFaults(part.outline)).toEqual([]);
      expect(pathAreaMm2(part.outline)).toBeGreaterThan(0.9 * pathAreaMm2(former));
      // No end moves by more than the whole difference.
      expect(part.largestMoveMm).toBeLessThanOrEqual(Math.abs(walk.differenceMm));
    }
    // Another seam that ends at a moved corner is told where that corner lies now; other corners stay.
    expect(distanceMm(trued.b.move(b.edge.from), trued.b.edge.from)).toBeLessThan(1e-9);
    expect(trued.b.move({ x: 120, y: 160 })).toEqual({ x: 120, y: 160 });
    expect(trued.a.largestMoveMm === 0).toBe(how === 'b-follows');
    const again = walkSeam({ ...a, ...trued.a }, { ...b, ...trued.b }, 'beside');
    expect(Math.abs(again.differenceMm)).toBeLessThan(1e-5);
  });

  test('carry notches at equal arc length on both, to 0.05 mm', () => {
    const notches = seamNotches(seamRulers(a, b, 'beside'), 2);
    expect(notches.map(({ kind }) => kind)).toEqual([
      'towards-start',
      'towards-start',
      'centre',
      'towards-end',
      'towards-end',
    ]);
    const [onA, onB] = [a, b].map(({ outline, edge }) => jstsLine(edgePath(outline, edge)));
    const shorterMm = Math.min(walk.aMm, walk.bMm);
    notches.forEach((notch, i) => {
      expect(notch.alongMm).toBeCloseTo((shorterMm * (i + 1)) / 6, 9);
      expect(distanceMm(onA!(notch.alongMm), notch.a.at)).toBeLessThan(0.05);
      expect(distanceMm(onB!(walk.bMm - notch.alongMm), notch.b.at)).toBeLessThan(0.05);
    });
    // One tick towards the beginning, a longer one in the middle, two towards the end.
    expect(notchMarks(notches, 'a', 'seam')).toHaveLength(2 + 1 + 4);
  });
});

test('a part of an edge, ending on a smooth curve, is trued without a kink', () => {
  const part: SeamSide = { ...a, edge: { from: { x: 90, y: 5 }, to: { x: 100, y: 100 } } };
  const outcome = trueSeam(part, { ...part, edge: { ...part.edge } }, 'turned', 'share', false);
  expect(outcome.ok && outcome.value.a.largestMoveMm).toBe(0);
  const walk = walkSeam(part, b, 'beside');
  const other: SeamSide = {
    outline: mapPath(plate, ({ x, y }) => ({ x: 1.03 * x, y: 1.03 * y })),
    edge: { from: { x: 92.7, y: 5.15 }, to: { x: 103, y: 103 } },
    insetMm: 0,
  };
  const trued = trueSeam(part, other, 'turned', 'share', false);
  if (!trued.ok) throw new Error(trued.problem.message);
  expect(elsewhereMm(edgePath(trued.value.a.outline, trued.value.a.edge))).toBeCloseTo(walk.aMm * 1.015, 2);
  expect(Math.max(...smoothTurnsDeg(trued.value.a.outline))).toBeLessThan(0.01);
});

test('edges that do not belong together are refused in words', () => {
  const short: SeamSide = { ...a, edge: edgeAt(plate, { x: 45, y: 2.5 }) };
  const outcome = trueSeam(short, b, 'beside', 'share', false);
  expect(outcome.ok ? '' : outcome.problem.code).toBe('edges-too-different');
});

test('differences are told stretch by stretch where both edges have as many corners', () => {
  const stepped = (tops: readonly number[]): Path => ({
    closed: true,
    start: { x: 0, y: 0 },
    segments: [
      { kind: 'line', to: { x: 200, y: 0 }, joint: 'corner' },
      { kind: 'line', to: { x: 200, y: tops[0]! }, joint: 'corner' },
      { kind: 'line', to: { x: 100, y: tops[1]! }, joint: 'corner' },
      { kind: 'line', to: { x: 0, y: tops[2]! }, joint: 'corner' },
      { kind: 'line', to: { x: 0, y: 0 }, joint: 'corner' },
    ],
  });
  const edge = (tops: readonly number[]) => ({ from: { x: 200, y: tops[0]! }, to: { x: 0, y: tops[2]! } });
  const one = [50, 50, 50];
  const two = [50, 50, 85];
  const walk = walkSeam(
    { outline: stepped(one), edge: edge(one), insetMm: 0 },
    { outline: stepped(two), edge: edge(two), insetMm: 0 },
    'turned',
  );
  expect(walk.stretches.map(({ differenceMm }) => differenceMm)).toEqual([
    expect.closeTo(0, 9),
    expect.closeTo(100 - Math.hypot(100, 35), 9),
  ]);
  expect(walk.worst.fromA).toEqual({ x: 100, y: 50 });
});

describe('thick foam', () => {
  test('bevels by half the fold on both edges; a ring of eight by 22.5 degrees (FACTS section 12)', () => {
    expect((bevelRad(Math.PI / 2) * 180) / Math.PI).toBeCloseTo(45, 12);
    expect((bevelRad(ringFoldRad(8)) * 180) / Math.PI).toBeCloseTo(22.5, 12);
    // A 45 degree bevel takes off t at one face, so half of it at the middle.
    expect(midSurfaceInsetMm(10, Math.PI / 2)).toBeCloseTo(5, 12);
  });

  test('the middle of a bevelled ellipse is 2 pi d shorter all round (Steiner; FACTS section 3: 559.875 and 578.7246)', () => {
    const outer = mapPath(circlePath({ x: 0, y: 0 }, 1), ({ x, y }) => ({ x: 103 * x, y: 80.5 * y }));
    const open: Path = { ...outer, closed: false };
    const { lengthMm } = edgeRuler(open, 3, false);
    expect(edgeRuler(open, 0, false).lengthMm - lengthMm).toBeCloseTo(6 * Math.PI, 5);
    // The published pair: an ellipse of 100 x 77.5 and its parallel line 3 mm outside.
    const inner = mapPath(circlePath({ x: 0, y: 0 }, 1), ({ x, y }) => ({ x: 100 * x, y: 77.5 * y }));
    const openInner: Path = { ...inner, closed: false };
    // A circle of four cubics is off by up to 0.03 %.
    expect(Math.abs(edgeRuler(openInner, 0, false).lengthMm - 559.875)).toBeLessThan(0.17);
    expect(edgeRuler(openInner, -3, false).lengthMm - edgeRuler(openInner, 0, false).lengthMm).toBeCloseTo(
      578.7246 - 559.875,
      2,
    );
  });

  test('places along the middle lie where the parallel line itself, walked in small steps, has that length', () => {
    const face = edgeRuler(edgePath(plate, a.edge), 0, false);
    const steps = 20_000;
    const parallel = Array.from({ length: steps + 1 }, (_, i) => {
      const { at, inward } = face.at((face.lengthMm * i) / steps);
      return { x: at.x + 4 * inward.x, y: at.y + 4 * inward.y };
    });
    const lengths = [0];
    for (let i = 1; i <= steps; i++)
      lengths.push(lengths[i - 1]! + distanceMm(parallel[i - 1]!, parallel[i]!));
    const middle = edgeRuler(edgePath(plate, a.edge), 4, false);
    expect(middle.lengthMm).toBeCloseTo(lengths[steps]!, 3);
    for (const share of [0.13, 0.5, 0.92]) {
      const index = lengths.findIndex((length) => length >= share * middle.lengthMm);
      const { at, inward } = middle.at(share * middle.lengthMm);
      expect(distanceMm({ x: at.x + 4 * inward.x, y: at.y + 4 * inward.y }, parallel[index]!)).toBeLessThan(
        0.02,
      );
    }
  });
});
