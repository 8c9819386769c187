import { castDraft, produce } from 'immer';
import type { Capture } from '../../capture/types.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import type { TracedPiece, TraceResult } from '../../trace/types.ts';
import { lastRevision } from '../lookups.ts';
import type { Build, PhotoBox, Piece, Revision, TraceFacts } from '../types.ts';
import { itemWithId, type Stamp } from './arguments.ts';
import { inFrame } from './photo-frame.ts';

/** Boxes that share at least this much of what both cover are the same piece. */
const SAME_PIECE_OVERLAP = 0.4;

const GIVEN_NAME = /^Piece (\d+)$/u;

function boxOf({ outer }: TracedPiece): PhotoBox {
  const box = { minU: Infinity, minV: Infinity, maxU: -Infinity, maxV: -Infinity };
  for (const { u, v } of outer.seenPx) {
    box.minU = Math.min(box.minU, u);
    box.minV = Math.min(box.minV, v);
    box.maxU = Math.max(box.maxU, u);
    box.maxV = Math.max(box.maxV, v);
  }
  return box;
}

/** Or one lies this much inside the other, and they have this much of what both cover in common. */
const SAME_PIECE_INSIDE = 0.9;
const LEAST_OVERLAP = 0.2;

const areaOf = (box: PhotoBox) => (box.maxU - box.minU) * (box.maxV - box.minV);

function sharedArea(a: PhotoBox, b: PhotoBox): number {
  const width = Math.min(a.maxU, b.maxU) - Math.max(a.minU, b.minU);
  const height = Math.min(a.maxV, b.maxV) - Math.max(a.minV, b.minV);
  return Math.max(0, width) * Math.max(0, height);
}

/** Shared area over covered area (the Jaccard index) of two boxes, 0..1. */
function overlap(a: PhotoBox, b: PhotoBox): number {
  const shared = sharedArea(a, b);
  return shared > 0 ? shared / (areaOf(a) + areaOf(b) - shared) : 0;
}

/**
 * Whether two boxes may be the same piece: by what they share, or as one edge of a narrow piece inside its other one
 * (a slim band's outline grows by a good part of its width when its side wall is taken in).
 */
function maybeSame(a: PhotoBox, b: PhotoBox, share: number): boolean {
  if (share >= SAME_PIECE_OVERLAP) return true;
  const inside = sharedArea(a, b) / Math.min(areaOf(a), areaOf(b));
  return share >= LEAST_OVERLAP && inside >= SAME_PIECE_INSIDE;
}

/** Pairs old boxes with new ones, most alike first, each used once. Result: new index by old index. */
function pairBoxes(
  old: readonly (PhotoBox | undefined)[],
  fresh: readonly PhotoBox[],
): ReadonlyMap<number, number> {
  const likely = old.flatMap((a, from) =>
    a === undefined
      ? []
      : fresh
          .map((b, to) => ({ from, to, share: overlap(a, b) }))
          .filter(({ to, share }) => maybeSame(a, fresh[to]!, share)),
  );
  const pairs = new Map<number, number>();
  const taken = new Set<number>();
  for (const { from, to } of likely.sort((a, b) => b.share - a.share)) {
    if (pairs.has(from) || taken.has(to)) continue;
    pairs.set(from, to);
    taken.add(to);
  }
  return pairs;
}

function linesOf(piece: TracedPiece, idStem: string): readonly PieceLine[] {
  return [
    { id: `${idStem}-outer`, kind: 'cut', path: piece.outer.path },
    ...piece.holes.map(
      ({ path }, index): PieceLine => ({ id: `${idStem}-hole-${index + 1}`, kind: 'cutout', path }),
    ),
    // Drawn inside the outline: scored until the maker says otherwise.
    ...(piece.innerLines ?? []).map(
      ({ path }, index): PieceLine => ({ id: `${idStem}-score-${index + 1}`, kind: 'score', path }),
    ),
  ];
}

function factsOf({ outer, holes, innerLines = [], color, warnings }: TracedPiece): TraceFacts {
  const edges = [outer, ...holes, ...innerLines];
  const points = edges.reduce((sum, { measured }) => sum + measured.length, 0);
  // Measured points are evenly spread, so their number stands for length.
  const moved = edges.reduce((sum, edge) => sum + edge.movedMeanMm * edge.measured.length, 0);
  return {
    color,
    movedMaxMm: Math.max(...edges.map(({ movedMaxMm }) => movedMaxMm)),
    movedMeanMm: points > 0 ? moved / points : outer.movedMeanMm,
    footShare: outer.footShare,
    warnings,
  };
}

function revisionOf(traced: TracedPiece, capture: Capture, id: string, when: string, why: string): Revision {
  return {
    id,
    when,
    why,
    lines: linesOf(traced, id),
    toleranceMm: traced.toleranceMm,
    origin: 'trace',
    traced: factsOf(traced),
    frame: { camera: capture.camera, heightMm: capture.thicknessMm, box: boxOf(traced) },
  };
}

