/** What a solution says of bank card, sheet and two points. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { planeToImage } from './camera.ts';
import type { FoundReference } from './found-reference.ts';
import { type CleanSolution, lookAtStray, type TargetFit } from './misfit.ts';
import { foundByShape, loneReference, outlineWarnings, strayReference } from './reference-warnings.ts';
import type { Solution } from './solve.ts';
import { placePoint, sideShift } from './solve-rows.ts';
import { faceHeightOf, type SeenSide } from './solve-target.ts';
import type { CaptureWarning, ReferenceFinding } from './types.ts';

/** Corners of a used target in its own frame, mm: where its solved sides meet. */
function solvedCorners(
  { problem, state }: Solution,
  target: number,
  sides: readonly SeenSide[],
): PlanePoint[] {
  return sides.map(({ from, to }, side) => {
    const before = (side + sides.length - 1) % sides.length;
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    const [ex, ey] = [(to.x - from.x) / length, (to.y - from.y) / length];
    // Sides stand square on each other: this one's shift moves the corner outward, the one before along this one.
    const out = sideShift(problem, state, target, side, -1);
    const back = sideShift(problem, state, target, before, 1);
    return { x: from.x - ey * out - ex * back, y: from.y + ex * out - ey * back };
  });
}

interface SolvedShape {
  readonly cornersPx: readonly ImagePoint[];
  readonly sizeMm: readonly number[];
}

function solvedShape(solution: Solution, target: number, { reference }: FoundReference): SolvedShape {
  const { problem, state } = solution;
  const { sides, points } = problem.targets[target]!;
  const zMm = faceHeightOf(problem.targets[target]!);
  const inPhoto = (at: PlanePoint): ImagePoint =>
    planeToImage(state.camera, placePoint(problem, state, target, at), zMm);
  if (!sides) {
    const sizeMm = reference.kind === 'two-points' ? [reference.distanceMm] : [];
    return { cornersPx: points.map(({ at }) => inPhoto(at)), sizeMm };
  }
  // A side is as long as its two neighbours are apart.
  const size = (side: number): number => {
    const { from, to } = sides[side]!;
    const [before, after] = [(side + 3) % 4, (side + 1) % 4];
    return (
      Math.hypot(to.x - from.x, to.y - from.y) +
      sideShift(problem, state, target, before, 0) +
      sideShift(problem, state, target, after, 0)
    );
  };
  return { cornersPx: solvedCorners(solution, target, sides).map(inPhoto), sizeMm: [size(0), size(1)] };
}

/** How far the solved sides lie off their nominal places, mm. */
function sidesOff({ problem, state }: Solution, target: number, sides: readonly SeenSide[]) {
  const shift = (side: number, share: number): number => sideShift(problem, state, target, side, share);
  return {
    shiftMm: sides.map((_, side) => shift(side, 0)),
    unevenMm: Math.max(
      ...sides.flatMap((_, side) => [-1, 1].map((end) => Math.abs(shift(side, end) - shift(side, 0)))),
    ),
    shiftDoubtMm: Math.max(...sides.map(({ shiftDoubtMm }) => shiftDoubtMm)),
  };
}

export interface SolvedReferences {
  readonly findings: readonly ReferenceFinding[];
  readonly warnings: readonly CaptureWarning[];
}

function baseOf({ reference, isUnderPieces }: FoundReference) {
  return {
    kind: reference.kind,
    ...(reference.kind === 'sheet' && { sheet: reference.sheet }),
    isUnderPieces,
  };
}

/** Findings of all references, in their order, and what is to be said of them. `cardCount` targets come before them. */
export function solvedReferences(
  { solution, used }: CleanSolution,
  fits: readonly TargetFit[],
  cardCount: number,
  references: readonly FoundReference[],
): SolvedReferences {
  const findings: ReferenceFinding[] = [];
  const warnings: CaptureWarning[] = [];
  const isAlone = used.length === 1;
  const hasCards = used.some((index) => index < cardCount);
  references.forEach((found, index) => {
    const target = used.indexOf(cardCount + index);
    warnings.push(...found.warnings);
    if (target < 0) {
      const look = lookAtStray(solution, found.target);
      const finding: ReferenceFinding = {
        ...baseOf(found),
        cornersPx: found.seenPx,
        residualMm: look.crookedMm,
        sizeMm: [],
        used: false,
      };
      findings.push(finding);
      warnings.push(strayReference(finding, look));
      return;
    }
    const { cornersPx, sizeMm } = solvedShape(solution, target, found);
    const finding: ReferenceFinding = {
      ...baseOf(found),
      cornersPx,
      residualMm: fits[target]!.residualMm,
      sizeMm,
      used: true,
    };
    findings.push(finding);
    const { sides } = found.target;
    if (sides) warnings.push(...outlineWarnings(finding, sidesOff(solution, target, sides)));
    const isMeasured = found.reference.kind === 'sheet' && found.reference.measuredMm !== undefined;
    if (isAlone && found.reference.kind === 'bank-card' && !found.reference.nearPx)
      warnings.push(foundByShape());
    if (isAlone || (finding.kind === 'sheet' && !hasCards))
      warnings.push(...loneReference(finding, isMeasured));
  });
  return { findings, warnings };
}
