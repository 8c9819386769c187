/** The pieces that several photos of one table show, each piece once. */
import { footPoint } from '../capture/camera.ts';
import { agreementMm, worstToleranceAcrossMm } from '../capture/join-tolerance.ts';
import type { JoinedPhotos } from '../capture/join-types.ts';
import { pathAreaMm2, pathLengthMm, polygonAreaMm2 } from '../geometry/measure.ts';
import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import type { Problem } from '../outcome.ts';
import { cleanPolyline } from './clean-polyline.ts';
import { type JoinedLoop, type JoinedOutlines, joinOutlines, type Overlap } from './join-outlines.ts';
import { type PartialOutline, passOf, type Run, trustedRuns } from './join-runs.ts';
import type { TracedEdge, TracedPiece, TraceOptions, TraceResult, TraceWarning } from './types.ts';

export type JoinTraceWarningCode = 'photos-disagree' | 'opening-unsure' | 'not-joined';
export type JoinTraceWarning = Problem<JoinTraceWarningCode>;

/** An edge, each measured point with the photo in whose pixels `seenPx` counts. */
export interface JoinedEdge extends TracedEdge {
  readonly photos: readonly number[];
}

export interface JoinedPiece extends Omit<TracedPiece, 'outer' | 'holes' | 'warnings'> {
  readonly outer: JoinedEdge;
  readonly holes: readonly JoinedEdge[];
  /** Photos (places in their list) that show it. */
  readonly photos: readonly number[];
  /** The tolerance of its longest span against anything that the cards' printer prints, one sigma, mm. */
  readonly toleranceSamePrinterMm: number;
  /** How far apart the photos put its outline where more than one saw it. */
  readonly overlap: Overlap;
  /** The same for openings that more than one photo saw whole. */
  readonly openingOverlap: Overlap;
  readonly warnings: readonly (TraceWarning | JoinTraceWarning)[];
}

export interface JoinedTrace {
  readonly pieces: readonly JoinedPiece[];
  readonly warnings: readonly (TraceWarning | JoinTraceWarning)[];
}

/** Photos disagree about an edge beyond this many sigmas of their agreement, or beyond this, mm, in any case. */
const DISAGREES_SIGMAS = 3;
const DISAGREES_MM = 1;
/** The tracer's own doubt of an edge, mm. */
const EDGE_DOUBT_MM = 0.15;
/** Two photos show the same piece when so much of its edge, mm, is the same. */
const SAME_PIECE_MM = 25;

interface Part {
  readonly photo: number;
  readonly piece: TracedPiece;
  readonly outlines: readonly PartialOutline[];
  readonly runs: readonly Run[];
}

function partOf(joined: JoinedPhotos, photo: number, piece: TracedPiece): Part {
  const { camera } = joined.captures[photo]!;
  const { widthPx, heightPx } = camera;
  const foot = footPoint(camera);
  const aslant = (points: readonly PlanePoint[]): number =>
    points.reduce((sum, at) => sum + distanceMm(at, foot), 0) / points.length / camera.centreMm[2];
  const outlines = [piece.outer, ...piece.holes].map(({ measured, seenPx }) => ({
    points: measured,
    seenPx,
    photo,
    widthPx,
    heightPx,
    aslant: aslant(measured),
  }));
  return { photo, piece, outlines, runs: outlines.flatMap(trustedRuns) };
}

function isSamePiece(a: Part, b: Part): boolean {
  let sameMm = 0;
  for (const run of a.runs) {
    for (let i = 1; i < run.points.length; i++) {
      if (b.runs.some((other) => passOf(run, i, other))) sameMm += run.alongMm[i]! - run.alongMm[i - 1]!;
      if (sameMm >= SAME_PIECE_MM) return true;
    }
  }
  return false;
}

/** Parts of the same pieces together, in the order of the photos. */
function groupParts(parts: readonly Part[]): readonly (readonly Part[])[] {
  let groups: Part[][] = [];
  for (const part of parts) {
    const same = groups.filter((group) =>
      group.some((other) => other.photo !== part.photo && isSamePiece(part, other)),
    );
    groups = [...groups.filter((group) => !same.includes(group)), [...same.flat(), part]];
  }
  return groups;
}

function cleanedEdge(loop: JoinedLoop, toleranceMm: number, footShare: number): JoinedEdge {
  const { path, movedMaxMm, movedMeanMm } = cleanPolyline(loop.points, true, toleranceMm);
  const { points, seenPx, photos } = loop;
  return { path, measured: points, seenPx, photos, movedMaxMm, movedMeanMm, footShare };
}

const alone = (edge: TracedEdge, photo: number): JoinedEdge => ({
  ...edge,
  photos: edge.measured.map(() => photo),
});

const NO_OVERLAP: Overlap = { maxMm: 0, meanMm: 0, lengthMm: 0 };

/** A piece as one photo shows it. */
function pieceAlone(joined: JoinedPhotos, { piece, photo }: Part): JoinedPiece {
  const points = piece.outer.measured.map((at) => ({ at, photo }));
  return {
    ...piece,
    outer: alone(piece.outer, photo),
    holes: piece.holes.map((hole) => alone(hole, photo)),
    photos: [photo],
    toleranceMm: worstToleranceAcrossMm(joined, points),
    toleranceSamePrinterMm: worstToleranceAcrossMm(joined, points, 'same-printer'),
    overlap: NO_OVERLAP,
    openingOverlap: NO_OVERLAP,
  };
}

