/** The one system of equations of several photos of the same table: each photo's own, with shared unknowns made one. */
import type { Camera } from './camera.ts';
import { CAMERA_COUNT, LN_FOCAL, SHARED_COUNT, steppedCamera } from './camera-parameters.ts';
import type { SeenPoint } from './card-points.ts';
import type { Prior } from './priors.ts';
import type { System } from './solve-descend.ts';
import { type Equations, equationsAt } from './solve-equations.ts';
import { withLeverage } from './solve-rows.ts';
import type { SolveProblem, SolveState, SolveTape, TargetPlace } from './solve-state.ts';
import type { SeenTarget } from './solve-target.ts';

/** A card in one photo: which of the table's cards it is, and what the photo shows of it. */
export interface JoinSighting {
  readonly tableCard: number;
  readonly points: readonly SeenPoint[];
}

export interface JoinPhoto {
  readonly sightings: readonly JoinSighting[];
  /** Beliefs about its lens, in the indices of `CAMERA_PARAMETERS`. */
  readonly priors: readonly Prior[];
  /** One-sigma differences of ln(focal), k1, k2 and both offsets from the first photo's lens; left out where the lens is its own. */
  readonly likeFirst?: readonly number[];
}

export interface JoinProblem {
  readonly photos: readonly JoinPhoto[];
  /** Number of different cards on the table; the first one's place is the gauge. */
  readonly tableCards: number;
  readonly print: readonly Prior[];
  /** Tapes between the table's cards. */
  readonly tapes: readonly SolveTape[];
  readonly noiseGain: number;
}

export interface JoinState {
  readonly cameras: readonly Camera[];
  readonly lnAcross: number;
  readonly lnAlong: number;
  readonly places: readonly TargetPlace[];
}

const PRINT_COUNT = SHARED_COUNT - CAMERA_COUNT;
/** The solve holds its first target's place: a target of no points takes that part, so that every card can move. */
const NOTHING: SeenTarget = { points: [] };
const ORIGIN: TargetPlace = { x: 0, y: 0, turnRad: 0 };

/** Place of the print's unknowns among all. */
export function printIndex({ photos }: JoinProblem): number {
  return CAMERA_COUNT * photos.length;
}

function cardIndex(problem: JoinProblem, card: number): number {
  return card === 0 ? -1 : printIndex(problem) + PRINT_COUNT + 3 * (card - 1);
}

export function joinUnknowns(problem: JoinProblem): number {
  return printIndex(problem) + PRINT_COUNT + 3 * (problem.tableCards - 1);
}

/** One photo's own solve: `NOTHING`, then its cards. Target k + 1 is sighting k. */
export function photoProblem({ photos, noiseGain }: JoinProblem, photo: number): SolveProblem {
  const { sightings, priors } = photos[photo]!;
  return { targets: [NOTHING, ...sightings], tapes: [], priors, noiseGain };
}

export function photoState(problem: JoinProblem, state: JoinState, photo: number): SolveState {
  const { cameras, lnAcross, lnAlong, places } = state;
  return {
    camera: cameras[photo]!,
    lnAcross,
    lnAlong,
    places: [ORIGIN, ...problem.photos[photo]!.sightings.map(({ tableCard }) => places[tableCard]!)],
    slack: [],
  };
}

/** Places among all unknowns of those of a solve with these cards; -1 for what is held. */
function indexMap(problem: JoinProblem, photo: number | undefined, cards: readonly number[]): number[] {
  const print = printIndex(problem);
  return [
    ...Array.from({ length: CAMERA_COUNT }, (_, i) => (photo === undefined ? -1 : CAMERA_COUNT * photo + i)),
    ...Array.from({ length: PRINT_COUNT }, (_, i) => print + i),
    ...cards.flatMap((card) => {
      const first = cardIndex(problem, card);
      return first < 0 ? [-1, -1, -1] : [first, first + 1, first + 2];
    }),
  ];
}

interface Sums {
  readonly n: number;
  readonly data: Float64Array;
  readonly prior: Float64Array;
  readonly right: Float64Array;
}

function addEquations({ n, data, prior, right }: Sums, own: Equations, map: readonly number[]): void {
  const m = map.length;
  for (let i = 0; i < m; i++) {
    const a = map[i]!;
    if (a < 0) continue;
    right[a]! += own.right[i]!;
    for (let j = 0; j < m; j++) {
      const b = map[j]!;
      if (b < 0) continue;
      data[a * n + b]! += own.data[i * m + j]!;
      prior[a * n + b]! += own.prior[i * m + j]!;
    }
  }
}

