/** Foam painted in and out, against buffer and overlay of jsts, an independent library. */
import fc from 'fast-check';
import DiscreteHausdorffDistance from 'jsts/org/locationtech/jts/algorithm/distance/DiscreteHausdorffDistance.js';
import Coordinate from 'jsts/org/locationtech/jts/geom/Coordinate.js';
import GeometryFactory, { type Geometry } from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';
import BufferOp from 'jsts/org/locationtech/jts/operation/buffer/BufferOp.js';
import OverlayOp from 'jsts/org/locationtech/jts/operation/overlay/OverlayOp.js';
import { describe, expect, it } from 'vitest';
import { paintFoam } from '../../../src/geometry/edit/paint.ts';
import type { PieceLine } from '../../../src/geometry/line-kinds.ts';
import { flattenPath, pathAreaMm2 } from '../../../src/geometry/measure.ts';
import { type Path, polylinePath, reversePath, type Segment } from '../../../src/geometry/path.ts';
import { pathFaults } from '../../../src/geometry/path-faults.ts';
import type { PlanePoint } from '../../../src/geometry/point.ts';
import { ellipse, GUARD, jstsLine, jstsRing, point, rectangle } from '../drawn.ts';
import { frill } from '../frill.ts';

const FINE_MM = 0.001;
/** Coarser where every point is compared with every edge. */
const COMPARED_MM = 0.005;
/** What the verb says of itself: its new edge lies this near to the swept brush. */
const STATED_MM = 0.03;

const EYE = reversePath(ellipse(18, 11, point(90, 50)));
const CREASE: PieceLine = {
  id: 'crease',
  kind: 'score',
  path: polylinePath([point(20, 20), point(90, 20)], false),
};
const HERON: readonly PieceLine[] = [
  { id: 'outer', kind: 'cut', path: GUARD },
  { id: 'eye', kind: 'cutout', path: EYE },
  CREASE,
];

type Paint = 'in' | 'out';
type Pairs = readonly (readonly [number, number])[];
const strokeOf = (pairs: Pairs) =>
  polylinePath(
    pairs.map(([x, y]) => point(x, y)),
    false,
  );

/** A straight stroke. */
const dash = (fromX: number, fromY: number, toX: number, toY: number) =>
  polylinePath([point(fromX, fromY), point(toX, toY)], false);

function paint(lines: readonly PieceLine[], how: Paint, stroke: Path, widthMm: number) {
  let made = 0;
  return paintFoam(lines, stroke, { paint: how, widthMm }, () => `new ${++made}`);
}

function painted(
  lines: readonly PieceLine[],
  how: Paint,
  stroke: Path,
  widthMm: number,
): readonly PieceLine[] {
  const outcome = paint(lines, how, stroke, widthMm);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value.lines;
}

const refusal = (lines: readonly PieceLine[], how: Paint, stroke: Path, widthMm: number) => {
  const outcome = paint(lines, how, stroke, widthMm);
  return outcome.ok ? 'none' : outcome.problem.code;
};

/** Area of foam, mm2: cut lines run counter-clockwise, openings clockwise. */
const areaOf = (lines: readonly PieceLine[]) =>
  lines.filter(({ kind }) => kind !== 'score').reduce((sum, { path }) => sum + pathAreaMm2(path), 0);

function regionOf(lines: readonly PieceLine[], flatMm = FINE_MM): Geometry {
  const [cuts, openings] = (['cut', 'cutout'] as const).map((kind) =>
    lines.filter((line) => line.kind === kind).map(({ path }) => jstsRing(flattenPath(path, flatMm))),
  );
  return openings!.reduce(
    (region, opening) => OverlayOp.difference(region, opening),
    cuts!.reduce((region, part) => OverlayOp.union(region, part)),
  );
}

const jstsStroke = (points: readonly PlanePoint[]) =>
  points.length > 1
    ? jstsLine(points, false)
    : new GeometryFactory().createPoint(new Coordinate(points[0]!.x, points[0]!.y));

const sweptByJsts = (stroke: Path, widthMm: number) =>
  BufferOp.bufferOp(jstsStroke(flattenPath(stroke, FINE_MM)), widthMm / 2, 48);

