import { useEffect, useState } from 'react';

interface WorkedOut<T> {
  /** The last result; undefined before the first. */
  readonly value: T | undefined;
  /** True while the inputs have changed and the result has not followed yet. */
  readonly isStale: boolean;
}

/**
 * Works something out beside the rendering: after the first paint, and after changes (a drag gives dozens a second)
 * once they have rested for `restMs`. `work` must be stable (useCallback) as long as its inputs are the same; undefined
 * means that there is nothing to work out.
 */
export function useWorkedOut<T>(work: (() => T) | undefined, restMs = 60): WorkedOut<T> {
  const [done, setDone] = useState<{ readonly work: () => T; readonly value: T } | undefined>(undefined);
  useEffect(() => {
    if (!work) return;
    const timer = setTimeout(() => setDone({ work, value: work() }), restMs);
    return () => clearTimeout(timer);
  }, [work, restMs]);
  if (!work) return { value: undefined, isStale: false };
  return { value: done?.value, isStale: done?.work !== work };
}
