/** From photos of one long piece to one outline: each photo measured, all solved together, traced and put together. */
import { setThickness } from '../build/commands/captures.ts';
import { setJoin } from '../build/commands/joins.ts';
import { joinOf } from '../build/join-lookups.ts';
import { captureOptionsFor } from '../build/lookups.ts';
import type { Recipe } from '../build/store.ts';
import type { Build } from '../build/types.ts';
import type { JoinedPhotos, PhotoToJoin } from '../capture/join-types.ts';
import type { CaptureOptions } from '../capture/types.ts';
import { failure, type Outcome, type Progress, success } from '../outcome.ts';
import type { JoinedTrace } from '../trace/join-traces.ts';
import { DEFAULT_TRACE_OPTIONS, type TraceResult } from '../trace/types.ts';
import { bench, change, newStamp } from './bench.ts';
import { engine, photoInEngine } from './engine.ts';
import { runJob } from './jobs.ts';
import { photoBlob } from './photo-keeping.ts';
import { PHOTO_MISSING } from './photo-missing.ts';

/** Key of the job that joins photos; its failure is shown where they are joined. */
export const JOINING = 'join photos';

interface JoinFindings {
  readonly options: readonly CaptureOptions[];
  readonly joined: JoinedPhotos;
  readonly trace: JoinedTrace;
}

interface JoinContext {
  readonly progress: Progress;
  readonly signal: AbortSignal;
}

/** Shares of the whole: measuring all photos, and the solve for all of them; tracing takes the rest. */
const MEASURED = 0.45;
const SOLVED = 0.5;

/** The progress of one of several photos, as a part of the whole from `from` to `to`. */
function partOf(progress: Progress, photo: number, count: number, from: number, to: number): Progress {
  return (step, share) =>
    progress(`photo ${photo + 1} of ${count}: ${step}`, from + ((to - from) * (photo + share)) / count);
}

/** Measures, joins and traces photos of the build; the pieces come in the first photo's frame. */
async function findJoined(
  build: Build,
  captureIds: readonly string[],
  { progress, signal }: JoinContext,
): Promise<Outcome<JoinFindings>> {
  const count = captureIds.length;
  const records = captureIds.map((captureId) => build.captures.find(({ id }) => id === captureId)!);
  const [keys, photos]: [string[], PhotoToJoin[]] = [[], []];
  for (const [k, record] of records.entries()) {
    const blob = await photoBlob(record.photoId);
    if (!blob) return PHOTO_MISSING;
    const photo = await photoInEngine(record.photoId, blob, signal);
    if (!photo.ok) return photo;
    const options = captureOptionsFor(build, record, photo.value.facts);
    const part = partOf(progress, k, count, 0, MEASURED);
    const capture = await engine.capture(photo.value.photoKey, options, { signal, progress: part });
    if (!capture.ok) return failure(capture.problem.code, `${record.photoName}: ${capture.problem.message}`);
    keys.push(photo.value.photoKey);
    photos.push({ capture: capture.value, options });
  }
  progress('solving for all photos together', MEASURED);
  const joined = await engine.joinPhotos(photos, { signal });
  if (!joined.ok) return joined;
  const traces: TraceResult[] = [];
  for (const [k, record] of records.entries()) {
    const options = { ...DEFAULT_TRACE_OPTIONS, edgeBias: record.edgeBias };
    const part = partOf(progress, k, count, SOLVED, 1);
    const capture = joined.value.captures[k]!;
    const trace = await engine.trace(keys[k]!, capture, options, { signal, progress: part });
    if (!trace.ok) return trace;
    traces.push(trace.value);
  }
  progress('putting the outline together', 1);
  const trace = await engine.joinTraces(
    { joined: joined.value, traces, options: DEFAULT_TRACE_OPTIONS },
    { signal },
  );
  if (!trace.ok) return trace;
  if (trace.value.pieces.length === 0) {
    return failure(
      'no-piece',
      'The photos fit together, but no piece was found in them, so there is nothing to join. Photograph the piece on a table of another colour, or move the edge in Trace.',
    );
  }
  return success({ options: photos.map(({ options }) => options), joined: joined.value, trace: trace.value });
}

/** The other photo's pieces taken for as thick as this one's: a photo of the same piece that has just come in. */
function withThicknessOf(captureId: string, otherId: string): Recipe {
  return (build) => {
    const { thicknessMm, thicknessDoubtMm } = build.captures.find(({ id }) => id === captureId)!;
    const doubt = thicknessDoubtMm === undefined ? {} : { doubtMm: thicknessDoubtMm };
    return setThickness(build, { captureId: otherId, thicknessMm, ...doubt });
  };
}

/**
 * Joins a photo (with those that it is joined with) and another one: one undo step, or nothing and the reason. A new
 * photo takes on the thickness that is set; two old ones must agree.
 */
export async function joinWith(captureId: string, otherId: string, isNew: boolean): Promise<void> {
  const recipe: Recipe = isNew ? withThicknessOf(captureId, otherId) : (unchanged) => unchanged;
  const { build } = bench.getState();
  const own = joinOf(build, captureId)?.captureIds ?? [captureId];
  const captureIds = [...own, ...(joinOf(build, otherId)?.captureIds ?? [otherId])];
  const found = await runJob(JOINING, 'Opening the photos', (progress, signal) =>
    findJoined(recipe(bench.getState().build), captureIds, { progress, signal }),
  );
  if (!found || !areThere(captureIds)) return;
  const stamp = newStamp();
  change('Join photos', (now) => setJoin(recipe(now), { stamp, captureIds, ...found }));
}

/** Measures joined photos anew as they would be after `recipe`; `failed` has made the change and kept the reason. */
export async function measureJoined(
  jobKey: string,
  captureIds: readonly string[],
  label: string,
  recipe: Recipe,
): Promise<'measured' | 'failed' | 'stopped'> {
  let isStopped = false;
  const found = await runJob(jobKey, 'Opening the photos', (progress, signal) => {
    signal.addEventListener('abort', () => (isStopped = true));
    return findJoined(recipe(bench.getState().build), captureIds, { progress, signal });
  });
  if (isStopped || !areThere(captureIds)) return 'stopped';
  if (!found) {
    change(label, recipe);
    return 'failed';
  }
  const stamp = newStamp();
  change(label, (build) => setJoin(recipe(build), { stamp, captureIds, ...found }));
  return 'measured';
}

function areThere(captureIds: readonly string[]): boolean {
  const { captures } = bench.getState().build;
  return captureIds.every((each) => captures.some(({ id }) => id === each));
}
