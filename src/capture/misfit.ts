/** How well each card agrees with the solve, and the solve without the cards that do not. */
import type { ImagePoint } from '../geometry/point.ts';
import { type Camera, imageToPlane, planeToImage } from './camera.ts';
import { CARD_FACE_HEIGHT_MM } from './card.ts';
import type { SeenCard } from './card-points.ts';
import { type Solution, type SolveInput, solve } from './solve.ts';
import { placePoint } from './solve-equations.ts';
import { layPoints, placeOf } from './solve-start.ts';

export interface CardFit {
  /** RMS distance of the card's points from their solved places, in stated sigmas and in mm on the table. */
  readonly sigmas: number;
  readonly residualMm: number;
  readonly solvedPx: readonly ImagePoint[];
}

const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / Math.max(1, values.length));

/** Fit of a card's points to the places (mm on the table) where they should lie. */
export function cardFit(
  camera: Camera,
  card: SeenCard,
  places: readonly { readonly x: number; readonly y: number }[],
): CardFit {
  const solvedPx = places.map((place) => planeToImage(camera, place, CARD_FACE_HEIGHT_MM));
  const laid = card.points.map(({ seen }) => imageToPlane(camera, seen, CARD_FACE_HEIGHT_MM));
  return {
    solvedPx,
    sigmas: rms(
      card.points.flatMap(({ seen, sigmaPx }, i) => [
        (seen.u - solvedPx[i]!.u) / sigmaPx,
        (seen.v - solvedPx[i]!.v) / sigmaPx,
      ]),
    ),
    residualMm: rms(laid.map((point, i) => Math.hypot(point.x - places[i]!.x, point.y - places[i]!.y))),
  };
}

/** Fits of all cards of a solution, in its order. */
export function cardFits({ problem, state }: Solution): readonly CardFit[] {
  return problem.cards.map((card, index) =>
    cardFit(
      state.camera,
      card,
      card.points.map(({ at }) => placePoint(state, index, at)),
    ),
  );
}

/** A solution and the cards (places in the input's list) that it uses and leaves out. */
export interface CleanSolution {
  readonly solution: Solution;
  readonly used: readonly number[];
  readonly leftOut: readonly number[];
}

/** A card this many sigmas off is suspected ... */
const SUSPECT_SIGMAS = 1.3;
/** ... and left out when the points' variance then falls by this factor. */
const MUCH_BETTER = 4;
/** The worst few cards are tried, not all: one solve each. */
const SUSPECTS = 4;
/** Fewer cards than this cannot say which of them is wrong. */
const QUORUM = 3;

/** The input with only the cards at the given places of its list. */
function withCards(input: SolveInput, kept: readonly number[]): SolveInput {
  return {
    ...input,
    cards: kept.map((index) => input.cards[index]!),
    tapes: input.tapes.flatMap((tape) => {
      const [fromCard, toCard] = [kept.indexOf(tape.fromCard), kept.indexOf(tape.toCard)];
      return fromCard >= 0 && toCard >= 0 ? [{ ...tape, fromCard, toCard }] : [];
    }),
  };
}

/** Places in the list of the cards that fit worst, worst first. */
function suspectsOf(solution: Solution): readonly number[] {
  return cardFits(solution)
    .map(({ sigmas }, index) => ({ sigmas, index }))
    .filter(({ sigmas }) => sigmas > SUSPECT_SIGMAS)
    .sort((a, b) => b.sigmas - a.sigmas)
    .slice(0, SUSPECTS)
    .map(({ index }) => index);
}

/**
 * Solves, leaves out the card without which the rest agrees much better, and again until no such card is left.
 * A wrong card bends the whole solve, so it need not be the one with the largest residual: each suspect is tried.
 * Undefined when nothing solves.
 */
export function solveWithoutStrays(input: SolveInput): CleanSolution | undefined {
  let used = input.cards.map((_, index) => index);
  let solution = solve(input);
  if (!solution) return undefined;
  while (used.length >= QUORUM) {
    const suspects = suspectsOf(solution);
    if (suspects.length === 0) break;
    const trials = suspects.flatMap((suspect) => {
      const kept = used.filter((_, place) => place !== suspect);
      const trial = solve(withCards(input, kept));
      return trial ? [{ kept, trial }] : [];
    });
    const best = trials.sort((a, b) => a.trial.variance - b.trial.variance)[0];
    if (!best || best.trial.variance * MUCH_BETTER > solution.variance) break;
    used = best.kept;
    solution = best.trial;
  }
  const leftOut = input.cards.map((_, index) => index).filter((index) => !used.includes(index));
  return { solution, used, leftOut };
}

/** What a card looks like through a camera that it had no part in. */
export interface StrayLook {
  readonly x: number;
  readonly y: number;
  readonly turnRad: number;
  /** 1 = as large as it should be. */
  readonly size: number;
  /** RMS distance from a flat card of that size, mm. */
  readonly crookedMm: number;
  /** Height over the table that would make a card of the right size look this large, mm. */
  readonly heightMm: number;
}

/** Looks at a left-out card through the solved camera. */
export function lookAtStray(solution: Solution, card: SeenCard): StrayLook {
  const { camera, lnAcross, lnAlong } = solution.state;
  const points = layPoints(camera, card, lnAcross, lnAlong);
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
