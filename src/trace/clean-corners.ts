import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { neighbour, type Samples } from './clean-samples.ts';
import { smoothMisfitMm } from './smooth-misfit.ts';

/** A corner of a line: where the two sides, carried on, meet. */
export interface Corner {
  /** The sample next to it. */
  readonly at: number;
  readonly point: PlanePoint;
  /** Change of direction, rad; counter-clockwise positive. */
  readonly turnRad: number;
  /** Length on either side over which blur may have bent the samples, mm. */
  readonly gapMm: number;
}

/** Samples this close to a corner are not trusted: blur rounds them. */
const CORNER_GAP_MM = 0.7;

/** Lengths of side looked at, and the least change of direction that counts as a corner on them. */
const SCALES = [
  { sideMm: 9, gapMm: 1.2, leastTurnRad: 0.16 },
  { sideMm: 5, gapMm: 1.2, leastTurnRad: 0.26 },
  { sideMm: 2.5, gapMm: CORNER_GAP_MM, leastTurnRad: 0.6 },
  { sideMm: 6, gapMm: 2.2, leastTurnRad: 0.9 },
] as const;
/** A side that bends by more than this itself is too short a view of a curve to say anything about a corner. */
const MOST_BEND_RAD = 0.6;
type Scale = (typeof SCALES)[number];
/** Blur rounds the tip itself: points next to it may lie this much further off, mm. */
const BLUR_ALLOWANCE_MM = 0.1;
/** A change of direction must also stand out from the noise by this many sigma. */
const CLEAR_TURN = 6;
/** No corner is called where a smooth curve passes the samples within this share of the tolerance. */
const SMOOTH_SHARE = 0.35;
/** Seen on half the side, a true corner keeps at least this share of its turn; a curve loses most of it. */
const KEPT_TURN = 0.7;

/** Weights that take from evenly spread samples the value, slope and misfit of a parabola, seen from its near end. */
interface SideFilter {
  /** Offset of the first sample used, counted away from the corner, and the distance of each, mm. */
  readonly first: number;
  readonly places: Float64Array;
  /** Sum of the distances' fourth powers. */
  readonly fourths: number;
  readonly value: Float64Array;
  readonly slope: Float64Array;
  /** Standard deviation of the slope for unit noise. */
  readonly slopeSigma: number;
  /** Room for the samples looked at. */
  readonly xs: Float64Array;
  readonly ys: Float64Array;
}

/** Least squares on 1, s, s^2 with s in mm counted from the corner; the first samples, `gapMm` of them, are left out. */
function sideFilter(spacingMm: number, sideMm: number, gapMm: number): SideFilter {
  const first = Math.max(1, Math.round(gapMm / spacingMm));
  const count = Math.max(4, Math.round(sideMm / spacingMm));
  const places = Float64Array.from({ length: count }, (_, k) => (first + k) * spacingMm);
  // Orthogonalise 1, s, s^2 over the places (Gram-Schmidt); a value or slope at s = 0 is a sum over the basis.
  const basis: { values: Float64Array; atZero: number; slopeAtZero: number }[] = [];
  for (let power = 0; power < 3; power++) {
    const values = places.map((s) => s ** power);
    let atZero = power === 0 ? 1 : 0;
    let slopeAtZero = power === 1 ? 1 : 0;
    for (const other of basis) {
      const share = values.reduce((sum, value, k) => sum + value * other.values[k]!, 0);
      for (let k = 0; k < count; k++) values[k]! -= share * other.values[k]!;
      atZero -= share * other.atZero;
      slopeAtZero -= share * other.slopeAtZero;
    }
    const size = Math.sqrt(values.reduce((sum, value) => sum + value * value, 0));
    basis.push({
      values: values.map((value) => value / size),
      atZero: atZero / size,
      slopeAtZero: slopeAtZero / size,
    });
  }
  const value = new Float64Array(count);
  const slope = new Float64Array(count);
  for (const { values, atZero, slopeAtZero } of basis) {
    for (let k = 0; k < count; k++) {
      value[k]! += atZero * values[k]!;
      slope[k]! += slopeAtZero * values[k]!;
    }
  }
  const fourths = places.reduce((sum, s) => sum + s ** 4, 0);
  const slopeSigma = Math.sqrt(slope.reduce((sum, w) => sum + w * w, 0));
  const [xs, ys] = [new Float64Array(count), new Float64Array(count)];
  return { first, places, fourths, value, slope, slopeSigma, xs, ys };
}

