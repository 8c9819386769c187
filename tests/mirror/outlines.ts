import { flattenPath } from '../../src/geometry/measure.ts';
import type { RigidMotion } from '../../src/geometry/motion.ts';
import { movePath, mover } from '../../src/geometry/motion.ts';
import { type Path, polylinePath, type Segment } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { cubic, ellipse, line, point, rectangle } from '../geometry/drawn.ts';

/** Outlines symmetric about x = 0 by construction, made by formula, and ways to spoil them by a known amount. */

const flip = ({ x, y }: PlanePoint) => point(-x, y);

/**
 * Closes a right half (from the axis below to the axis above, counter-clockwise) with its mirror image.
 * The last segment's joint is the joint at the top; `bottom` the one at the start.
 */
function fromRightHalf(start: PlanePoint, right: readonly Segment[], bottom: Segment['joint']): Path {
  const points = [start, ...right.map(({ to }) => to)];
  const left = right
    .map((segment, i): Segment => {
      const to = flip(points[i]!);
      const joint = i === 0 ? bottom : right[i - 1]!.joint;
      return segment.kind === 'line'
        ? { kind: 'line', to, joint }
        : { kind: 'cubic', c1: flip(segment.c2), c2: flip(segment.c1), to, joint };
    })
    .reverse();
  return { closed: true, start, segments: [...right, ...left] };
}

/** 380 x 150 mm: curved lower edge, five points; smooth below the axis, pointed above. */
export const CROWN = fromRightHalf(
  point(0, 10),
  [
    cubic(point(70, 10), point(140, 4), point(190, -20), 'corner'),
    line(176, 70),
    line(130, 30),
    line(84, 104),
    line(44, 44),
    line(0, 130),
  ],
  'smooth',
);

/** 300 x 130 mm: all curves, a dip over the nose. */
export const VISOR = fromRightHalf(
  point(0, -20),
  [
    cubic(point(12, -20), point(18, -52), point(52, -56)),
    cubic(point(52 + 58, -56 - (58 * 4) / 34), point(150, -40), point(150, 0)),
    cubic(point(150, 48), point(80, 68), point(0, 68)),
  ],
  'smooth',
);

/** 420 x 60 mm: a band with straight long edges and rounded ends. */
export const BAND = fromRightHalf(
  point(0, -30),
  [
    line(190, -30, 'smooth'),
    cubic(point(206, -30), point(210, -20), point(210, 0)),
    cubic(point(210, 20), point(206, 30), point(190, 30)),
    line(0, 30, 'smooth'),
  ],
  'smooth',
);

const TRIANGLE = fromRightHalf(point(0, 0), [line(90, 0), line(0, 170)], 'smooth');
const KITE = fromRightHalf(point(0, -140), [line(85, 20), line(0, 90)], 'corner');

/** A leaf-like shape, pointed below, notched above. */
const LEAF = fromRightHalf(
  point(0, -110),
  [
    cubic(point(30, -70), point(110, -40), point(105, 20)),
    cubic(point(105 - 25 / 6, 70), point(30, 80), point(0, 48), 'corner'),
  ],
  'corner',
);

/** Open below: two legs and a bow. */
const HORSESHOE = fromRightHalf(
  point(0, 40),
  [
    cubic(point(50, 40), point(60, 0), point(55, -90), 'corner'),
    line(95, -95),
    cubic(point(110, 20), point(80, 90), point(0, 90)),
  ],
  'smooth',
);

/** Scallops along the upper edge. */
const SCALLOPS = fromRightHalf(
  point(0, -40),
  [
    line(160, -40),
    line(160, 20),
    cubic(point(150, 45), point(120, 45), point(110, 20), 'corner'),
    cubic(point(100, 50), point(65, 50), point(55, 22), 'corner'),
    cubic(point(48, 48), point(8, 48), point(0, 25), 'corner'),
  ],
  'smooth',
);

/** 200 mm across; its second axis fits to 3 mm, its diagonals to little worse. */
export const NEAR_CIRCLE = ellipse(100, 97, point(0, 0), 4);
export const OVAL = ellipse(120, 90, point(0, 0), 2);
export const CIRCLE = ellipse(100, 100, point(0, 0), 4);
export const RECTANGLE = rectangle(300, 120, -150, -60);

export const EYES: readonly Path[] = [-1, 1].map((side) =>
  movePath(ellipse(22, 13), { mirrored: true, angleRad: Math.PI, shift: point(45 * side, 15) }),
);

