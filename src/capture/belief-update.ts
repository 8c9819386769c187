/** What a capture's covariance would become if one more thing were measured. */
import type { PlanePoint } from '../geometry/point.ts';
import { type Camera, planeToImage } from './camera.ts';
import { CAMERA_COUNT, LN_ACROSS, LN_ALONG, SHARED_COUNT, steppedCamera } from './camera-parameters.ts';
import { CARD_FACE_HEIGHT_MM, MARK_CENTRES } from './card.ts';
import type { Prior } from './priors.ts';
import { type ReferenceShape, shapeCorners, usualDoubts } from './reference-shapes.ts';
import { placePoint, showSide } from './solve-rows.ts';
import { type SolveProblem, type SolveState, type TargetPlace } from './solve-state.ts';
import { type SeenSide, SIDE_UNKNOWNS } from './solve-target.ts';
import { CAMERA_STEPS, lengthSlopes } from './tolerance.ts';
import type { Capture } from './types.ts';

/** A square covariance of camera and print, row by row, of size `SHARED_COUNT`. */
export type SharedCovariance = readonly number[];

/** A card to come lies anywhere near its place: so wide that its marks alone say where. */
const PLACE_DOUBT_MM = 60;
const PLACE_DOUBT_RAD = 0.6;

/**
 * One measurement more: a value with the slopes `row` by the unknowns and a variance (the Kalman filter's update of
 * a covariance; Gelb, Applied Optimal Estimation, 1974, section 4.2, from memory). A negative variance takes one back.
 */
function measured(covariance: Float64Array, n: number, row: Float64Array, variance: number): void {
  const gain = new Float64Array(n);
  let own = variance;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) gain[i]! += covariance[i * n + j]! * row[j]!;
    own += row[i]! * gain[i]!;
  }
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) covariance[i * n + j]! -= (gain[i]! * gain[j]!) / own;
}

/** Where a mark of a card shows, by camera and print and the card's place. */
function markShown(
  camera: Camera,
  print: readonly [number, number],
  { x, y, turnRad }: TargetPlace,
  at: PlanePoint,
) {
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  const [px, py] = [print[0] * at.x, print[1] * at.y];
  return planeToImage(camera, { x: x + c * px - s * py, y: y + s * px + c * py }, CARD_FACE_HEIGHT_MM);
}

/** Steps for the derivatives by the camera, the print and a card's place. */
const STEPS: readonly number[] = [...CAMERA_STEPS, 1e-6, 1e-6, 1e-3, 1e-3, 1e-6];

/** Slopes of a mark's u and v by camera, print and place. */
function markSlopes({ camera, printScale }: Capture, place: TargetPlace, at: PlanePoint) {
  const shownWith = (step: Float64Array) =>
    markShown(
      steppedCamera(camera, step),
      [printScale.across * Math.exp(step[LN_ACROSS]!), printScale.along * Math.exp(step[LN_ALONG]!)],
      {
        x: place.x + step[SHARED_COUNT]!,
        y: place.y + step[SHARED_COUNT + 1]!,
        turnRad: place.turnRad + step[SHARED_COUNT + 2]!,
      },
      at,
    );
  const [byU, byV] = [new Float64Array(STEPS.length), new Float64Array(STEPS.length)];
  STEPS.forEach((size, i) => {
    const step = new Float64Array(STEPS.length);
    step[i] = size;
    const more = shownWith(step);
    step[i] = -size;
    const less = shownWith(step);
    byU[i] = (more.u - less.u) / (2 * size);
    byV[i] = (more.v - less.v) / (2 * size);
  });
  return [byU, byV];
}

/** The covariance of camera and print with room for `doubts.length` more unknowns, each in doubt by so much. */
function widened(covariance: SharedCovariance, doubts: readonly number[]): Float64Array {
  const n = SHARED_COUNT + doubts.length;
  const wide = new Float64Array(n * n);
  for (let i = 0; i < SHARED_COUNT; i++) {
    for (let j = 0; j < SHARED_COUNT; j++) wide[i * n + j] = covariance[i * SHARED_COUNT + j]!;
  }
  doubts.forEach((doubt, k) => {
    wide[(SHARED_COUNT + k) * (n + 1)] = doubt ** 2;
  });
  return wide;
}

/** Camera and print alone of a widened covariance. */
function shared(wide: Float64Array): SharedCovariance {
  const n = Math.sqrt(wide.length);
  return Array.from(
    { length: SHARED_COUNT ** 2 },
    (_, k) => wide[Math.floor(k / SHARED_COUNT) * n + (k % SHARED_COUNT)]!,
  );
}

const PLACE_DOUBTS = [PLACE_DOUBT_MM, PLACE_DOUBT_MM, PLACE_DOUBT_RAD];

