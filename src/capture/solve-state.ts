/** What the solve moves: camera, print scale and the cards' places. */
import type { Camera } from './camera.ts';
import type { SeenCard } from './card-points.ts';
import { CAMERA_COUNT, LN_ACROSS, LN_ALONG, SHARED_COUNT, steppedCamera } from './camera-parameters.ts';
import type { Prior } from './priors.ts';

/** A card's place on the table: centre, mm, and turn, rad. */
export interface CardPlace {
  readonly x: number;
  readonly y: number;
  readonly turnRad: number;
}

/** The first card's place is the gauge: it never moves. */
export interface SolveState {
  readonly camera: Camera;
  readonly lnAcross: number;
  readonly lnAlong: number;
  readonly places: readonly CardPlace[];
}

/** A tape distance between marks of two of the solve's cards (places in the card list). */
export interface SolveTape {
  readonly fromCard: number;
  readonly fromMark: number;
  readonly toCard: number;
  readonly toMark: number;
  readonly lengthMm: number;
  readonly doubtMm: number;
}

export interface SolveProblem {
  readonly cards: readonly SeenCard[];
  readonly tapes: readonly SolveTape[];
  readonly priors: readonly Prior[];
  /** Stated point noise is multiplied by this. */
  readonly noiseGain: number;
}

/** Unknowns: camera and print, then x, y, turn of every card but the first. */
export function unknownCount(problem: SolveProblem): number {
  return SHARED_COUNT + 3 * (problem.cards.length - 1);
}

/** Place of card `card`'s x among the unknowns; negative for the gauge card. */
export function placeIndex(card: number): number {
  return card === 0 ? -1 : SHARED_COUNT + 3 * (card - 1);
}

/** The state after a step. */
export function steppedState(state: SolveState, step: Float64Array): SolveState {
  return {
    camera: steppedCamera(state.camera, step.subarray(0, CAMERA_COUNT)),
    lnAcross: state.lnAcross + step[LN_ACROSS]!,
    lnAlong: state.lnAlong + step[LN_ALONG]!,
    places: state.places.map((place, card) => {
      const at = placeIndex(card);
      if (at < 0) return place;
      return { x: place.x + step[at]!, y: place.y + step[at + 1]!, turnRad: place.turnRad + step[at + 2]! };
    }),
  };
}

/** Absolute value of an unknown that priors may speak of (everything after the pose). */
export function absoluteValue({ camera, lnAcross, lnAlong }: SolveState, index: number): number {
  const values = [
    Math.log(camera.focalPx),
    camera.k1,
    camera.k2,
    camera.offsetUPx,
    camera.offsetVPx,
    lnAcross,
    lnAlong,
  ];
  const value = values[index - 6];
  if (value === undefined) throw new Error(`no prior can speak of unknown ${index}`);
  return value;
}
