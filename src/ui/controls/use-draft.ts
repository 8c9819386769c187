import { useState } from 'react';

/** What the maker is entering, before it is handed over; a new value from outside takes its place for good. */
export function useDraft<T>(value: T): readonly [T, (draft: T) => void] {
  const [held, setHeld] = useState({ over: value, draft: value });
  // Forgotten at once: undo may bring the old value back, and must not bring the old draft with it.
  if (!Object.is(held.over, value)) setHeld({ over: value, draft: value });
  return [Object.is(held.over, value) ? held.draft : value, (draft) => setHeld({ over: value, draft })];
}
