/** From a solution in the solve's own frame to the capture that the other rooms use. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { type Camera, imageToPlane, planeToImage } from './camera.ts';
import { thicknessDoubtOf } from './capture-options.ts';
import { CARD_CORNERS, CARD_FACE_HEIGHT_MM } from './card.ts';
import type { SeenCard } from './card-points.ts';
import {
  crookedWarning,
  disagreementWarning,
  sightWarnings,
  strayWarning,
  twiceWarnings,
} from './card-warnings.ts';
import { CAMERA_PARAMETERS, cameraInFrame, PRINT_PARAMETERS, SHARED_COUNT } from './camera-parameters.ts';
import { type CleanSolution, lookAtStray, pointsFit, type TargetFit, targetFits } from './misfit.ts';
import type { FoundReference } from './found-reference.ts';
import { pictureWarnings } from './picture-warnings.ts';
import { referenceName, referencesDisagree } from './reference-warnings.ts';
import { showSide } from './solve-rows.ts';
import { solvedReferences } from './solved-references.ts';
import type { Solution } from './solve.ts';
import type { TargetPlace } from './solve-state.ts';
import { tapeWarnings } from './tapes.ts';
import type { Capture, CaptureOptions, CaptureWarning, CardFinding } from './types.ts';

/** Two references whose points vary this many times more than stated contradict each other. */
const CONTRADICTION_VARIANCE = 2;

/**
 * Turn, rad, by which the photo's "to the right" stands on the table in the solve's frame. The capture's frame
 * has its origin at the first used card's (or reference's) centre and its x axis to the right in the middle of the photo, so that
 * pieces appear upright as they were photographed.
 */
function frameTurn(camera: Camera): number {
  const u = (camera.widthPx - 1) / 2;
  const v = (camera.heightPx - 1) / 2;
  const a = imageToPlane(camera, { u: u - 10, v });
  const b = imageToPlane(camera, { u: u + 10, v });
  const turn = Math.atan2(b.y - a.y, b.x - a.x);
  return Number.isFinite(turn) ? turn : 0;
}

function placeInFrame({ x, y, turnRad }: TargetPlace, turn: number): TargetPlace {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return { x: c * x + s * y, y: c * y - s * x, turnRad: turnRad - turn };
}

/** Where a nominal card point lies on the table. */
function onTable(place: TargetPlace, at: PlanePoint, scale: Capture['printScale']): PlanePoint {
  const [c, s] = [Math.cos(place.turnRad), Math.sin(place.turnRad)];
  const [x, y] = [scale.across * at.x, scale.along * at.y];
  return { x: place.x + c * x - s * y, y: place.y + s * x + c * y };
}

/** Covariance of camera and print with the camera's centre turned into the capture's frame. */
function sharedCovariance({ covariance }: Solution, turn: number): number[] {
  const n = Math.sqrt(covariance.length);
  const m = SHARED_COUNT;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const [x, y] = [CAMERA_PARAMETERS.indexOf('centreX'), CAMERA_PARAMETERS.indexOf('centreY')];
  const result = Array.from({ length: m * m }, (_, k) => covariance[Math.floor(k / m) * n + (k % m)]!);
  const turnPair = (a: number, b: number): void => {
    const [p, q] = [result[a]!, result[b]!];
    result[a] = c * p + s * q;
    result[b] = c * q - s * p;
  };
  for (let i = 0; i < m; i++) turnPair(x * m + i, y * m + i);
  for (let i = 0; i < m; i++) turnPair(i * m + x, i * m + y);
  return result;
}

function findingOf(
  card: SeenCard,
  place: TargetPlace,
  fit: TargetFit,
  used: boolean,
  camera: Camera,
  scale: Capture['printScale'],
): CardFinding {
  return {
    id: card.id,
    centre: { x: place.x, y: place.y },
    turnRad: Math.atan2(Math.sin(place.turnRad), Math.cos(place.turnRad)),
    cornersPx: CARD_CORNERS.map(
      (at): ImagePoint => planeToImage(camera, onTable(place, at, scale), CARD_FACE_HEIGHT_MM),
    ),
    residualMm: fit.residualMm,
    points: card.points.map(({ kind, seen, sigmaPx }, i) => ({
      kind,
      seenPx: seen,
      solvedPx: fit.solvedPx[i]!,
      sigmaPx,
    })),
    used,
  };
}