function byJsts(lines: readonly PieceLine[], how: Paint, stroke: Path, widthMm: number): Geometry {
  const brush = sweptByJsts(stroke, widthMm);
  return how === 'in'
    ? OverlayOp.union(regionOf(lines), brush)
    : OverlayOp.difference(regionOf(lines), brush);
}

/** Every segment of the lines before that the new lines hold just as it was. */
const kept = (before: Path, after: Path): readonly Segment[] =>
  before.segments.filter((segment) => after.segments.includes(segment));

const OVER_THE_EDGE = dash(100, 0, 120, -20);

describe('painted over the edge', () => {
  it.each(['in', 'out'] as const)('%s: area and place are those of jsts', (how) => {
    for (const stroke of [
      OVER_THE_EDGE,
      strokeOf([
        [160, 60],
        [200, 60],
        [190, 30],
      ]),
      strokeOf([[50, -3]]),
    ]) {
      for (const widthMm of [3, 30]) {
        const lines = painted(HERON, how, stroke, widthMm);
        const truth = byJsts(HERON, how, stroke, widthMm);
        const ours = regionOf(lines);
        expect(Math.abs(ours.getArea() - truth.getArea())).toBeLessThan(
          0.01 * sweptByJsts(stroke, widthMm).getLength(),
        );
        // Densified, for the straight edges have no points of their own between their ends.
        expect(DiscreteHausdorffDistance.distance(regionOf(lines, COMPARED_MM), truth, 0.2)).toBeLessThan(
          STATED_MM,
        );
      }
    }
  });

  it('leaves every other segment and line as it was, to the byte', () => {
    const [outer, eye, crease] = painted(HERON, 'in', OVER_THE_EDGE, 12);
    // The straight edge is parted, and its latter part is told as before: by where it ends.
    expect(kept(GUARD, outer!.path)).toEqual(GUARD.segments);
    expect(outer).toMatchObject({ id: 'outer', kind: 'cut', path: { start: GUARD.start } });
    expect(eye).toBe(HERON[1]);
    expect(crease).toBe(HERON[2]);
  });

  it('cuts the straight edge where the brush meets it, in corners', () => {
    const [outer] = painted(HERON, 'out', strokeOf([[75, -4]]), 20);
    const { segments } = outer!.path;
    // The edge runs through the middle of the dab, so it is met one radius to either side.
    expect(segments[0]).toMatchObject({ kind: 'line', joint: 'corner' });
    expect(Math.hypot(segments[0]!.to.x - 75, segments[0]!.to.y + 4)).toBeCloseTo(10, 6);
    expect(segments.filter(({ kind }) => kind === 'cubic').length).toBeLessThanOrEqual(2 + 3);
  });

  it('takes few segments: straight sides are straight, round ends a few cubics', () => {
    const [outer] = painted(
      [{ id: 'a', kind: 'cut', path: rectangle(100, 60) }],
      'in',
      dash(50, 50, 50, 80),
      10,
    );
    const fresh = outer!.path.segments.filter(({ to }) => to.y > 60 - 1e-9 && to.x > 44 && to.x < 56);
    expect(fresh.filter(({ kind }) => kind === 'line').length).toBe(3);
    expect(fresh.filter(({ kind }) => kind === 'cubic').length).toBeLessThanOrEqual(4);
  });
});

