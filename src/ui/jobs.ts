/**
 * Work that may take longer than 300 ms: each runs under a key, tells its steps, can be stopped, and hands its
 * failure to the panel in words. Starting a job under a key stops the one before it.
 */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { Outcome, Progress } from '../outcome.ts';

export interface Job {
  readonly key: string;
  /** "Measuring the cards"; what is being done now. */
  readonly step: string;
  readonly fraction: number;
  /** False in its first 300 ms, while showing progress would only flicker. */
  readonly isSlow: boolean;
  readonly stop: () => void;
}

interface JobBook {
  readonly running: Readonly<Record<string, Job>>;
  /** What went wrong last under a key, until it runs again. */
  readonly failed: Readonly<Record<string, string>>;
}

const SLOW_MS = 300;
/** Every job that runs or has failed. */
export const jobBook = createStore<JobBook>(() => ({ running: {}, failed: {} }));

function without<T>(record: Readonly<Record<string, T>>, key: string): Record<string, T> {
  const { [key]: _, ...rest } = record;
  return rest;
}

function update(key: string, change: Partial<Job>): void {
  jobBook.setState(({ running }) => {
    const job = running[key];
    return job ? { running: { ...running, [key]: { ...job, ...change } } } : {};
  });
}

/**
 * Runs `work` under `key`. Resolves with its value, or undefined when it failed (the words are kept for
 * `useJobFailure`) or was stopped (which leaves no words).
 */
export async function runJob<T>(
  key: string,
  firstStep: string,
  work: (progress: Progress, signal: AbortSignal) => Promise<Outcome<T>>,
): Promise<T | undefined> {
  stopJob(key);
  const controller = new AbortController();
  const stop = () => controller.abort();
  const job: Job = { key, step: firstStep, fraction: 0, isSlow: false, stop };
  jobBook.setState(({ running, failed }) => ({
    running: { ...running, [key]: job },
    failed: without(failed, key),
  }));
  const isMine = () => jobBook.getState().running[key]?.stop === stop;
  const slow = setTimeout(() => isMine() && update(key, { isSlow: true }), SLOW_MS);
  try {
    const outcome = await work(
      (step, fraction) => isMine() && update(key, { step, fraction }),
      controller.signal,
    );
    if (controller.signal.aborted) return undefined;
    if (outcome.ok) return outcome.value;
    fail(key, outcome.problem.message);
  } catch (thrown) {
    if (controller.signal.aborted) return undefined;
    fail(
      key,
      `Something went wrong that should not have: ${thrown instanceof Error ? thrown.message : String(thrown)}. Your work is kept; try again.`,
    );
  } finally {
    clearTimeout(slow);
    if (isMine()) jobBook.setState(({ running }) => ({ running: without(running, key) }));
  }
  return undefined;
}

function fail(key: string, message: string): void {
  jobBook.setState(({ failed }) => ({ failed: { ...failed, [key]: message } }));
}

/** Stops the job under a key, if one runs. */
export function stopJob(key: string): void {
  const job = jobBook.getState().running[key];
  if (!job) return;
  jobBook.setState(({ running }) => ({ running: without(running, key) }));
  job.stop();
}

/** Takes back the words of a failure, once the maker has seen them. */
export function dismissFailure(key: string): void {
  jobBook.setState(({ failed }) => ({ failed: without(failed, key) }));
}

export function useJob(key: string): Job | undefined {
  return useStore(jobBook, ({ running }) => running[key]);
}

export function useJobFailure(key: string): string | undefined {
  return useStore(jobBook, ({ failed }) => failed[key]);
}