/** RMS image residual of all that was used, px along one axis; 0 when nothing was seen more often than needed. */
function rmsOf(findings: readonly CardFinding[], { problem, state }: Solution): number {
  const ofCards = findings
    .filter(({ used }) => used)
    .flatMap(({ points }) => points)
    .flatMap(({ seenPx, solvedPx }) => [seenPx.u - solvedPx.u, seenPx.v - solvedPx.v]);
  const ofSides = problem.targets.flatMap(({ sides = [] }, target) =>
    sides.flatMap(({ places }, side) =>
      places.map(({ seen, normal }) => {
        const { at } = showSide(problem, state, target, side, seen)!;
        return normal.u * (seen.u - at.u) + normal.v * (seen.v - at.v);
      }),
    ),
  );
  const all = [...ofCards, ...ofSides];
  return Math.sqrt(all.reduce((sum, value) => sum + value * value, 0) / Math.max(1, all.length));
}

interface SolvedCards {
  readonly findings: readonly CardFinding[];
  readonly warnings: readonly CaptureWarning[];
}

/** Findings of all cards, in their order, and what is to be said of them. */
function solvedCards(
  { solution, used, leftOut }: CleanSolution,
  fits: readonly TargetFit[],
  cards: readonly SeenCard[],
  camera: Camera,
  turn: number,
): SolvedCards {
  const { state } = solution;
  const printScale = { across: Math.exp(state.lnAcross), along: Math.exp(state.lnAlong) };
  const findings = new Map<number, CardFinding>();
  const warnings: CaptureWarning[] = [];
  used.forEach((index, k) => {
    const card = cards[index];
    if (!card) return;
    const place = placeInFrame(state.places[k]!, turn);
    findings.set(index, findingOf(card, place, fits[k]!, true, camera, printScale));
    warnings.push(...sightWarnings(card), ...[crookedWarning(card, fits[k]!) ?? []].flat());
  });
  for (const index of leftOut) {
    const card = cards[index];
    if (!card) continue;
    const look = lookAtStray(solution, card);
    const place = placeInFrame(look, turn);
    const fit = pointsFit(
      camera,
      card,
      card.points.map(({ at }) => onTable(place, at, printScale)),
    );
    findings.set(index, findingOf(card, place, fit, false, camera, printScale));
    warnings.push(...sightWarnings(card), strayWarning(card, look));
  }
  return { findings: cards.map((_, index) => findings.get(index)!), warnings };
}

/** What to say when the only two things to measure by contradict each other. */
function contradiction(
  { solution, used }: CleanSolution,
  cards: readonly SeenCard[],
  references: readonly FoundReference[],
): readonly CaptureWarning[] {
  if (used.length !== 2 || solution.variance <= CONTRADICTION_VARIANCE) return [];
  const [a, b] = used.map((index) => cards[index]);
  if (a && b) return [disagreementWarning(a, b)];
  const names = used.map((index) => {
    const card = cards[index];
    return card ? `card ${card.id}` : referenceName(references[index - cards.length]!.reference);
  });
  return [referencesDisagree(names)];
}

/** Turns a solution into a capture: frame, findings of every card and reference, covariance, warnings. */
export function captureOf(
  solved: CleanSolution,
  cards: readonly SeenCard[],
  options: CaptureOptions,
  references: readonly FoundReference[] = [],
): Capture {
  const { solution, used } = solved;
  const { state } = solution;
  const turn = frameTurn(state.camera);
  const camera = cameraInFrame(state.camera, 0, 0, turn);
  const fits = targetFits(solution);
  const ofCards = solvedCards(solved, fits, cards, camera, turn);
  const ofReferences = solvedReferences(solved, fits, cards.length, references);
  const usedCards = used.flatMap((index) => cards[index] ?? []);
  const usedReferences = used.flatMap((index) => references[index - cards.length] ?? []);
  return {
    camera,
    cards: ofCards.findings,
    ...(references.length > 0 && { references: ofReferences.findings }),
    thicknessMm: options.thicknessMm,
    thicknessDoubtMm: thicknessDoubtOf(options),
    printScale: { across: Math.exp(state.lnAcross), along: Math.exp(state.lnAlong) },
    rmsPx: rmsOf(ofCards.findings, solution),
    covariance: sharedCovariance(solution, turn),
    parameters: [...CAMERA_PARAMETERS, ...PRINT_PARAMETERS],
    warnings: [
      ...pictureWarnings(camera, usedCards, usedReferences, options, solution.isFocalUnlikeExif),
      ...twiceWarnings(cards),
      ...ofCards.warnings,
      ...ofReferences.warnings,
      ...contradiction(solved, cards, references),
      ...tapeWarnings(options.tapes ?? [], solution, usedCards),
    ],
  };
}