describe('openings', () => {
  it('painting out within the foam cuts one, clockwise', () => {
    const lines = painted(HERON, 'out', strokeOf([[40, 60]]), 20);
    expect(lines.slice(0, 3)).toEqual(HERON);
    expect(lines[3]).toMatchObject({ id: 'new 1', kind: 'cutout' });
    expect(pathAreaMm2(lines[3]!.path)).toBeCloseTo(-Math.PI * 100, 0);
  });

  it('painting in shrinks one, which stays the line it was', () => {
    const [, eye] = painted(HERON, 'in', dash(70, 40, 70, 60), 10);
    expect(eye).toMatchObject({ id: 'eye', kind: 'cutout' });
    expect(pathAreaMm2(eye!.path)).toBeGreaterThan(pathAreaMm2(EYE));
    expect(kept(EYE, eye!.path).length).toBeGreaterThan(1);
  });

  it('painted all over one vanishes', () => {
    const lines = painted(HERON, 'in', dash(75, 50, 105, 50), 40);
    expect(lines).toEqual([HERON[0], CREASE]);
  });

  it('bridged becomes two', () => {
    const lines = painted(HERON, 'in', dash(90, 30, 90, 70), 6);
    expect(lines.map(({ id, kind }) => `${id} ${kind}`)).toEqual([
      'outer cut',
      'eye cutout',
      'crease score',
      'new 1 cutout',
    ]);
    expect(areaOf(lines)).toBeCloseTo(byJsts(HERON, 'in', dash(90, 30, 90, 70), 6).getArea(), 0);
  });

  it('painted out to the outside vanishes, and the outline runs round it', () => {
    const lines = painted(HERON, 'out', dash(90, 50, 90, -20), 10);
    expect(lines.map(({ id }) => id)).toEqual(['outer', 'crease']);
    expect(areaOf(lines)).toBeCloseTo(byJsts(HERON, 'out', dash(90, 50, 90, -20), 10).getArea(), 0);
  });

  it('two merge into one when the foam between them is painted out', () => {
    const ear: PieceLine = { id: 'ear', kind: 'cutout', path: reversePath(ellipse(6, 6, point(130, 50))) };
    const lines = painted([...HERON, ear], 'out', dash(95, 50, 130, 50), 5);
    expect(lines.map(({ id }) => id)).toEqual(['outer', 'eye', 'crease']);
  });

  it('a handle painted on outside encloses one', () => {
    const handle = strokeOf([
      [160, 60],
      [200, 60],
      [210, 20],
      [150, 0],
    ]);
    const lines = painted(HERON, 'in', handle, 8);
    expect(lines.map(({ id, kind }) => `${id} ${kind}`)).toEqual([
      'outer cut',
      'eye cutout',
      'crease score',
      'new 1 cutout',
    ]);
    expect(pathAreaMm2(lines[3]!.path)).toBeLessThan(0);
    expect(areaOf(lines)).toBeCloseTo(byJsts(HERON, 'in', handle, 8).getArea(), 0);
  });
});

describe('parts', () => {
  const ACROSS = dash(40, -20, 50, 130);

  it('painting right through keeps both, says so and picks the smaller', () => {
    const outcome = paint(HERON, 'out', ACROSS, 10);
    if (!outcome.ok) throw new Error(outcome.problem.message);
    const { lines, picks, note } = outcome.value;
    expect(lines.filter(({ kind }) => kind === 'cut').map(({ id }) => id)).toEqual(['outer', 'new 1']);
    expect(picks).toEqual([{ lineId: 'new 1', joint: 0 }]);
    expect(note).toContain('2 parts');
    expect(areaOf(lines)).toBeCloseTo(byJsts(HERON, 'out', ACROSS, 10).getArea(), 0);
  });

  it('painting over the gap joins them again into one', () => {
    const lines = painted(painted(HERON, 'out', ACROSS, 10), 'in', ACROSS, 12);
    expect(lines.filter(({ kind }) => kind === 'cut')).toHaveLength(1);
  });

  it('a crumb too small to be cut is left out', () => {
    // Two dabs over the corner leave a scrap between them that is a tenth of a millimetre across.
    const square: PieceLine[] = [{ id: 'a', kind: 'cut', path: rectangle(100, 60) }];
    const round = dash(90, 50, 104, 64);
    expect(painted(square, 'out', round, 14).filter(({ kind }) => kind === 'cut')).toHaveLength(1);
    const scrap = strokeOf([
      [86.95, 66],
      [86.95, 46.95],
      [106, 46.95],
    ]);
    const lines = painted(square, 'out', scrap, 26);
    expect(lines).toHaveLength(1);
  });
});