/** One side of a possible corner: where its parabola reaches the corner's place and the direction away from it. */
interface Side {
  readonly x: number;
  readonly y: number;
  readonly directionX: number;
  readonly directionY: number;
  /** Root mean square misfit, mm. */
  readonly misfitMm: number;
  /** Change of direction along the side, rad. */
  readonly bendRad: number;
}

/** Fits the side of sample `i` that lies ahead (`sense` 1) or behind (-1). */
function fitSide(samples: Samples, filter: SideFilter, i: number, sense: 1 | -1): Side {
  const { first, places, fourths, value, slope, xs, ys } = filter;
  let x = 0;
  let y = 0;
  let dx = 0;
  let dy = 0;
  let trusted = true;
  for (let k = 0; k < value.length; k++) {
    const at = neighbour(samples, i + sense * (first + k));
    if (samples.weights[at] === 0) trusted = false;
    const [atX, atY] = [samples.xs[at]!, samples.ys[at]!];
    xs[k] = atX;
    ys[k] = atY;
    x += value[k]! * atX;
    y += value[k]! * atY;
    dx += slope[k]! * atX;
    dy += slope[k]! * atY;
  }
  // The parabola through value and slope at the corner and the mean of the far end gives the misfit.
  const last = value.length - 1;
  let cx = 0;
  let cy = 0;
  for (let k = 0; k <= last; k++) {
    const s = places[k]!;
    cx += s * s * (xs[k]! - x - dx * s);
    cy += s * s * (ys[k]! - y - dy * s);
  }
  let squares = 0;
  for (let k = 0; k <= last; k++) {
    const s = places[k]!;
    squares += (xs[k]! - x - dx * s - (cx / fourths) * s * s) ** 2;
    squares += (ys[k]! - y - dy * s - (cy / fourths) * s * s) ** 2;
  }
  const speed = Math.hypot(dx, dy) || 1;
  const bend = (2 * (last + 1) * samples.spacingMm * (cx * dy - cy * dx)) / (fourths * speed * speed);
  return {
    x,
    y,
    directionX: dx / speed,
    directionY: dy / speed,
    misfitMm: trusted ? Math.sqrt(squares / (last + 1)) : Infinity,
    bendRad: Math.abs(bend),
  };
}

/** Change of direction from coming along `behind` to leaving along `ahead`. */
function turnBetween(behind: Side, ahead: Side): number {
  const [ax, ay] = [-behind.directionX, -behind.directionY];
  return Math.atan2(
    ax * ahead.directionY - ay * ahead.directionX,
    ax * ahead.directionX + ay * ahead.directionY,
  );
}

/** Where the sides' end tangents meet, or the middle between their ends when they are too nearly in line. */
function meetingPoint(behind: Side, ahead: Side): PlanePoint {
  const middle = { x: (behind.x + ahead.x) / 2, y: (behind.y + ahead.y) / 2 };
  const cross = behind.directionX * ahead.directionY - behind.directionY * ahead.directionX;
  if (Math.abs(cross) < 0.02) return middle;
  const gapX = ahead.x - behind.x;
  const gapY = ahead.y - behind.y;
  const t = (gapX * ahead.directionY - gapY * ahead.directionX) / cross;
  const point = { x: behind.x + t * behind.directionX, y: behind.y + t * behind.directionY };
  return Math.hypot(point.x - middle.x, point.y - middle.y) < 3 ? point : middle;
}

