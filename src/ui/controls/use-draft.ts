import { useState } from 'react';

/** What the maker is entering, before it is handed over; a new value from outside takes its place. */
export function useDraft<T>(value: T): readonly [T, (draft: T) => void] {
  const [held, setHeld] = useState({ over: value, draft: value });
  return [Object.is(held.over, value) ? held.draft : value, (draft) => setHeld({ over: value, draft })];
}
