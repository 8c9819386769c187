/**
 * How long each slow verb of the editor holds its thread, on the demo headpiece's outlines and on thousands of joints:
 * `npx tsx tests/bench/edit-verbs.ts`. Nothing may hold the main thread over 50 ms, so the slow ones are done by the
 * worker (`ShapeVerb`). Processor time, so that a busy machine does not count; the first run, before the compiler has
 * warmed up, is what a maker waits for and stands by itself.
 */
import type { EditOutcome } from '../../src/geometry/edit/edited.ts';
import { offsetPieceLine } from '../../src/geometry/edit/line-verbs.ts';
import { fairPicked, straightenPicked } from '../../src/geometry/edit/stretch-verbs.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import type { Path } from '../../src/geometry/path.ts';
import { cleanPolyline } from '../../src/trace/clean-polyline.ts';
import { cleanPicked } from '../../src/trace/clean-stretch.ts';
import { frill } from '../geometry/frill.ts';
import { readTruth } from '../setup/truth.ts';

const REPEATS = 7;
/** A verb that has taken this long is not repeated, ms. */
const PATIENCE_MS = 10_000;
const LINE_ID = 'outline';

const picksOf = (...joints: number[]) => joints.map((joint) => ({ lineId: LINE_ID, joint }));

type Verb = (lines: readonly PieceLine[], joints: number) => EditOutcome;

function offsetBy(distanceMm: number, corner: 'sharp' | 'round'): Verb {
  const choice = { distanceMm, corner, into: 'score' } as const;
  return (lines) => offsetPieceLine(lines, LINE_ID, choice, () => 'beside');
}

const VERBS: Readonly<Record<string, Verb>> = {
  'offset 8 mm out, sharp': offsetBy(8, 'sharp'),
  'offset 8 mm out, round': offsetBy(8, 'round'),
  'offset 3 mm in': offsetBy(-3, 'sharp'),
  'clean all to 0.15 mm': (lines) => cleanPicked(lines, picksOf(0), 0.15),
  'clean all to 0.5 mm': (lines) => cleanPicked(lines, picksOf(0), 0.5),
  'even out all within 0.5 mm': (lines) => fairPicked(lines, picksOf(0), 0.5),
  'even out all within 3 mm': (lines) => fairPicked(lines, picksOf(0), 3),
  'straighten half': (lines, joints) => straightenPicked(lines, picksOf(0, joints >> 1)),
};

/** Outlines of the practice photos' pieces, cleaned as a trace is. */
function demoOutlines(): readonly (readonly [what: string, path: Path])[] {
  return (['crown-front', 'brow-band', 'guards-and-crest'] as const).flatMap((photo) =>
    readTruth(photo).pieces.map(
      ({ outer }, i) => [`${photo} ${i + 1}`, cleanPolyline(outer, true, 0.15).path] as const,
    ),
  );
}

for (const [what, path] of [...demoOutlines(), ['frill', frill(5000)] as const]) {
  const joints = path.segments.length;
  const lines: readonly PieceLine[] = [{ id: LINE_ID, kind: 'cut', path }];
  for (const [verb, act] of Object.entries(VERBS)) {
    const times: number[] = [];
    let outcome: EditOutcome | undefined;
    for (let spent = 0; times.length < REPEATS && spent < PATIENCE_MS; spent += times.at(-1)!) {
      const began = process.cpuUsage();
      outcome = act(lines, joints);
      const { user, system } = process.cpuUsage(began);
      times.push((user + system) / 1000);
    }
    const sorted = times.toSorted((x, y) => x - y);
    const made = outcome?.ok ? outcome.value.lines.at(-1)!.path.segments.length : 0;
    const ms = (value: number | undefined) => `${(value ?? NaN).toFixed(1)} ms`;
    console.log(
      `${what} (${joints} joints), ${verb}: first ${ms(times[0])}, median ${ms(sorted[sorted.length >> 1])}, worst ${ms(sorted.at(-1))}; ${made} joints after`,
    );
  }
}
