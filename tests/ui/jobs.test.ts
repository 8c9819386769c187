import { describe, expect, it } from 'vitest';
import { failure, type Outcome, success } from '../../src/outcome.ts';
import { jobBook, runJob, stopJob } from '../../src/ui/jobs.ts';

const running = (key: string) => jobBook.getState().running[key];
const failed = (key: string) => jobBook.getState().failed[key];

/** Work that ends when told, minding its signal as the engine does. */
function workToOrder() {
  let finish: (outcome: Outcome<string>) => void = () => undefined;
  const ending = new Promise<Outcome<string>>((resolve) => (finish = resolve));
  const signals: AbortSignal[] = [];
  const work = (_: unknown, signal: AbortSignal) => {
    signals.push(signal);
    signal.addEventListener('abort', () => finish(failure('cancelled', 'Stopped.')));
    return ending;
  };
  return { work, finish: (outcome: Outcome<string>) => finish(outcome), signals };
}

describe('a job', () => {
  it('tells its steps, hands over its value, and is gone', async () => {
    const steps: string[] = [];
    const value = await runJob('a', 'beginning', async (progress) => {
      steps.push(running('a')!.step);
      progress('halfway', 0.5);
      steps.push(`${running('a')!.step} ${running('a')!.fraction}`);
      return success('done');
    });
    expect(value).toBe('done');
    expect(steps).toEqual(['beginning', 'halfway 0.5']);
    expect(running('a')).toBeUndefined();
    expect(failed('a')).toBeUndefined();
  });

  it('counts as slow only after 300 ms', async () => {
    const { work, finish } = workToOrder();
    const done = runJob('slow', 'step', work);
    expect(running('slow')!.isSlow).toBe(false);
    await new Promise((resolve) => setTimeout(resolve, 330));
    expect(running('slow')!.isSlow).toBe(true);
    finish(success('x'));
    await done;
  });

  it('keeps the words of a failure until it runs again', async () => {
    expect(await runJob('b', 'step', async () => failure('no-card', 'No card was found.'))).toBeUndefined();
    expect(failed('b')).toBe('No card was found.');
    await runJob('b', 'step', async () => success(1));
    expect(failed('b')).toBeUndefined();
  });

  it('turns what is thrown into words', async () => {
    await runJob('c', 'step', async () => {
      throw new Error('a fault of ours');
    });
    expect(failed('c')).toContain('a fault of ours');
  });

  it('leaves no words when it is stopped', async () => {
    const { work, signals } = workToOrder();
    const done = runJob('d', 'step', work);
    stopJob('d');
    expect(await done).toBeUndefined();
    expect(signals[0]!.aborted).toBe(true);
    expect([running('d'), failed('d')]).toEqual([undefined, undefined]);
  });

  it('stops the job before it under the same key, whose late end changes nothing', async () => {
    const first = workToOrder();
    const second = workToOrder();
    const firstDone = runJob('e', 'first', first.work);
    const secondDone = runJob('e', 'second', second.work);
    expect(first.signals[0]!.aborted).toBe(true);
    expect(await firstDone).toBeUndefined();
    expect(running('e')!.step).toBe('second');
    second.finish(success('second result'));
    expect(await secondDone).toBe('second result');
  });
});
