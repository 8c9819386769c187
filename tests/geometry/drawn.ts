import fc from 'fast-check';
import Coordinate from 'jsts/org/locationtech/jts/geom/Coordinate.js';
import GeometryFactory, { type Geometry } from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';
import type { Path, Segment } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';

/** Paths drawn for the tests, and their translation for other libraries. */

export const point = (x: number, y: number): PlanePoint => ({ x, y });

export function line(x: number, y: number, joint: Segment['joint'] = 'corner'): Segment {
  return { kind: 'line', to: { x, y }, joint };
}

export function cubic(
  c1: PlanePoint,
  c2: PlanePoint,
  to: PlanePoint,
  joint: Segment['joint'] = 'smooth',
): Segment {
  return { kind: 'cubic', c1, c2, to, joint };
}

/** A counter-clockwise ellipse of 4 x `parts` cubics; with one part a quarter it is off by 2.7e-4 of the radius. */
export function ellipse(a: number, b: number, centre = point(0, 0), parts = 1): Path {
  const count = 4 * parts;
  const step = (2 * Math.PI) / count;
  const handle = (4 / 3) * Math.tan(step / 4);
  const at = (angle: number, along: number) =>
    point(
      centre.x + a * (Math.cos(angle) - along * Math.sin(angle)),
      centre.y + b * (Math.sin(angle) + along * Math.cos(angle)),
    );
  const segments = Array.from({ length: count }, (_, k) => {
    const [from, to] = [k * step, (k + 1 === count ? 0 : k + 1) * step];
    return cubic(at(from, handle), at(to, -handle), at(to, 0));
  });
  return { closed: true, start: at(0, 0), segments };
}

export function rectangle(width: number, height: number, left = 0, bottom = 0): Path {
  return {
    closed: true,
    start: point(left, bottom),
    segments: [
      line(left + width, bottom),
      line(left + width, bottom + height),
      line(left, bottom + height),
      line(left, bottom),
    ],
  };
}

/** SVG path data, every figure written in full. */
export function svgData(path: Path): string {
  const say = ({ x, y }: PlanePoint) => `${x},${y}`;
  return [
    `M${say(path.start)}`,
    ...path.segments.map((s) =>
      s.kind === 'line' ? `L${say(s.to)}` : `C${say(s.c1)} ${say(s.c2)} ${say(s.to)}`,
    ),
  ].join(' ');
}

const jstsFactory = new GeometryFactory();

export function jstsRing(points: readonly PlanePoint[]): Geometry {
  return jstsFactory.createPolygon([...points, points[0]!].map(({ x, y }) => new Coordinate(x, y)));
}

export function jstsLine(points: readonly PlanePoint[], closed: boolean): Geometry {
  return jstsFactory.createLineString(
    [...points, ...(closed ? [points[0]!] : [])].map(({ x, y }) => new Coordinate(x, y)),
  );
}

/** To a nanometre: jsts, which some of them are checked against, loses its way among the smallest numbers there are. */
const coordinate = fc
  .double({ min: -100, max: 100, noNaN: true, noDefaultInfinity: true })
  .map((mm) => Math.round(mm * 1e6) / 1e6);
export const anyPoint: fc.Arbitrary<PlanePoint> = fc.record({ x: coordinate, y: coordinate });

const anySegment: fc.Arbitrary<Segment> = fc.oneof(
  fc.record({ kind: fc.constant('line' as const), to: anyPoint, joint: fc.constant('corner' as const) }),
  fc.record({
    kind: fc.constant('cubic' as const),
    c1: anyPoint,
    c2: anyPoint,
    to: anyPoint,
    joint: fc.constantFrom('corner' as const, 'smooth' as const),
  }),
);

/** Any open or closed path, loops and all. */
export const anyPath: fc.Arbitrary<Path> = fc
  .record({
    closed: fc.boolean(),
    start: anyPoint,
    segments: fc.array(anySegment, { minLength: 1, maxLength: 5 }),
  })
  .map(({ closed, start, segments }) =>
    closed
      ? {
          closed,
          start,
          segments: [...segments, { kind: 'line' as const, to: start, joint: 'corner' as const }],
        }
      : { closed, start, segments },
  );

export const SCALES = [1e-6, 1, 1e6] as const;

/** A guard's outline: no symmetry of its own, one corner, straight and curved runs. About 190 x 120 mm. */
export const GUARD: Path = {
  closed: true,
  start: point(0, 0),
  segments: [
    line(150, -8, 'corner'),
    cubic(point(185, 10), point(195, 50), point(170, 80), 'smooth'),
    cubic(point(150, 104), point(110, 112), point(80, 110), 'corner'),
    line(20, 90, 'corner'),
    cubic(point(-10, 70), point(-14, 30), point(0, 0), 'corner'),
  ],
};