/** Places of the corners seen on sides of one length: of neighbouring candidates, the one whose sides fit best. */
function candidatesAt(samples: Samples, { sideMm, gapMm, leastTurnRad }: Scale): number[] {
  const { count, closed, spacingMm, noiseMm } = samples;
  const filter = sideFilter(spacingMm, sideMm, gapMm);
  const half = sideFilter(spacingMm, sideMm / 2, gapMm);
  const span = filter.first + filter.value.length;
  if (closed ? count < 2 * span : count < 2 * span + 1) return [];
  const least = Math.max(leastTurnRad, CLEAR_TURN * Math.SQRT2 * filter.slopeSigma * noiseMm);
  const misfitLimit = 0.03 + 2.5 * noiseMm;
  const found: number[] = [];
  let best = Infinity;
  let lastSeen = -Infinity;
  for (let i = closed ? 0 : span; i < (closed ? count : count - span); i++) {
    const behind = fitSide(samples, filter, i, -1);
    const ahead = fitSide(samples, filter, i, 1);
    if (Math.max(behind.misfitMm, ahead.misfitMm) > misfitLimit) continue;
    if (Math.max(behind.bendRad, ahead.bendRad) > MOST_BEND_RAD) continue;
    const turn = Math.abs(turnBetween(behind, ahead));
    if (turn < least) continue;
    const turnByHalf = Math.abs(turnBetween(fitSide(samples, half, i, -1), fitSide(samples, half, i, 1)));
    if (turnByHalf < KEPT_TURN * turn - 3 * half.slopeSigma * noiseMm) continue;
    const misfit = behind.misfitMm + ahead.misfitMm;
    if (i - lastSeen > 2) {
      found.push(i);
      best = misfit;
    } else if (misfit < best) {
      found[found.length - 1] = i;
      best = misfit;
    }
    lastSeen = i;
  }
  return found;
}

/** A corner with the directions of its sides, away from it. */
interface Sided {
  readonly corner: Corner;
  readonly sides: readonly [Side, Side];
}

/** The corner at a sample, from the sides that a filter takes. */
function cornerAt(samples: Samples, i: number, filter: SideFilter): Sided {
  const behind = fitSide(samples, filter, i, -1);
  const ahead = fitSide(samples, filter, i, 1);
  const point = meetingPoint(behind, ahead);
  const reach = filter.first + 1;
  let [at, least] = [i, Infinity];
  for (let k = i - reach; k <= i + reach; k++) {
    const j = neighbour(samples, k);
    const distance = Math.hypot(samples.xs[j]! - point.x, samples.ys[j]! - point.y);
    if (distance < least) [at, least] = [j, distance];
  }
  const gapMm = Math.max(CORNER_GAP_MM, (filter.first - 1) * samples.spacingMm);
  return { corner: { at, point, turnRad: turnBetween(behind, ahead), gapMm }, sides: [behind, ahead] };
}

/**
 * The corner at a sample as its scale sees it, or as the same sides with a smaller gap do, whichever lies nearer to the
 * samples: carried on over a long gap, sides meet with a large error along the blunter of them.
 */
function nearestCornerAt(samples: Samples, i: number, { sideMm, gapMm }: Scale): Sided {
  const gaps = [gapMm, ...SCALES.map((scale) => scale.gapMm).filter((gap) => gap < gapMm)];
  const tries = gaps.map((gap) => {
    const sided = cornerAt(samples, i, sideFilter(samples.spacingMm, sideMm, gap));
    const { at, point } = sided.corner;
    return { sided, distance: Math.hypot(samples.xs[at]! - point.x, samples.ys[at]! - point.y) };
  });
  const [first] = tries;
  const best = tries.reduce((a, b) => (b.distance < a.distance ? b : a), first!);
  // The gap stays that of the scale: within it the samples are not to be trusted.
  return { ...best.sided, corner: { ...best.sided.corner, gapMm: first!.sided.corner.gapMm } };
}

/** Distance of a point from the ray that leaves `from` along a side. */
function distanceToSide(point: PlanePoint, from: PlanePoint, side: Side): number {
  const dx = point.x - from.x;
  const dy = point.y - from.y;
  const along = Math.max(0, dx * side.directionX + dy * side.directionY);
  return Math.hypot(dx - along * side.directionX, dy - along * side.directionY);
}

/**
 * True when a sharp corner stands for the measured points next to it within the tolerance: they lie on one side or
 * the other, where those of a rounded bend would cut across.
 */
