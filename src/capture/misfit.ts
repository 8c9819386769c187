/** How well each target agrees with the solve, and the solve without those that do not. */
import type { ImagePoint } from '../geometry/point.ts';
import { type Camera, imageToPlane, planeToImage } from './camera.ts';
import { type Solution, type SolveInput, solve, targetsOf } from './solve.ts';
import { placePoint, showSide } from './solve-rows.ts';
import { layPoints, placeOf } from './solve-start.ts';
import { faceHeightOf, type SeenSide, type SeenTarget } from './solve-target.ts';

export interface TargetFit {
  /** RMS distance of what was seen of it from their solved places, in stated sigmas and in mm on the table. */
  readonly sigmas: number;
  readonly residualMm: number;
  readonly solvedPx: readonly ImagePoint[];
}

const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / Math.max(1, values.length));

/** Fit of a target's points to the places (mm on the table) where they should lie. */
export function pointsFit(
  camera: Camera,
  target: SeenTarget,
  places: readonly { readonly x: number; readonly y: number }[],
): TargetFit {
  const zMm = faceHeightOf(target);
  const solvedPx = places.map((place) => planeToImage(camera, place, zMm));
  const laid = target.points.map(({ seen }) => imageToPlane(camera, seen, zMm));
  return {
    solvedPx,
    sigmas: rms(
      target.points.flatMap(({ seen, sigmaPx }, i) => [
        (seen.u - solvedPx[i]!.u) / sigmaPx,
        (seen.v - solvedPx[i]!.v) / sigmaPx,
      ]),
    ),
    residualMm: rms(laid.map((point, i) => Math.hypot(point.x - places[i]!.x, point.y - places[i]!.y))),
  };
}

/** Fit of the places seen on a target's sides to its solved sides. */
function sidesFit({ problem, state }: Solution, target: number, sides: readonly SeenSide[]): TargetFit {
  const { camera } = state;
  const zMm = faceHeightOf(problem.targets[target]!);
  const misses = sides.flatMap(({ places }, side) =>
    places.map(({ seen, normal, sigmaPx }) => {
      const { at } = showSide(problem, state, target, side, seen)!;
      const missPx = normal.u * (seen.u - at.u) + normal.v * (seen.v - at.v);
      const a = imageToPlane(camera, at, zMm);
      const b = imageToPlane(camera, { u: at.u + normal.u, v: at.v + normal.v }, zMm);
      return { sigmas: missPx / sigmaPx, missMm: missPx * Math.hypot(b.x - a.x, b.y - a.y) };
    }),
  );
  return {
    solvedPx: [],
    sigmas: rms(misses.map(({ sigmas }) => sigmas)),
    residualMm: rms(misses.map(({ missMm }) => missMm)),
  };
}

/** Fits of all targets of a solution, in its order. */
export function targetFits(solution: Solution): readonly TargetFit[] {
  const { problem, state } = solution;
  return problem.targets.map((target, index) =>
    target.sides
      ? sidesFit(solution, index, target.sides)
      : pointsFit(
          state.camera,
          target,
          target.points.map(({ at }) => placePoint(problem, state, index, at)),
        ),
  );
}

/** A solution and the targets (places in the input's list: cards, then references) that it uses and leaves out. */
export interface CleanSolution {
  readonly solution: Solution;
  readonly used: readonly number[];
  readonly leftOut: readonly number[];
}

/** Points that vary less than this, as a multiple of the stated variance, hide no wrong target. */
const QUIET_VARIANCE = 0.5;
/** A target this many sigmas off is suspected ... */
const SUSPECT_SIGMAS = 1.3;
/** ... and left out when the points' variance then falls by this factor. */
const MUCH_BETTER = 3;
/** The worst few are tried, not all: one solve each. */
const SUSPECTS = 4;
/** Fewer than this cannot say which of them is wrong. */
const QUORUM = 3;

