/** Verbs that take too long for the main thread: done by the engine, and taken in as one step when they come back. */
import type { EditOutcome } from '../../geometry/edit/edited.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import type { ShapeVerb } from '../../trace/shape-lines.ts';
import { engine } from '../engine.ts';
import { jobBook, runJob, stopJob } from '../jobs.ts';
import type { Sitting } from './sitting.ts';

/** Key of the job that shapes lines. */
export const SHAPING = 'shape lines';

/** Lines that came back unchanged are the very ones that went, so that what is drawn of them stays. */
function withOwnLines(
  outcome: EditOutcome,
  before: readonly PieceLine[],
  lineId: string | undefined,
): EditOutcome {
  if (!outcome.ok) return outcome;
  const untouched = new Map(before.filter(({ id }) => id !== lineId).map((line) => [line.id, line]));
  const lines = outcome.value.lines.map((line) => untouched.get(line.id) ?? line);
  return { ok: true, value: { ...outcome.value, lines } };
}

/** Does a verb away from the screen, as one undo step; what comes back for lines that have changed meanwhile is dropped. */
export async function shapeAway(sitting: Sitting, label: string, shape: ShapeVerb): Promise<void> {
  const before = sitting.lines();
  sitting.store.setState({ news: undefined });
  const outcome = await runJob(SHAPING, label, (progress, signal) =>
    engine.shapeLines({ lines: before, shape }, { progress, signal }),
  );
  if (!outcome) return;
  if (sitting.lines() !== before) {
    const words = `The lines were changed while “${label}” was being worked out, so it was not done. Choose it again.`;
    sitting.store.setState({ news: { tone: 'look', words } });
    return;
  }
  const lineId = 'lineId' in shape ? shape.lineId : shape.picks[0]?.lineId;
  sitting.run(label, () => withOwnLines(outcome, before, lineId));
}

/** Gives up what is being worked out; false when nothing is. */
export function stopShaping(): boolean {
  if (!jobBook.getState().running[SHAPING]) return false;
  stopJob(SHAPING);
  return true;
}