/** The covariance with one more scale card at a place whose four marks are seen to `sigmaPx`. */
export function withCard(
  capture: Capture,
  covariance: SharedCovariance,
  place: TargetPlace,
  sigmaPx: number,
): SharedCovariance {
  const wide = widened(covariance, PLACE_DOUBTS);
  const n = SHARED_COUNT + PLACE_DOUBTS.length;
  for (const at of MARK_CENTRES) {
    for (const row of markSlopes(capture, place, at)) measured(wide, n, row, sigmaPx ** 2);
  }
  return shared(wide);
}

/** Places of a side that are reckoned with; the solve sees about three times as many. */
const SIDE_PLACES = 8;
const SEEN_PER_PLACE = 3;

/** Places spread over the seen part of a side, in the shape's own frame, each with one a millimetre on. */
function placesOn({ from, to }: Pick<SeenSide, 'from' | 'to'>, endMm: number) {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const way = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
  const along = (mm: number): PlanePoint => ({ x: from.x + mm * way.x, y: from.y + mm * way.y });
  return Array.from({ length: SIDE_PLACES }, (_, i) => {
    const mm = endMm + ((length - 2 * endMm) * (i + 0.5)) / SIDE_PLACES;
    return { at: along(mm), next: along(mm + 1) };
  });
}

/**
 * The covariance with a card or sheet of this shape laid at a place, long side along its own x, its four sides seen to
 * `sigmaPx` in each place: as in the solve, every side may lie off, be turned and bowed by what its shape allows.
 */
export function withShape(
  { camera }: Capture,
  covariance: SharedCovariance,
  shape: ReferenceShape,
  place: TargetPlace,
  sigmaPx: number,
): SharedCovariance {
  const { faceHeightMm, cornerMm } = shape;
  const { shiftDoubtMm, turnDoubtMm, bowDoubtMm } = usualDoubts(shape);
  const slack = { shiftDoubtMm, turnDoubtMm, bowDoubtMm };
  const corners = shapeCorners(shape);
  const sides = corners.map((from, i) => ({ from, to: corners[(i + 1) % 4]!, places: [], ...slack }));
  // The first target of a solve is its gauge, for which the capture's frame stands in.
  const problem: SolveProblem = {
    targets: [{ points: [] }, { points: [], sides, faceHeightMm, isPrinted: false }],
    tapes: [],
    priors: [],
    noiseGain: 1,
  };
  const state: SolveState = {
    camera,
    lnAcross: 0,
    lnAlong: 0,
    places: [{ x: 0, y: 0, turnRad: 0 }, place],
    slack: Array.from({ length: SIDE_UNKNOWNS * sides.length }, () => 0),
  };
  const sideDoubts = sides.flatMap(() => [shiftDoubtMm, turnDoubtMm, bowDoubtMm]);
  const wide = widened(covariance, [...PLACE_DOUBTS, ...sideDoubts]);
  const n = Math.sqrt(wide.length);
  sides.forEach((side, index) => {
    for (const { at, next } of placesOn(side, cornerMm)) {
      const [seen, ahead] = [at, next].map((point) => {
        const { x, y } = placePoint(problem, state, 1, point);
        return planeToImage(camera, { x, y }, faceHeightMm);
      });
      const length = Math.hypot(ahead!.u - seen!.u, ahead!.v - seen!.v);
      const shown = showSide(problem, state, 1, index, seen!);
      if (!shown) continue;
      const sparse = shown.row((ahead!.v - seen!.v) / length, (seen!.u - ahead!.u) / length);
      const row = new Float64Array(n);
      sparse.index.forEach((unknown, k) => {
        row[unknown]! += sparse.value[k]!;
      });
      measured(wide, n, row, sigmaPx ** 2 / SEEN_PER_PLACE);
    }
  });
  return shared(wide);
}

/** The covariance with the distance between two places on the cards' faces measured to `doubtMm`. */
export function withLength(
  { camera }: Capture,
  covariance: SharedCovariance,
  a: PlanePoint,
  b: PlanePoint,
  doubtMm: number,
): SharedCovariance {
  const row = new Float64Array(SHARED_COUNT);
  row.set(lengthSlopes(camera, a, b, CARD_FACE_HEIGHT_MM).subarray(0, CAMERA_COUNT));
  const next = Float64Array.from(covariance);
  measured(next, SHARED_COUNT, row, doubtMm ** 2);
  return [...next];
}

/** The covariance with some beliefs in place of others. */
export function withBeliefs(
  covariance: SharedCovariance,
  added: readonly Prior[],
  dropped: readonly Prior[],
): SharedCovariance {
  const next = Float64Array.from(covariance);
  const rowOf = ({ terms }: Prior): Float64Array => {
    const row = new Float64Array(SHARED_COUNT);
    for (const [index, weight] of terms) row[index] = weight;
    return row;
  };
  // First what comes, then what goes: the unknowns are never left without any belief between.
  for (const prior of added) measured(next, SHARED_COUNT, rowOf(prior), prior.sigma ** 2);
  for (const prior of dropped) measured(next, SHARED_COUNT, rowOf(prior), -(prior.sigma ** 2));
  return [...next];
}
