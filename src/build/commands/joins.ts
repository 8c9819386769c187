import { castDraft, produce } from 'immer';
import { type Camera, planeToImage } from '../../capture/camera.ts';
import type { JoinedPhotos } from '../../capture/join-types.ts';
import type { CaptureOptions } from '../../capture/types.ts';
import { smallestBox } from '../../geometry/smallest-box.ts';
import type { JoinedEdge, JoinedPiece, JoinedTrace } from '../../trace/join-traces.ts';
import type { TracedEdge, TraceResult } from '../../trace/types.ts';
import type { JoinRecord } from '../join-types.ts';
import type { Build } from '../types.ts';
import { itemWithId, type Stamp } from './arguments.ts';
import { setCapture } from './captures.ts';
import { dropTracedPieces, replaceTracedPieces } from './traced-pieces.ts';

export interface NewJoin {
  readonly stamp: Stamp;
  /** The photos in the order of `joined`. */
  readonly captureIds: readonly string[];
  readonly options: readonly CaptureOptions[];
  readonly joined: JoinedPhotos;
  readonly trace: JoinedTrace;
}

/** An edge as the first photo shows it; one that it does not show at all, where its camera would. */
function edgeInLead({ photos, ...edge }: JoinedEdge, camera: Camera, zMm: number): TracedEdge {
  const own = edge.seenPx.filter((_, i) => photos[i] === 0);
  const seenPx = own.length > 0 ? own : edge.measured.map((at) => planeToImage(camera, at, zMm));
  return { ...edge, seenPx: seenPx.filter(({ u, v }) => Number.isFinite(u) && Number.isFinite(v)) };
}

/** The pieces as if the first photo had shown them whole, which its table does. */
function traceInLead({ captures }: JoinedPhotos, { pieces }: JoinedTrace): TraceResult {
  const { camera, thicknessMm } = captures[0]!;
  return {
    pieces: pieces.map(({ outer, holes, lengthMm, areaMm2, color, toleranceMm }) => ({
      outer: edgeInLead(outer, camera, thicknessMm),
      holes: holes.map((hole) => edgeInLead(hole, camera, thicknessMm)),
      lengthMm,
      areaMm2,
      color,
      toleranceMm,
      // What joining has to say is kept with the join.
      warnings: [],
    })),
    warnings: [],
  };
}

function factsOf(piece: JoinedPiece): JoinRecord['pieces'][number] {
  const { longMm, shortMm } = smallestBox(piece.outer.path);
  const { maxMm, meanMm, lengthMm } = piece.overlap;
  const { toleranceMm, toleranceSamePrinterMm, photos } = piece;
  return {
    longMm,
    shortMm,
    toleranceMm,
    toleranceSamePrinterMm,
    photos,
    overlap: { maxMm, meanMm, lengthMm },
  };
}

function recordOf({ stamp, captureIds, joined, trace }: NewJoin): JoinRecord {
  return {
    id: stamp.id,
    captureIds,
    shared: joined.shared,
    pieces: trace.pieces.map(factsOf),
    notes: [
      ...joined.warnings.map(({ message }) => message),
      ...trace.warnings.map(({ message }) => message),
      ...trace.pieces.flatMap(({ warnings }) => warnings.map(({ message }) => message)),
    ],
  };
}

/**
 * Keeps photos of one long piece as joined: every photo's capture in the frame of the first, and their pieces, each
 * once, as pieces of the first photo. Work on a piece that the first photo shows is carried on as when a photo is
 * traced again; parts in the other photos go unless the maker has worked on them. A join that holds one of the photos
 * gives way.
 */
export function setJoin(build: Build, join: NewJoin): Build {
  const { stamp, captureIds, options, joined, trace } = join;
  const [leadId, ...others] = captureIds;
  const solved = captureIds.reduce(
    (before, captureId, k) =>
      setCapture(before, { captureId, capture: joined.captures[k]!, options: options[k]! }),
    build,
  );
  const bare = others.reduce((before, captureId) => dropTracedPieces(before, captureId), solved);
  const why = `joined from ${captureIds.length} photos`;
  const inLead = traceInLead(joined, trace);
  const traced = replaceTracedPieces(bare, { captureId: leadId!, trace: inLead, stamp, why });
  return produce(traced, (draft) => {
    const left = (draft.joins ?? []).filter((each) => !each.captureIds.some((id) => captureIds.includes(id)));
    draft.joins = [...left, castDraft(recordOf(join))];
  });
}

/** Photos count as separate again; the joined pieces stay as they are. */
export function takeApart(build: Build, { joinId }: { readonly joinId: string }): Build {
  itemWithId(build.joins ?? [], joinId, 'join');
  return produce(build, (draft) => {
    const left = (draft.joins ?? []).filter(({ id }) => id !== joinId);
    if (left.length > 0) draft.joins = left;
    else delete draft.joins;
  });
}