/** The input with only the targets at the given places of its list. */
function withTargets(input: SolveInput, kept: readonly number[]): SolveInput {
  const { cards, references = [] } = input;
  return {
    ...input,
    cards: cards.filter((_, index) => kept.includes(index)),
    references: references.filter((_, index) => kept.includes(cards.length + index)),
    tapes: input.tapes.flatMap((tape) => {
      const [fromCard, toCard] = [kept.indexOf(tape.fromCard), kept.indexOf(tape.toCard)];
      return fromCard >= 0 && toCard >= 0 ? [{ ...tape, fromCard, toCard }] : [];
    }),
  };
}

/** Places in the list of the targets that fit worst, worst first. */
function suspectsOf(solution: Solution): readonly number[] {
  return targetFits(solution)
    .map(({ sigmas }, index) => ({ sigmas, index }))
    .filter(({ sigmas }) => sigmas > SUSPECT_SIGMAS)
    .sort((a, b) => b.sigmas - a.sigmas)
    .slice(0, SUSPECTS)
    .map(({ index }) => index);
}

/**
 * Solves, leaves out the target without which the rest agrees much better, and again until no such one is left.
 * A wrong one bends the whole solve, so it need not be the one with the largest residual: each suspect is tried.
 * Tapes have no part in this: leaving out a card would silence the tape that ends on it, so a wrong tape or wrong
 * bars would cost a good card. Undefined when nothing solves.
 */
export function solveWithoutStrays(input: SolveInput): CleanSolution | undefined {
  const untaped = { ...input, tapes: [] };
  const all = targetsOf(input).map((_, index) => index);
  let used = all;
  let solution = solve(untaped);
  if (!solution) return undefined;
  while (used.length >= QUORUM && solution.variance > QUIET_VARIANCE) {
    const suspects = suspectsOf(solution);
    if (suspects.length === 0) break;
    const trials = suspects.flatMap((suspect) => {
      const kept = used.filter((_, place) => place !== suspect);
      const trial = solve(withTargets(untaped, kept));
      return trial ? [{ kept, trial }] : [];
    });
    const best = trials.sort((a, b) => a.trial.variance - b.trial.variance)[0];
    if (!best || best.trial.variance * MUCH_BETTER > solution.variance) break;
    used = best.kept;
    solution = best.trial;
  }
  if (input.tapes.length > 0) solution = solve(withTargets(input, used)) ?? solution;
  const leftOut = all.filter((index) => !used.includes(index));
  return { solution, used, leftOut };
}

/** What a target looks like through a camera that it had no part in. */
export interface StrayLook {
  readonly x: number;
  readonly y: number;
  readonly turnRad: number;
  /** 1 = as large as it should be. */
  readonly size: number;
  /** RMS distance from a flat thing of that size, mm. */
  readonly crookedMm: number;
  /** Height over the table that would make one of the right size look this large, mm. */
  readonly heightMm: number;
}

/** Looks at a left-out target through the solved camera. */
export function lookAtStray(solution: Solution, target: SeenTarget): StrayLook {
  const { camera, lnAcross, lnAlong } = solution.state;
  const points = layPoints(camera, target, lnAcross, lnAlong);
  const place = placeOf(points);
  const [c, s] = [Math.cos(place.turnRad) * place.size, Math.sin(place.turnRad) * place.size];
  // placeOf keeps the points' means together at size 1; at another size the centre moves with them.
  const nx = points.reduce((sum, { nominal }) => sum + nominal.x, 0) / points.length;
  const ny = points.reduce((sum, { nominal }) => sum + nominal.y, 0) / points.length;
  const lx = points.reduce((sum, { laid }) => sum + laid.x, 0) / points.length;
  const ly = points.reduce((sum, { laid }) => sum + laid.y, 0) / points.length;
  const crookedMm = rms(
    points.map(({ nominal, laid }) =>
      Math.hypot(
        lx + c * (nominal.x - nx) - s * (nominal.y - ny) - laid.x,
        ly + s * (nominal.x - nx) + c * (nominal.y - ny) - laid.y,
      ),
    ),
  );
  return {
    x: place.x,
    y: place.y,
    turnRad: place.turnRad,
    size: place.size,
    crookedMm,
    heightMm: camera.centreMm[2] * (1 - 1 / place.size),
  };
}