describe('what cannot be done is said, and nothing changes', () => {
  it.each([
    [
      'in',
      'stands-alone',
      [
        [220, 0],
        [230, 10],
      ],
      8,
    ],
    ['in', 'stands-alone', [[90, 50]], 6],
    [
      'in',
      'nothing-touched',
      [
        [40, 40],
        [40, 50],
      ],
      8,
    ],
    [
      'out',
      'nothing-touched',
      [
        [220, 0],
        [230, 10],
      ],
      8,
    ],
    ['out', 'nothing-touched', [[90, 50]], 6],
    [
      'out',
      'nothing-left',
      [
        [-20, 50],
        [210, 50],
      ],
      300,
    ],
  ] as const)('painting %s: %s', (how, code, pairs, widthMm) => {
    expect(refusal(HERON, how, strokeOf(pairs), widthMm)).toBe(code);
  });

  it('without a closed outline', () => {
    expect(refusal([CREASE], 'in', OVER_THE_EDGE, 12)).toBe('no-outline');
  });

  it('where lines of the piece cross under the brush', () => {
    const crossing: PieceLine = { id: 'b', kind: 'cut', path: rectangle(40, 40, 100, -30) };
    const codes = [[[100, -6.7]], [[140, -8.8]]] as const;
    for (const at of codes) expect(refusal([...HERON, crossing], 'in', strokeOf(at), 6)).toBe('lines-cross');
  });
});

/** Strokes of a few turns about the piece, from fine to broad. */
const anyStroke = fc
  .array(fc.record({ x: fc.integer({ min: -20, max: 210 }), y: fc.integer({ min: -30, max: 130 }) }), {
    minLength: 1,
    maxLength: 5,
  })
  .map((points) => polylinePath(points, false));
const anyWidth = fc.integer({ min: 2, max: 60 });
const anyPaint = fc.constantFrom('in' as const, 'out' as const);

describe('whatever the stroke', () => {
  it('the area is that of jsts, nothing crosses itself, and all runs in its sense', () => {
    fc.assert(
      fc.property(anyStroke, anyWidth, anyPaint, (stroke, widthMm, how) => {
        const outcome = paint(HERON, how, stroke, widthMm);
        if (!outcome.ok) return;
        const { lines } = outcome.value;
        const slack = 0.01 * (sweptByJsts(stroke, widthMm).getLength() + 200);
        expect(Math.abs(areaOf(lines) - byJsts(HERON, how, stroke, widthMm).getArea())).toBeLessThan(slack);
        for (const { kind, path } of lines) {
          if (kind === 'score') continue;
          expect(pathAreaMm2(path) > 0).toBe(kind === 'cut');
          expect(pathFaults(path)).toEqual([]);
        }
      }),
      { numRuns: 80 },
    );
  });

  it('the same stroke again changes nothing more', () => {
    fc.assert(
      fc.property(anyStroke, anyWidth, anyPaint, (stroke, widthMm, how) => {
        const once = paint(HERON, how, stroke, widthMm);
        if (!once.ok) return;
        const again = paint(once.value.lines, how, stroke, widthMm);
        if (again.ok) expect(areaOf(again.value.lines)).toBeCloseTo(areaOf(once.value.lines), 0);
        else expect(again.problem.code).toBe('nothing-touched');
      }),
      { numRuns: 50 },
    );
  });

  it('painted out after in it leaves what painting out alone leaves, and the other way round', () => {
    fc.assert(
      fc.property(anyStroke, anyWidth, anyPaint, (stroke, widthMm, how) => {
        const other = how === 'in' ? 'out' : 'in';
        const first = paint(HERON, how, stroke, widthMm);
        const alone = paint(HERON, other, stroke, widthMm);
        if (!first.ok || !alone.ok) return;
        const both = paint(first.value.lines, other, stroke, widthMm);
        if (!both.ok) throw new Error(both.problem.message);
        const slack = 0.03 * (sweptByJsts(stroke, widthMm).getLength() + 10);
        expect(Math.abs(areaOf(both.value.lines) - areaOf(alone.value.lines))).toBeLessThan(slack);
      }),
      { numRuns: 50 },
    );
  });
});

describe('a piece of 5,000 joints', () => {
  const path = frill(5000);

  it('keeps all joints that the brush does not pass', () => {
    const [line] = painted([{ id: 'a', kind: 'cut', path }], 'out', dash(0, 80, 20, 110), 12);
    expect(kept(path, line!.path).length).toBeGreaterThan(4850);
  });
});