const lensOf = ({ focalPx, k1, k2, offsetUPx, offsetVPx }: Camera): readonly number[] => [
  Math.log(focalPx),
  k1,
  k2,
  offsetUPx,
  offsetVPx,
];

/** The belief that a photo's lens is the first one's; gives its cost. */
function addLikeness(
  { n, prior, right }: Sums,
  { cameras }: JoinState,
  photo: number,
  sigmas: readonly number[],
): number {
  const [first, own] = [lensOf(cameras[0]!), lensOf(cameras[photo]!)];
  let cost = 0;
  sigmas.forEach((sigma, k) => {
    const [a, b] = [LN_FOCAL + k, CAMERA_COUNT * photo + LN_FOCAL + k];
    const residual = first[k]! - own[k]!;
    const weight = 1 / sigma ** 2;
    cost += weight * residual ** 2;
    right[b]! += weight * residual;
    right[a]! -= weight * residual;
    prior[a * n + a]! += weight;
    prior[b * n + b]! += weight;
    prior[a * n + b]! -= weight;
    prior[b * n + a]! -= weight;
  });
  return cost;
}

/** `alone` holds each photo's own problem. */
function joinedEquations(
  problem: JoinProblem,
  alone: readonly SolveProblem[],
  state: JoinState,
): Equations | undefined {
  const n = joinUnknowns(problem);
  const sums: Sums = {
    n,
    data: new Float64Array(n * n),
    prior: new Float64Array(n * n),
    right: new Float64Array(n),
  };
  let [cost, dataCost, dataCount] = [0, 0, 0];
  const add = (own: Equations | undefined, map: readonly number[]): boolean => {
    if (!own) return false;
    addEquations(sums, own, map);
    cost += own.cost;
    dataCost += own.dataCost;
    dataCount += own.dataCount;
    return true;
  };
  for (const [photo, { sightings, likeFirst }] of problem.photos.entries()) {
    const cards = sightings.map(({ tableCard }) => tableCard);
    const own = equationsAt(alone[photo]!, photoState(problem, state, photo));
    if (!add(own, indexMap(problem, photo, cards))) return undefined;
    if (likeFirst) cost += addLikeness(sums, state, photo, likeFirst);
  }
  // The print and the tapes belong to the table, not to a photo: a photo without points carries them.
  const cards = state.places.map((_, card) => card);
  const table: SolveProblem = {
    targets: [NOTHING, ...cards.map(() => NOTHING)],
    tapes: problem.tapes.map((tape) => ({
      ...tape,
      fromCard: tape.fromCard + 1,
      toCard: tape.toCard + 1,
    })),
    priors: problem.print,
    noiseGain: problem.noiseGain,
  };
  const { lnAcross, lnAlong, places } = state;
  const own = equationsAt(table, {
    camera: state.cameras[0]!,
    lnAcross,
    lnAlong,
    places: [ORIGIN, ...places],
    slack: [],
  });
  if (!add(own, indexMap(problem, undefined, cards))) return undefined;
  return { cost, data: sums.data, prior: sums.prior, right: sums.right, dataCost, dataCount };
}

function steppedJoin(problem: JoinProblem, state: JoinState, step: Float64Array): JoinState {
  const print = printIndex(problem);
  return {
    cameras: state.cameras.map((camera, photo) =>
      steppedCamera(camera, step.subarray(CAMERA_COUNT * photo, CAMERA_COUNT * (photo + 1))),
    ),
    lnAcross: state.lnAcross + step[print]!,
    lnAlong: state.lnAlong + step[print + 1]!,
    places: state.places.map((place, card) => {
      const at = cardIndex(problem, card);
      if (at < 0) return place;
      return { x: place.x + step[at]!, y: place.y + step[at + 1]!, turnRad: place.turnRad + step[at + 2]! };
    }),
  };
}

/** All photos as one system for `descendOn` about a state; what lifted paper can do is held (see `systemOf`). */
export function joinSystem(problem: JoinProblem, about: JoinState): System<JoinState> {
  const alone = problem.photos.map((_, photo) =>
    withLeverage(photoProblem(problem, photo), photoState(problem, about, photo)),
  );
  return {
    unknowns: joinUnknowns(problem),
    equationsAt: (state) => joinedEquations(problem, alone, state),
    stepped: (state, step) => steppedJoin(problem, state, step),
  };
}