/** 160 x 200 mm: a cheek guard's shield, pointed below, scooped above. */
const SHIELD = fromRightHalf(
  point(0, -110),
  [
    cubic(point(44, -84), point(78, -30), point(80, 62), 'corner'),
    line(34, 90),
    cubic(point(20, 78), point(8, 74), point(0, 74)),
  ],
  'corner',
);

export const OUTLINES: Readonly<Record<string, Path>> = {
  CROWN,
  VISOR,
  BAND,
  TRIANGLE,
  KITE,
  LEAF,
  HORSESHOE,
  SCALLOPS,
  NEAR_CIRCLE,
  OVAL,
  RECTANGLE,
  SHIELD,
};

/** A known place to lie in: the axis x = 0 comes to run through (37, -21) at 100 degrees. */
const POSE: RigidMotion = { mirrored: false, angleRad: (10 * Math.PI) / 180, shift: point(37, -21) };
export const POSED_AXIS = { point: point(37, -21), angleRad: (100 * Math.PI) / 180 };

/** Evenly distributed numbers in 0..1, the same every time (mulberry32). */
function randomFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** The outline as points about 0.5 mm apart, with each one's outward normal (the outline runs counter-clockwise). */
export function fineOutline(
  path: Path,
  stepMm = 0.5,
): { at: PlanePoint; out: PlanePoint; alongMm: number }[] {
  const points = flattenPath(path, 0.001);
  const result: { at: PlanePoint; out: PlanePoint; alongMm: number }[] = [];
  let along = 0;
  points.forEach((a, i) => {
    const b = points[(i + 1) % points.length]!;
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    if (length === 0) return;
    const steps = Math.max(1, Math.ceil(length / stepMm));
    for (let k = 0; k < steps; k++) {
      const t = k / steps;
      result.push({
        at: point(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)),
        out: point((b.y - a.y) / length, (a.x - b.x) / length),
        alongMm: along + t * length,
      });
    }
    along += length;
  });
  return result;
}

export interface Bump {
  /** The point of the outline nearest to here is the middle of the bump. */
  readonly near: PlanePoint;
  /** Positive outwards. */
  readonly heightMm: number;
  readonly widthMm: number;
}

/** The outline with raised-cosine bumps, as a fine polyline path, and where each bump's middle lies on the clean outline. */
export function withBumps(path: Path, bumps: readonly Bump[]): { path: Path; middles: PlanePoint[] } {
  const fine = fineOutline(path, 0.75);
  const last = fine[fine.length - 1]!;
  const total = last.alongMm + Math.hypot(fine[0]!.at.x - last.at.x, fine[0]!.at.y - last.at.y);
  const centres = bumps.map(({ near }) =>
    fine.reduce((best, f) =>
      Math.hypot(f.at.x - near.x, f.at.y - near.y) < Math.hypot(best.at.x - near.x, best.at.y - near.y)
        ? f
        : best,
    ),
  );
  const points = fine.map(({ at, out, alongMm }) => {
    const lift = bumps.reduce((sum, { heightMm, widthMm }, i) => {
      const gap = Math.abs(alongMm - centres[i]!.alongMm);
      const away = Math.min(gap, total - gap) / (widthMm / 2);
      return away < 1 ? sum + (heightMm * (1 + Math.cos(Math.PI * away))) / 2 : sum;
    }, 0);
    return point(at.x + lift * out.x, at.y + lift * out.y);
  });
  return { path: polylinePath(points, true), middles: centres.map(({ at }) => at) };
}

/** Normally distributed noise of the given spread across the outline, on points 1 mm apart. */
export function withNoise(path: Path, spreadMm: number, seed: number): Path {
  const random = randomFrom(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const points = fineOutline(path, 1).map(({ at, out }) => {
    const lift = spreadMm * normal();
    return point(at.x + lift * out.x, at.y + lift * out.y);
  });
  return polylinePath(points, true);
}

/** Everything beyond a straight cut taken away: points right of x + slope * y = limit are moved back onto it. */
export function trimmedRight(path: Path, limit: number, slope = 0.2): Path {
  const points = fineOutline(path, 0.5).map(({ at }) => {
    const over = at.x + slope * at.y - limit;
    return over > 0 ? point(at.x - over, at.y) : at;
  });
  return polylinePath(points, true);
}

export const posed = (path: Path): Path => movePath(path, POSE);
export const posedPoint = mover(POSE);