function isSharp(points: readonly PlanePoint[], { corner, sides }: Sided, toleranceMm: number): boolean {
  return points.every((point) => {
    const fromCorner = distanceMm(point, corner.point);
    if (fromCorner > 2 * CORNER_GAP_MM) return true;
    const limit = toleranceMm + (fromCorner < CORNER_GAP_MM ? BLUR_ALLOWANCE_MM : 0);
    return Math.min(...sides.map((side) => distanceToSide(point, corner.point, side))) <= limit;
  });
}

/** Side looked at beyond a gap, mm. */
const GAP_SIDE_MM = 5;
/** A gap hides a corner when the line turns in it by this much more than its bend on either side leads to expect. */
const GAP_TURN_RAD = 0.35;
const GAP_BEND_FACTOR = 2.5;
/** A tip lies no further from the ends of its gap than this many gaps: sides that meet in less than some 25 degrees are guesses. */
const MOST_TIP = 2.3;

/** Corners hidden in gaps between measured stretches, where the sides carried on meet. */
function cornersInGaps(samples: Samples): Corner[] {
  const { count, closed, spacingMm, weights } = samples;
  const corners: Corner[] = [];
  for (let i = closed ? 0 : 1; i < count; i++) {
    if (weights[i] !== 0 || weights[neighbour(samples, i - 1)] === 0) continue;
    let length = 1;
    while (weights[neighbour(samples, i + length)] === 0 && length < count) length++;
    const middle = i + Math.floor(length / 2);
    const gapMm = (length / 2 + 1.5) * spacingMm;
    const filter = sideFilter(spacingMm, GAP_SIDE_MM, gapMm);
    const { corner, sides } = cornerAt(samples, middle, filter);
    // Ends of the gap, not its middle: the sides' own bend over the gap is not a corner.
    const near = sideFilter(spacingMm, GAP_SIDE_MM, spacingMm);
    const behind = fitSide(samples, near, i - 1, -1);
    const ahead = fitSide(samples, near, i + length, 1);
    const turn = turnBetween(behind, ahead);
    const expected = ((behind.bendRad + ahead.bendRad) / 2 / GAP_SIDE_MM) * length * spacingMm;
    if (Math.max(...sides.map(({ misfitMm }) => misfitMm)) > 0.2) continue;
    if (Math.abs(turn) < GAP_BEND_FACTOR * Math.abs(expected) + GAP_TURN_RAD) continue;
    const ends = [neighbour(samples, i - 1), neighbour(samples, i + length)].map((k) => ({
      x: samples.xs[k]!,
      y: samples.ys[k]!,
    }));
    const furthest = Math.max(...ends.map((end) => distanceMm(end, corner.point)));
    if (furthest > MOST_TIP * distanceMm(ends[0]!, ends[1]!)) continue;
    corners.push(corner);
  }
  return corners;
}

/**
 * The corners of a line, in order: bends that are over within about a millimetre, sharper than about ten degrees on
 * long sides and twenty-five on short ones. Rounded bends that a sharp corner would miss by more than the tolerance
 * are left to the curves.
 */
export function findCorners(samples: Samples, points: readonly PlanePoint[], toleranceMm: number): Corner[] {
  const corners = cornersInGaps(samples);
  const taken = corners.map(({ at, point }) => {
    const sample = { x: samples.xs[at]!, y: samples.ys[at]! };
    return { point, reachMm: 1.2 * distanceMm(point, sample) };
  });
  for (const scale of SCALES) {
    for (const i of candidatesAt(samples, scale)) {
      const sample = { x: samples.xs[i]!, y: samples.ys[i]! };
      // Seen past a gap, a corner shows from either side of it: each is taken once.
      const shadowMm = 2 * scale.gapMm;
      if (taken.some(({ point, reachMm }) => distanceMm(point, sample) < reachMm + shadowMm)) continue;
      const reach = Math.round((scale.sideMm + scale.gapMm) / samples.spacingMm);
      if (smoothMisfitMm(samples, i, reach) < SMOOTH_SHARE * toleranceMm + 4 * samples.noiseMm) continue;
      const sided = nearestCornerAt(samples, i, scale);
      if (!isSharp(points, sided, toleranceMm)) continue;
      corners.push(sided.corner);
      const { point } = sided.corner;
      taken.push({ point, reachMm: 1.2 * distanceMm(point, sample) });
    }
  }
  return corners.sort((a, b) => a.at - b.at);
}
