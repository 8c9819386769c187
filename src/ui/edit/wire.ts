/** Following the edge in the photo from place to place: a line that snaps to what was photographed. */
import { redrawStretch } from '../../geometry/edit/redraw-stretch.ts';
import { addPath } from '../../geometry/edit/line-verbs.ts';
import { lastRevision } from '../../build/lookups.ts';
import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import type { Path } from '../../geometry/path.ts';
import { DEFAULT_TRACE_OPTIONS } from '../../trace/types.ts';
import { cleanHeld } from '../../trace/clean-stretch.ts';
import type { WireEnds } from '../../trace/live-wire.ts';
import { cleanPolyline } from '../../trace/clean-polyline.ts';
import { bench } from '../bench.ts';
import { engine, photoInEngine } from '../engine.ts';
import { runJob, stopJob } from '../jobs.ts';
import { photoBlob } from '../photo-keeping.ts';
import { PHOTO_MISSING } from '../photo-missing.ts';
import { lineNear } from './edit-pointer.ts';
import type { Sitting } from './sitting.ts';

/** Key of the job that follows an edge. */
export const FOLLOWING = 'follow edge';

const newId = () => crypto.randomUUID();

/** An edge that begins and ends this near to one line takes the place of its part between them, mm. */
const ON_LINE_MM = 2;

/** The stretch that is being found, by sitting: they are found one after the other. */
const underWay = new WeakMap<Sitting, Promise<void>>();

function liesInPhoto(sitting: Sitting): boolean {
  const piece = bench.getState().build.pieces.find(({ id }) => id === sitting.pieceId);
  return sitting.photo !== undefined && piece !== undefined && lastRevision(piece).frame !== undefined;
}

/** One place more. */
export function addToWire(sitting: Sitting, at: PlanePoint): void {
  if (!liesInPhoto(sitting)) {
    sitting.store.setState({
      news: {
        tone: 'look',
        words:
          'This piece does not lie where a photo showed it, so there is no edge to follow. Draw the line by points.',
      },
    });
    return;
  }
  sitting.store.setState(({ points }) => ({ points: [...points, at], news: undefined }));
  void catchUp(sitting);
}

/** A tap: another place, or the end of it on the last place, or once round on the first. */
export function tapWire(sitting: Sitting, at: PlanePoint, withinMm: number): void {
  const { points } = sitting.store.getState();
  const [first, last] = [points[0], points.at(-1)];
  if (points.length > 1 && distanceMm(last!, at) < withinMm) void finishWire(sitting, false);
  else if (points.length > 2 && distanceMm(first!, at) < withinMm) void finishWire(sitting, true);
  else addToWire(sitting, at);
}

/** Gives the whole line up. */
export function dropWire(sitting: Sitting): void {
  sitting.store.setState({ points: [], stretches: [] });
  stopJob(FOLLOWING);
}

export function stepWireBack(sitting: Sitting): void {
  const { points, stretches } = sitting.store.getState();
  const kept = points.slice(0, -1);
  if (stretches.length < points.length - 1) stopJob(FOLLOWING);
  sitting.store.setState({ points: kept, stretches: stretches.slice(0, Math.max(0, kept.length - 1)) });
}

/** Finds the stretches that are missing still, one after the other. */
function catchUp(sitting: Sitting): Promise<void> {
  const before = underWay.get(sitting) ?? Promise.resolve();
  const now = before.then(async () => {
    while (await findNext(sitting));
  });
  underWay.set(sitting, now);
  return now;
}

/** True when a stretch was found, and there may be another. */
async function findNext(sitting: Sitting): Promise<boolean> {
  const { points, stretches } = sitting.store.getState();
  const [start, to] = [points[stretches.length], points[stretches.length + 1]];
  if (!start || !to) return false;
  const first = stretches[0]?.[0];
  const isLastOfRing = first !== undefined && to === points[0];
  const from = stretches.at(-1)?.at(-1);
  const found = await edgeBetween(sitting, {
    from: from ?? start,
    to: isLastOfRing ? first : to,
    holdsFrom: from !== undefined,
    holdsTo: isLastOfRing,
  });
  // Undone or given up meanwhile: what was found belongs to nothing.
  const now = sitting.store.getState();
  if (now.stretches !== stretches || now.points[stretches.length + 1] !== to) return now.points.length > 1;
  if (found) sitting.store.setState({ stretches: [...stretches, found] });
  else sitting.store.setState({ points: points.slice(0, stretches.length + 1) });
  return found !== undefined;
}

async function edgeBetween(
  { photo: under }: Sitting,
  ends: WireEnds,
): Promise<readonly PlanePoint[] | undefined> {
  if (!under) return undefined;
  const { photoId, capture } = under;
  const { camera, thicknessMm } = capture;
  return runJob(FOLLOWING, 'Following the edge', async (progress, signal) => {
    const blob = await photoBlob(photoId);
    if (!blob) return PHOTO_MISSING;
    const photo = await photoInEngine(photoId, blob, signal);
    if (!photo.ok) return photo;
    return engine.liveWire(photo.value.photoKey, { camera, zMm: thicknessMm, ends }, { progress, signal });
  });
}

/** Ends the line: in the place of the part of a line that it begins and ends on, or as a line of its own. */
export async function finishWire(sitting: Sitting, closed: boolean): Promise<void> {
  const { points } = sitting.store.getState();
  if (points.length < (closed ? 3 : 2)) return;
  if (closed) sitting.store.setState({ points: [...points, points[0]!] });
  await catchUp(sitting);
  const { stretches, settings, tool } = sitting.store.getState();
  // Given up, or not found, while the last stretch was waited for.
  if (tool !== 'wire' || stretches.length < points.length - (closed ? 0 : 1)) return;
  sitting.store.setState({ points: [], stretches: [] });
  const edge = stretches.flatMap((stretch, i) => (i === 0 ? stretch : stretch.slice(1)));
  sitting.run('Follow the edge', (lines) => {
    if (closed) return addPath(lines, settings.drawKind, cleaned(edge.slice(0, -1), true), newId);
    const path = cleaned(edge, false);
    const [start, end] = [edge[0]!, edge.at(-1)!].map((at) => lineNear(lines, at, ON_LINE_MM));
    return start && start.line === end?.line
      ? redrawStretch(lines, start.line.id, path, settings.drawKind, newId)
      : addPath(lines, settings.drawKind, path, newId);
  });
}

function cleaned(edge: readonly PlanePoint[], closed: boolean): Path {
  const { cleaningToleranceMm } = DEFAULT_TRACE_OPTIONS;
  return closed ? cleanPolyline(edge, true, cleaningToleranceMm).path : cleanHeld(edge, cleaningToleranceMm);
}
