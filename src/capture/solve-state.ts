/** What the solve moves: camera, print scale, the targets' places and their sides' slack. */
import type { Camera } from './camera.ts';
import {
  CAMERA_COUNT,
  LN_ACROSS,
  LN_ALONG,
  LN_FOCAL,
  SHARED_COUNT,
  steppedCamera,
} from './camera-parameters.ts';
import type { Prior } from './priors.ts';
import { type SeenTarget, SIDE_UNKNOWNS, slackCount } from './solve-target.ts';

/** A target's place on the table: centre, mm, and turn, rad. */
export interface TargetPlace {
  readonly x: number;
  readonly y: number;
  readonly turnRad: number;
}

/** The first target's place is the gauge: it never moves. */
export interface SolveState {
  readonly camera: Camera;
  readonly lnAcross: number;
  readonly lnAlong: number;
  readonly places: readonly TargetPlace[];
  /** Shift, turn and bow of every side of every target, mm. */
  readonly slack: readonly number[];
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

/** Derivatives of u and v by height, px/mm, of each point of each target. */
export type Leverage = readonly (readonly (readonly [number, number])[])[];

export interface SolveProblem {
  readonly targets: readonly SeenTarget[];
  readonly tapes: readonly SolveTape[];
  readonly priors: readonly Prior[];
  /** One-sigma doubt of a camera that is said to look straight down, rad. */
  readonly levelDoubtRad?: number;
  /** Stated point noise is multiplied by this. */
  readonly noiseGain: number;
  /** How much lifted paper is taken to move each point; at each state's own places when left out. */
  readonly leverage?: Leverage;
}

/** Unknowns: camera and print; x, y, turn of every target but the first; shift, turn, bow of every side. */
export function unknownCount({ targets }: SolveProblem): number {
  return SHARED_COUNT + 3 * (targets.length - 1) + slackCount(targets);
}

/** Place of target `target`'s x among the unknowns; negative for the gauge. */
export function placeIndex(target: number): number {
  return target === 0 ? -1 : SHARED_COUNT + 3 * (target - 1);
}

/** Place of a side's shift among the unknowns; its turn and bow follow. */
export function slackIndex({ targets }: Pick<SolveProblem, 'targets'>, target: number, side: number): number {
  return (
    SHARED_COUNT + 3 * (targets.length - 1) + slackCount(targets.slice(0, target)) + SIDE_UNKNOWNS * side
  );
}

/** The state after a step. */
export function steppedState(state: SolveState, step: Float64Array): SolveState {
  const firstSlack = SHARED_COUNT + 3 * (state.places.length - 1);
  return {
    camera: steppedCamera(state.camera, step.subarray(0, CAMERA_COUNT)),
    lnAcross: state.lnAcross + step[LN_ACROSS]!,
    lnAlong: state.lnAlong + step[LN_ALONG]!,
    places: state.places.map((place, target) => {
      const at = placeIndex(target);
      if (at < 0) return place;
      return { x: place.x + step[at]!, y: place.y + step[at + 1]!, turnRad: place.turnRad + step[at + 2]! };
    }),
    slack: state.slack.map((value, k) => value + step[firstSlack + k]!),
  };
}

/** Absolute value of an unknown that priors may speak of (all but the camera's pose and the targets' places). */
export function absoluteValue(
  { camera, lnAcross, lnAlong, places, slack }: SolveState,
  index: number,
): number {
  const values = [
    Math.log(camera.focalPx),
    camera.k1,
    camera.k2,
    camera.offsetUPx,
    camera.offsetVPx,
    lnAcross,
    lnAlong,
  ];
  const value = values[index - LN_FOCAL] ?? slack[index - SHARED_COUNT - 3 * (places.length - 1)];
  if (value === undefined) throw new Error(`no prior can speak of unknown ${index}`);
  return value;
}