const shapeOf = (lines: readonly PieceLine[]) => JSON.stringify(lines.map(({ kind, path }) => [kind, path]));

/** The piece with its new trace: in place of a trace that nobody worked on, else as a revision after the work. */
function traceAgain(
  piece: Piece,
  traced: TracedPiece,
  capture: Capture,
  stamp: Stamp,
  id: string,
  newWhy: string | undefined,
): Piece {
  const former = lastRevision(piece);
  const untouched = former.origin === 'trace';
  const why = newWhy ?? (untouched ? former.why : 'traced again');
  const revision = revisionOf(traced, capture, id, stamp.when, why);
  const lastTrace = piece.revisions.findLast(({ origin }) => origin === 'trace');
  // The photo shows what it showed before: what the maker made of it since stays in force.
  if (lastTrace && shapeOf(lastTrace.lines) === shapeOf(revision.lines)) return piece;
  const kept = untouched ? piece.revisions.slice(0, -1) : piece.revisions;
  return { ...piece, ...inFrame(piece, former.frame, revision.frame), revisions: [...kept, revision] };
}

/** True when the maker has put nothing of their own into the piece. */
function isAsTraced(piece: Piece): boolean {
  return (
    GIVEN_NAME.test(piece.name) &&
    piece.revisions.every(({ origin }) => origin === 'trace') &&
    piece.included &&
    piece.count === 1 &&
    piece.mirroredCount === 0 &&
    !piece.wrap &&
    !piece.excused &&
    !piece.mockUpOf &&
    piece.axis?.rule !== 'by-hand' &&
    piece.axis?.rule !== 'through-marks'
  );
}

function* freeNames(pieces: readonly Piece[]): Generator<string, never> {
  const numbers = pieces.map(({ name }) => Number(GIVEN_NAME.exec(name)?.[1] ?? 0));
  for (let number = Math.max(0, ...numbers) + 1; ; number++) yield `Piece ${number}`;
}

export interface TracedPhoto {
  readonly captureId: string;
  readonly trace: TraceResult;
  readonly stamp: Stamp;
  /** In words; "traced from photo" when left out. */
  readonly why?: string;
}

/** Takes out what was traced from a photo, but for pieces that the maker has worked on. */
export function dropTracedPieces(build: Build, captureId: string): Build {
  return produce(build, (draft) => {
    draft.pieces = castDraft(
      build.pieces.filter((piece) => piece.captureId !== captureId || !isAsTraced(piece)),
    );
  });
}

/**
 * Puts the pieces traced from a photo into the build. A piece that lies where one lay before is that piece: it
 * keeps its name, counts, foam, fit and inclusion, its axis and wrap line stay on the same spots, and work done
 * since the last trace stays as the revision before "traced again". A piece that is no longer found goes, unless
 * the maker has worked on it. The photo must have been captured.
 */
export function replaceTracedPieces(build: Build, { captureId, trace, stamp, why }: TracedPhoto): Build {
  const { capture } = itemWithId(build.captures, captureId, 'photo');
  if (!capture) throw new Error(`The photo ${captureId} was traced before it was captured`);
  const old = build.pieces.filter((piece) => piece.captureId === captureId);
  const boxes = old.map(({ revisions }) => revisions.findLast(({ frame }) => frame)?.frame?.box);
  const pairs = pairBoxes(boxes, trace.pieces.map(boxOf));
  const matched = new Set(pairs.values());

  const kept = build.pieces.flatMap((piece) => {
    const index = old.indexOf(piece);
    if (index < 0) return [piece];
    const to = pairs.get(index);
    if (to === undefined) return isAsTraced(piece) ? [] : [piece];
    return [traceAgain(piece, trace.pieces[to]!, capture, stamp, `${stamp.id}-${to + 1}-revision`, why)];
  });
  const names = freeNames(kept);
  const foamId = build.foamId ?? build.foams[0]!.id;
  const added = trace.pieces.flatMap((traced, index): Piece[] => {
    if (matched.has(index)) return [];
    const id = `${stamp.id}-${index + 1}`;
    const revision = revisionOf(traced, capture, `${id}-revision`, stamp.when, why ?? 'traced from photo');
    const name = names.next().value;
    return [
      { id, name, foamId, count: 1, mirroredCount: 0, included: true, captureId, revisions: [revision] },
    ];
  });
  return produce(build, (draft) => {
    draft.pieces = castDraft([...kept, ...added]);
    const record = draft.captures.find(({ id }) => id === captureId)!;
    if (trace.gaps) record.bridgedGaps = castDraft([...trace.gaps]);
    else delete record.bridgedGaps;
    if (trace.loose) record.looseLines = castDraft([...trace.loose]);
    else delete record.looseLines;
  });
}
