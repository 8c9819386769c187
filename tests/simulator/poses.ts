import type { PlanePoint } from '../../src/geometry/point.ts';
import { CARD_SIZE_MM } from './card-face.ts';
import { project, type SimCamera } from './lens.ts';
import type { Random } from './seeded.ts';

/** A lens without its pose. */
export interface Lens {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly focalPx: number;
  readonly offsetUPx: number;
  readonly offsetVPx: number;
  readonly k1: number;
  readonly k2: number;
  readonly k3: number;
  readonly p1: number;
  readonly p2: number;
}

/** A straight-drawing lens of about 26 mm for the given number of megapixels (4:3). */
export function plainLens(megapixels: number): Lens {
  const heightPx = 2 * Math.round(Math.sqrt((megapixels * 1e6 * 3) / 4) / 2);
  const widthPx = 2 * Math.round((heightPx * 4) / 6);
  return {
    widthPx,
    heightPx,
    focalPx: (26 / 36) * widthPx,
    offsetUPx: 0,
    offsetVPx: 0,
    k1: 0,
    k2: 0,
    k3: 0,
    p1: 0,
    p2: 0,
  };
}

export interface Pose {
  readonly tiltRad: number;
  /** Direction on the table in which the tilted camera looks. */
  readonly azimuthRad: number;
  readonly rollRad: number;
  readonly target: PlanePoint;
  readonly distanceMm: number;
}

/** A camera that looks at `target` from `distanceMm`; with no tilt and no roll its up is the table's y. */
export function cameraAt(lens: Lens, pose: Pose): SimCamera {
  const [st, ct] = [Math.sin(pose.tiltRad), Math.cos(pose.tiltRad)];
  const ahead = [st * Math.cos(pose.azimuthRad), st * Math.sin(pose.azimuthRad), -ct] as const;
  // The table's x, made square to the axis, then turned about it.
  const dot = ahead[0];
  const length = Math.hypot(1 - dot * ahead[0], -dot * ahead[1], -dot * ahead[2]);
  const right = [
    (1 - dot * ahead[0]) / length,
    (-dot * ahead[1]) / length,
    (-dot * ahead[2]) / length,
  ] as const;
  const down = [
    ahead[1] * right[2] - ahead[2] * right[1],
    ahead[2] * right[0] - ahead[0] * right[2],
    ahead[0] * right[1] - ahead[1] * right[0],
  ] as const;
  const [sr, cr] = [Math.sin(pose.rollRad), Math.cos(pose.rollRad)];
  const rotation = [
    ...right.map((value, i) => cr * value + sr * down[i]!),
    ...down.map((value, i) => cr * value - sr * right[i]!),
    ...ahead,
  ];
  return {
    ...lens,
    rotation,
    centreMm: [
      pose.target.x - pose.distanceMm * ahead[0],
      pose.target.y - pose.distanceMm * ahead[1],
      -pose.distanceMm * ahead[2],
    ],
  };
}

/** Shortest distance at which all points lie inside the picture with a margin (share of its sides). */
export function distanceToShow(
  lens: Lens,
  pose: Omit<Pose, 'distanceMm'>,
  points: readonly PlanePoint[],
  margin = 0.03,
): number {
  const fits = (distanceMm: number): boolean => {
    const camera = cameraAt(lens, { ...pose, distanceMm });
    return points.every(({ x, y }) => {
      const { u, v } = project(camera, x, y, 0);
      const [mu, mv] = [margin * lens.widthPx, margin * lens.heightPx];
      return u >= mu && v >= mv && u <= lens.widthPx - mu && v <= lens.heightPx - mv;
    });
  };
  let [near, far] = [50, 6000];
  if (!fits(far)) throw new Error('The points do not fit into the picture from any distance.');
  for (let i = 0; i < 30; i++) {
    const middle = (near + far) / 2;
    if (fits(middle)) far = middle;
    else near = middle;
  }
  return far;
}

export type RegionSize = 'A4' | 'A3' | 'A2';

/** Regions lie landscape about the origin; sizes ISO 216, mm. */
export const REGION_SIZES: Readonly<Record<RegionSize, readonly [number, number]>> = {
  A4: [297, 210],
  A3: [420, 297],
  A2: [594, 420],
};

export interface CardSpot {
  readonly id: number;
  readonly centre: PlanePoint;
  readonly turnRad: number;
}

/**
 * Cards laid round a region as makers are told to: one beside each corner, with 6 one more at the middle of each
 * long side; none inside the region. Places and turns scatter.
 */
export function cardsAround(region: RegionSize, count: 4 | 6, random: Random): CardSpot[] {
  const [width, height] = REGION_SIZES[region];
  const beside = width / 2 + 0.75 * CARD_SIZE_MM;
  const high = height / 2 - 0.35 * CARD_SIZE_MM;
  const spots: [number, number][] = [
    [-beside, high],
    [beside, high],
    [beside, -high],
    [-beside, -high],
  ];
  if (count === 6) spots.push([0, height / 2 + 0.75 * CARD_SIZE_MM], [0, -height / 2 - 0.75 * CARD_SIZE_MM]);
  return spots.map(([x, y], id) => ({
    id,
    centre: { x: x + random.between(-6, 6), y: y + random.between(-10, 10) },
    // Any turn; most people lay them about upright or on a side.
    turnRad: (Math.PI / 2) * random.below(4) + random.normal(0.2),
  }));
}

/** The four paper corners of a card spot. */
export function cardCorners({ centre, turnRad }: CardSpot): PlanePoint[] {
  const [c, s] = [Math.cos(turnRad) * (CARD_SIZE_MM / 2), Math.sin(turnRad) * (CARD_SIZE_MM / 2)];
  return [
    { x: centre.x - c + -s, y: centre.y - s + c },
    { x: centre.x + c - s, y: centre.y + s + c },
    { x: centre.x + c + s, y: centre.y + s - c },
    { x: centre.x - c + s, y: centre.y - s - c },
  ];
}
