import { useCallback, useEffect, useState } from 'react';
import type { Outcome, Progress } from '../outcome.ts';
import { runJob, stopJob } from './jobs.ts';

export type Ask<T> = (call: {
  readonly progress: Progress;
  readonly signal: AbortSignal;
}) => Promise<Outcome<T>>;

interface JobResult<T> {
  /** The last result; undefined before the first, and kept while the next is worked on. */
  readonly value: T | undefined;
  /** True while the question has changed and its answer has not come yet. */
  readonly isStale: boolean;
  readonly again: () => void;
}

/**
 * The answer to a question that takes the engine a while: asked once the question has rested for `restMs` (a step button
 * held down asks dozens a second), under `key` for JobStatus. `ask` must be stable (useCallback) as long as the question
 * is the same; undefined asks nothing.
 */
export function useJobResult<T>(
  key: string,
  step: string,
  ask: Ask<T> | undefined,
  restMs = 120,
): JobResult<T> {
  const [done, setDone] = useState<{ readonly ask: Ask<T>; readonly value: T } | undefined>(undefined);
  const start = useCallback(async () => {
    if (!ask) return;
    const value = await runJob(key, step, (progress, signal) => ask({ progress, signal }));
    if (value !== undefined) setDone({ ask, value });
  }, [key, step, ask]);
  useEffect(() => {
    const timer = setTimeout(() => void start(), restMs);
    return () => {
      clearTimeout(timer);
      stopJob(key);
    };
  }, [start, key, restMs]);
  return {
    value: ask && done?.value,
    isStale: ask !== undefined && done?.ask !== ask,
    again: () => void start(),
  };
}
