/** References other than scale cards, from the maker's choice to what the solve takes. */
import type { ImagePoint } from '../geometry/point.ts';
import type { Vision } from '../vision/opencv.ts';
import type { Raster } from '../vision/raster.ts';
import { findRegions } from '../vision/regions.ts';
import type { FocalPrior } from './priors.ts';
import { hasRoundCorners } from './reference-corners.ts';
import type { SeenOutline } from './reference-outline.ts';
import { type ReferenceSearch, searchNear, searchReference } from './reference-search.ts';
import { BANK_CARD, type ReferenceShape, sheetShape } from './reference-shapes.ts';
import {
  missingReference,
  noRoundCorners,
  severalReferences,
  squareCorners,
  unclearSide,
  whichOfThem,
} from './reference-warnings.ts';
import { measureUnderOneLight } from './shadowed-sides.ts';
import type { SeenTarget } from './solve-target.ts';
import type { CaptureWarning, Reference } from './types.ts';

/** Any reference but the scale cards. */
export type OtherReference = Exclude<Reference, { readonly kind: 'cards' }>;

export interface FoundReference {
  readonly reference: OtherReference;
  readonly target: SeenTarget;
  /** Its corners, or two points, as seen. */
  readonly seenPx: readonly ImagePoint[];
  readonly isUnderPieces: boolean;
  /** Blur of its sides and scale there; undefined for two points. */
  readonly sharpness?: { readonly blurPx: number; readonly pxPerMm: number };
  readonly warnings: readonly CaptureWarning[];
}

/** A reference, or in words why there is none. */
export type ReferenceOutcome = { readonly found: FoundReference } | { readonly missing: CaptureWarning };

/**
 * Two points are pointed out to about this, px, and lie where the maker means to about that, mm; the distance between
 * them is read to a share that allows for a ruler's own height over the table (all common practice, no source).
 */
const POINTED_PX = 1.5;
const POINTED_MM = 0.4;
const DISTANCE_SHARE = 0.001;
/** Half-way between the table and the top of a ruler. */
const RULER_FACE_MM = 0.5;

/** What a reference's search looks like. */
function searchFor(
  reference: Exclude<OtherReference, { readonly kind: 'two-points' }>,
  focals: readonly FocalPrior[],
  known: readonly (readonly ImagePoint[])[],
): ReferenceSearch {
  return reference.kind === 'bank-card'
    ? { shape: BANK_CARD, focals, known, isPrintedOn: true }
    : { shape: sheetShape(reference.sheet, reference.measuredMm), focals, known, isPrintedOn: false };
}

/** Pieces smaller than this do not show that a sheet lies under pieces, mm2. */
const SMALLEST_PIECE_MM2 = 300;

/** True when something lies on the sheet. */
function liesUnderPieces(vision: Vision, photo: Raster, { cornersPx, pxPerMm }: SeenOutline): boolean {
  const { regions } = findRegions(vision, photo, [], {
    bias: 0,
    smallestAreaPx: SMALLEST_PIECE_MM2 * pxPerMm ** 2,
    smallestHolePx: Infinity,
    groundPx: cornersPx,
  });
  return regions.length > 0;
}

/** One-sigma noise, px along each axis, of either of two points so far apart where the photo has so many px per mm. */
export function pairSigmaPx(distanceMm: number, pxPerMm: number): number {
  // The reading's doubt lies along the line alone; taken in all directions it does no harm.
  const ownMm = Math.hypot(POINTED_MM, (DISTANCE_SHARE * distanceMm) / Math.SQRT2);
  return Math.hypot(POINTED_PX, ownMm * pxPerMm);
}

/** The outline with its sides measured anew where the shape is thick enough to cast a shadow; as it is where that cannot be told. */
function underOneLight(outline: SeenOutline, { shadowed }: ReferenceShape): SeenTarget {
  const views = outline.views.flatMap((view) => view ?? []);
  const lit = shadowed && views.length === 4 ? measureUnderOneLight(views) : undefined;
  if (!shadowed || !lit) return outline;
  return {
    ...outline,
    sides: outline.sides.map((side, i) => ({
      ...side,
      places: lit[i]!.places,
      shiftDoubtMm: Math.hypot(shadowed.shiftDoubtMm, lit[i]!.shiftDoubtMm),
      turnDoubtMm: Math.hypot(shadowed.turnDoubtMm, lit[i]!.turnDoubtMm),
      bowDoubtMm: shadowed.bowDoubtMm,
    })),
  };
}

function twoPoints(reference: Extract<OtherReference, { readonly kind: 'two-points' }>): FoundReference {
  const { fromPx, toPx, distanceMm } = reference;
  const sigmaPx = pairSigmaPx(distanceMm, Math.hypot(toPx.u - fromPx.u, toPx.v - fromPx.v) / distanceMm);
  const point = (index: number, x: number, seen: ImagePoint) =>
    ({ kind: 'hourglass', index, at: { x, y: 0 }, seen, sigmaPx }) as const;
  return {
    reference,
    target: {
      points: [point(0, -distanceMm / 2, fromPx), point(1, distanceMm / 2, toPx)],
      faceHeightMm: RULER_FACE_MM,
      isPrinted: false,
    },
    seenPx: [fromPx, toPx],
    isUnderPieces: false,
    warnings: [],
  };
}

/**
 * Finds one reference. `known` are the corners of what has been found before and is something else.
 */
export function findReference(
  vision: Vision,
  photo: Raster,
  reference: OtherReference,
  focals: readonly FocalPrior[],
  known: readonly (readonly ImagePoint[])[],
): ReferenceOutcome {
  if (reference.kind === 'two-points') return { found: twoPoints(reference) };
  const search = searchFor(reference, focals, known);
  const sights = reference.nearPx
    ? { fitting: [searchNear(vision, photo, search, reference.nearPx) ?? []].flat(), otherAspect: undefined }
    : searchReference(vision, photo, search);
  const rounded =
    reference.kind === 'bank-card' ? sights.fitting.filter((outline) => hasRoundCorners(photo, outline)) : [];
  const outline = rounded[0] ?? sights.fitting[0];
  if (!outline) return { missing: missingReference(reference, sights.otherAspect) };
  // Pointed out, it is what the maker says it is, with a warning; found by itself, it may be anything.
  if (reference.kind === 'bank-card' && !reference.nearPx && rounded.length === 0)
    return { missing: noRoundCorners() };
  const rivals = rounded.length > 0 ? rounded : sights.fitting;
  // Which of several things is the card nobody can tell from the picture: a wrong guess spoils every length.
  if (reference.kind === 'bank-card' && rivals.length > 1) return { missing: whichOfThem(rivals.length) };
  return {
    found: {
      reference,
      target: underOneLight(outline, search.shape),
      seenPx: outline.cornersPx,
      isUnderPieces: reference.kind === 'sheet' && liesUnderPieces(vision, photo, outline),
      sharpness: outline,
      warnings: [
        ...(rivals.length > 1 ? [severalReferences(reference, rivals.length)] : []),
        ...(reference.kind === 'bank-card' && rounded.length === 0 ? [squareCorners()] : []),
        ...(outline.pointedSides > 0 ? [unclearSide(reference)] : []),
      ],
    },
  };
}
