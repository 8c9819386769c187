/**
 * From a photo to pieces: measures and traces photos of the build on the bench, one job a photo. What the maker
 * changed and what came of it are ONE undo step; stopping leaves no trace of either.
 */
import { replaceTracedPieces } from '../build/commands/traced-pieces.ts';
import { setCapture } from '../build/commands/captures.ts';
import { joinOf, leadOf } from '../build/join-lookups.ts';
import { captureOptionsFor } from '../build/lookups.ts';
import type { Recipe } from '../build/store.ts';
import type { Build, CaptureRecord } from '../build/types.ts';
import type { Capture, CaptureOptions } from '../capture/types.ts';
import { type Outcome, type Progress, success } from '../outcome.ts';
import { DEFAULT_TRACE_OPTIONS, type TraceResult } from '../trace/types.ts';
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import { bench, change, newStamp } from './bench.ts';
import { engine, photoInEngine } from './engine.ts';
import { jobBook, runJob, stopJob } from './jobs.ts';
import { measureJoined } from './joining.ts';
import { photoBlob } from './photo-keeping.ts';
import { PHOTO_MISSING } from './photo-missing.ts';

/** Key of the job that measures a photo. */
export function measuringKey(captureId: string): string {
  return `measure ${captureId}`;
}

// A photo that leaves the bench, by undo or with its build, need not be measured to the end.
bench.subscribe(({ build }, before) => {
  if (build.captures === before.build.captures) return;
  for (const { id } of before.build.captures) if (!recordOf(build, id)) stopJob(measuringKey(id));
});

/** Share of the whole that measuring takes; tracing takes the rest (measured on 12 MP photos). */
const MEASURING_SHARE = 0.45;

interface Solved {
  readonly capture: Capture;
  readonly options: CaptureOptions;
}

interface Findings extends Solved {
  readonly trace: TraceResult;
}

/** Captures that are solved while their photos are still being traced: shown, not yet part of the build. */
const fresh = createStore<Readonly<Record<string, Capture>>>(() => ({}));

function show(captureId: string, capture: Capture | undefined): void {
  const { [captureId]: _, ...rest } = fresh.getState();
  fresh.setState(capture ? { ...rest, [captureId]: capture } : rest, true);
}

/** The capture that was solved a moment ago, while its photo is being traced. */
export function useFreshCapture(captureId: string): Capture | undefined {
  return useStore(fresh, (captures) => captures[captureId]);
}

function recordOf(build: Build, captureId: string): CaptureRecord | undefined {
  return build.captures.find(({ id }) => id === captureId);
}

/** What is to be done with a photo's pieces as soon as it is measured, whoever has it measured. */
const owed = new Map<string, Recipe>();

/** Has `recipe` follow the next measuring of a photo that comes to its end, in the same step. */
export function afterMeasuring(captureId: string, recipe: Recipe): void {
  owed.set(captureId, recipe);
}

/** True while a photo waits for nobody: it is measured, or is being measured. */
export function isMeasuredAlready(captureId: string): boolean {
  const isRunning = jobBook.getState().running[measuringKey(captureId)] !== undefined;
  return isRunning || recordOf(bench.getState().build, captureId)?.capture !== undefined;
}

/** `failed` has made the change and kept the reason; `stopped` has done neither. */
export type MeasureEnd = 'measured' | 'failed' | 'stopped';

/**
 * Measures and traces a photo as it would be after `recipe` (a new thickness, printer, tape or edge), then makes
 * that change and takes in what was found, with what `afterMeasuring` asked for on top, as one step called `label`. When the photo
 * can't be measured, the change is made alone and the reason kept with the job. A joined photo is measured with its
 * partners.
 */
export async function measurePhoto(
  captureId: string,
  label: string,
  recipe: Recipe = (build) => build,
): Promise<MeasureEnd> {
  const record = recordOf(recipe(bench.getState().build), captureId);
  if (!record) return 'stopped';
  const join = joinOf(bench.getState().build, captureId);
  if (join) return measureJoined(measuringKey(captureId), join.captureIds, label, recipe);
  let isStopped = false;
  let solved: Solved | undefined;
  const onSolved = (found: Solved) => {
    solved = found;
    show(captureId, found.capture);
  };
  const found = await runJob(measuringKey(captureId), 'Opening the photo', async (progress, signal) => {
    signal.addEventListener('abort', () => (isStopped = true));
    return findPieces(recipe(bench.getState().build), record, { progress, signal, onSolved });
  });
  show(captureId, undefined);
  if (isStopped || !recordOf(bench.getState().build, captureId)) return 'stopped';
  if (!found) {
    // What was measured before tracing failed still holds.
    change(label, (build) => (solved ? setCapture(recipe(build), { captureId, ...solved }) : recipe(build)));
    return 'failed';
  }
  const stamp = newStamp();
  change(label, (build) => {
    const measured = setCapture(recipe(build), { captureId, ...found });
    const traced = replaceTracedPieces(measured, { captureId, trace: found.trace, stamp });
    return owed.get(captureId)?.(traced) ?? traced;
  });
  owed.delete(captureId);
  return 'measured';
}

interface FindingContext {
  readonly progress: Progress;
  readonly signal: AbortSignal;
  readonly onSolved: (solved: Solved) => void;
}

async function findPieces(
  build: Build,
  record: CaptureRecord,
  { progress, signal, onSolved }: FindingContext,
): Promise<Outcome<Findings>> {
  const blob = await photoBlob(record.photoId);
  if (!blob) return PHOTO_MISSING;
  const photo = await photoInEngine(record.photoId, blob, signal);
  if (!photo.ok) return photo;
  const { photoKey, facts } = photo.value;
  const options = captureOptionsFor(build, record, facts);
  const capture = await engine.capture(photoKey, options, {
    signal,
    progress: (step, share) => progress(step, share * MEASURING_SHARE),
  });
  if (!capture.ok) return capture;
  const solved = { capture: capture.value, options };
  onSolved(solved);
  const trace = await engine.trace(
    photoKey,
    capture.value,
    { ...DEFAULT_TRACE_OPTIONS, edgeBias: record.edgeBias, ...(record.drawn && { drawn: record.drawn }) },
    {
      signal,
      progress: (step, share) => progress(step, MEASURING_SHARE + share * (1 - MEASURING_SHARE)),
    },
  );
  if (!trace.ok) return trace;
  return success({ ...solved, trace: trace.value });
}

/**
 * A change that touches every photo, such as the printer of the cards: made with the first photo's new measure,
 * the other photos following in steps of their own.
 */
export async function measureAll(label: string, recipe: Recipe): Promise<void> {
  const { build } = bench.getState();
  // Joined photos are measured together, once.
  const [first, ...rest] = new Set(build.captures.map(({ id }) => leadOf(build, id)));
  if (first === undefined) {
    change(label, recipe);
    return;
  }
  const end = await measurePhoto(first, label, recipe);
  if (end === 'stopped') return;
  for (const captureId of rest) await measurePhoto(captureId, 'Measure again');
}