/** True when photos put an edge farther apart than their tolerance, and the tracer's, allows. */
function isTooFar(joined: JoinedPhotos, { maxMm, at, photos }: Overlap): boolean {
  if (!at || !photos) return false;
  const sigma = Math.hypot(agreementMm(joined, at, ...photos), EDGE_DOUBT_MM);
  return maxMm > Math.min(DISAGREES_MM, DISAGREES_SIGMAS * sigma);
}

function disagreements(
  joined: JoinedPhotos,
  { overlap, openingOverlap }: JoinedOutlines,
): readonly JoinTraceWarning[] {
  const said = ({ photos, maxMm, meanMm }: Overlap, edge: string): string =>
    `Photos ${photos![0] + 1} and ${photos![1] + 1} put ${edge} up to ${maxMm.toFixed(1)} mm apart (on average ${meanMm.toFixed(1)} mm)`;
  if (isTooFar(joined, overlap)) {
    const message =
      `${said(overlap, 'the edge of this piece')} where both saw it, though their cards agree: the piece was probably moved or lifted between the ` +
      'photos, so its length may be off by as much. Photograph it again without touching it, or check the length with a tape.';
    return [{ code: 'photos-disagree', message }];
  }
  if (isTooFar(joined, openingOverlap)) {
    const message =
      `${said(openingOverlap, 'an opening in this piece')}, though they agree about its outline: seen aslant, the opening's wall hides one of its edges. ` +
      'It is taken from the photo that looks into it more from above; measure it if it must fit something.';
    return [{ code: 'opening-unsure', message }];
  }
  return [];
}

/** True when photos did not see all of the piece's edge between them. */
const isBroken = ({ gapMm, loops }: JoinedOutlines): boolean => gapMm !== undefined || loops.length === 0;

function notJoined(gapMm: number | undefined): JoinTraceWarning {
  const isKnown = gapMm !== undefined && Number.isFinite(gapMm);
  const missing = isKnown ? ` (a stretch of about ${Math.max(1, Math.round(gapMm))} mm is missing)` : '';
  return {
    code: 'not-joined',
    message:
      `No photos show all of this piece's edge between them${missing}, so its outline is not whole. Photograph it again so that ` +
      "neighbouring photos both show a hand's breadth of the same stretch, without moving it.",
  };
}

/** A piece from all photos that show it, or as the first of them shows it with the reason. */
function pieceOf(joined: JoinedPhotos, group: readonly Part[], toleranceMm: number): JoinedPiece {
  // The photo that is surest of it goes first: what it saw whole is taken from there.
  const parts = [...group].sort((a, b) => a.piece.toleranceMm - b.piece.toleranceMm);
  const [best] = parts;
  if (parts.length === 1) return pieceAlone(joined, best!);
  const outlines = joinOutlines(parts.flatMap((part) => part.outlines));
  if (isBroken(outlines)) {
    const piece = pieceAlone(joined, best!);
    return { ...piece, warnings: [...piece.warnings, notJoined(outlines.gapMm)] };
  }
  const footShare = parts.reduce((sum, { piece }) => sum + piece.outer.footShare, 0) / parts.length;
  const edges = outlines.loops
    .map((loop) => cleanedEdge(loop, toleranceMm, footShare))
    .sort((a, b) => Math.abs(polygonAreaMm2(b.measured)) - Math.abs(polygonAreaMm2(a.measured)));
  const [outer, ...holes] = edges;
  const points = outer!.measured.map((at, i) => ({ at, photo: outer!.photos[i]! }));
  const codes = new Map(
    parts.flatMap(({ piece }) => piece.warnings.map((warning) => [warning.code, warning] as const)),
  );
  codes.delete('piece-cut-off');
  return {
    outer: outer!,
    holes,
    photos: [...new Set(parts.map(({ photo }) => photo))].sort((a, b) => a - b),
    lengthMm: pathLengthMm(outer!.path),
    areaMm2: holes.reduce((sum, hole) => sum + pathAreaMm2(hole.path), pathAreaMm2(outer!.path)),
    color: best!.piece.color,
    toleranceMm: worstToleranceAcrossMm(joined, points),
    toleranceSamePrinterMm: worstToleranceAcrossMm(joined, points, 'same-printer'),
    overlap: outlines.overlap,
    openingOverlap: outlines.openingOverlap,
    warnings: [...codes.values(), ...disagreements(joined, outlines)],
  };
}

/**
 * Puts together what was traced in each photo of joined ones (`traces` in their order, each traced with its capture of
 * `joined`): every piece once, with one closed outline where photos show it all between them. Lengths mm, frame of the
 * joined photos. What the photos put differently is a figure of each piece, and a warning where it is more than their
 * tolerance allows.
 */
export function joinTraces(
  joined: JoinedPhotos,
  traces: readonly TraceResult[],
  { cleaningToleranceMm }: TraceOptions,
): JoinedTrace {
  const parts = traces.flatMap(({ pieces }, photo) => pieces.map((piece) => partOf(joined, photo, piece)));
  const pieces = groupParts(parts).map((group) => pieceOf(joined, group, cleaningToleranceMm));
  return {
    pieces,
    warnings: pieces.length > 0 ? [] : traces.flatMap(({ warnings }) => warnings).slice(0, 1),
  };
}
