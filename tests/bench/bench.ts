/**
 * `npm run bench`: outlines of the practice photos against their truth in mm, the time of each step on 12 MP, and
 * the capture step beside a chain of native OpenCV calls timed in the same run. Prints tables, keeps nothing.
 * Lengths from simulated photos: `npx tsx tests/bench/accuracy.ts`.
 */
import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { statedTolerance } from '../../src/stated-tolerance.ts';
import { worstToleranceMm } from '../../src/capture/tolerance.ts';
import type { Path } from '../../src/geometry/path.ts';
import { polygonAreaMm2 } from '../../src/geometry/measure.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { readPhotoFile } from '../../src/headless/read-photo.ts';
import { tracePieces } from '../../src/trace/trace-pieces.ts';
import { DEFAULT_TRACE_OPTIONS } from '../../src/trace/types.ts';
import { type PracticePhoto, readTruth, type Truth } from '../setup/truth.ts';
import { outlineError } from './outline-error.ts';

const PHOTOS: readonly PracticePhoto[] = ['brow-band', 'guards-and-crest', 'crown-front'];
const REPEATS = 5;
/** Runs of the native chain beside each of ours: turn by turn, so that a busy machine slows both. */
const NATIVE_RUNS = 3;
const NATIVE_CHAIN = fileURLToPath(new URL('./native-chain.py', import.meta.url));

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1]!;
const mm = (value: number): string => value.toFixed(3);

function valueOf<T>(outcome: { ok: true; value: T } | { ok: false; problem: { message: string } }): T {
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

/** Each true outline with the measured one that lies nearest to it. */
function nearestOutlines(truth: Truth, measured: readonly Path[]): void {
  const wanted = truth.pieces.flatMap(({ outer, holes }, i) => [
    { what: `piece ${i + 1}`, points: outer },
    ...holes.map((points) => ({ what: `opening in ${i + 1}`, points })),
  ]);
  for (const { what, points } of wanted) {
    const best = measured
      .map((path) => ({ path, error: outlineError(path, points) }))
      .sort((a, b) => a.error.meanMm - b.error.meanMm)[0]!;
    const { meanMm, p95Mm, maxMm } = best.error;
    const area = Math.abs(polygonAreaMm2(points)) / 100;
    console.log(
      `  ${what} (${area.toFixed(1)} cm2): mean ${mm(meanMm)}, p95 ${mm(p95Mm)}, max ${mm(maxMm)} mm; ${best.path.segments.length} segments`,
    );
  }
  const extra = measured.length - wanted.length;
  if (extra !== 0) console.log(`  ${Math.abs(extra)} outlines ${extra > 0 ? 'too many' : 'missed'}`);
}

/** Median milliseconds of each step as the engine reports it: from one report of progress to the next. */
class StepTimes {
  readonly #steps = new Map<string, number[]>();
  #now: { step: string; start: number } | undefined;
  readonly progress = (step: string): void => {
    this.finish();
    this.#now = { step, start: performance.now() };
  };
  finish(): void {
    if (!this.#now) return;
    const { step, start } = this.#now;
    this.#steps.set(step, [...(this.#steps.get(step) ?? []), performance.now() - start]);
    this.#now = undefined;
  }
  toString(): string {
    return [...this.#steps].map(([step, times]) => `${step} ${median(times).toFixed(0)}`).join(', ');
  }
}

/** Median ms of the native chain on a photo, or undefined where Python has no OpenCV (Debian: python3-opencv). */
function nativeChainMs(photoFile: string): number | undefined {
  try {
    const told = execFileSync('/usr/bin/python3', [NATIVE_CHAIN, photoFile, String(NATIVE_RUNS)], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    return Number(told);
  } catch {
    return undefined;
  }
}

const vision = await loadVisionInNode();
const ratios: string[] = [];
for (const name of PHOTOS) {
  const truth = readTruth(name);
  const thicknessMm = truth.pieces[0]!.thicknessMm;
  const times = {
    open: [] as number[],
    capture: [] as number[],
    trace: [] as number[],
    native: [] as number[],
  };
  const steps = new StepTimes();
  let outlines: Path[] = [];
  let tolerance = 0;
  for (let i = 0; i < REPEATS; i++) {
    const t0 = performance.now();
    const { raster, facts } = await readPhotoFile(truth.photoFile);
    const t1 = performance.now();
    const capture = valueOf(capturePhoto(vision, raster, { facts, thicknessMm }, steps.progress));
    steps.finish();
    const t2 = performance.now();
    const trace = tracePieces(vision, raster, capture, DEFAULT_TRACE_OPTIONS, steps.progress);
    steps.finish();
    const t3 = performance.now();
    times.open.push(t1 - t0);
    times.capture.push(t2 - t1);
    times.trace.push(t3 - t2);
    const nativeMs = nativeChainMs(truth.photoFile);
    if (nativeMs !== undefined) times.native.push(nativeMs);
    outlines = trace.pieces.flatMap(({ outer, holes }) => [outer.path, ...holes.map(({ path }) => path)]);
    tolerance = Math.max(
      ...trace.pieces.map(({ outer }) =>
        statedTolerance(worstToleranceMm(capture, outer.measured, thicknessMm)),
      ),
    );
  }
  console.log(`\n${name}, ${thicknessMm} mm thick, stated tolerance ± ${tolerance.toFixed(2)} mm`);
  nearestOutlines(truth, outlines);
  const [open, capture, trace] = [median(times.open), median(times.capture), median(times.trace)];
  console.log(
    `  ms, median of ${REPEATS}: open ${open.toFixed(0)}, capture ${capture.toFixed(0)}, trace ${trace.toFixed(0)} (${String(steps)})`,
  );
  const native = median(times.native);
  ratios.push(
    times.native.length === 0
      ? `${name}: no python3-opencv on this machine, so no ratio`
      : `${name}: open + capture ${(open + capture).toFixed(0)} ms, native chain ${native.toFixed(0)} ms, ratio ${((open + capture) / native).toFixed(2)}`,
  );
}
console.log('\nCapture step (decode to solved camera) against the native chain, one thread:');
for (const line of ratios) console.log(`  ${line}`);
