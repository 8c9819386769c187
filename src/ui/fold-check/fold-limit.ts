import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';

/** How far the halves may differ, mm: common practice in the trade, no published source. */
const USUAL_LIMIT_MM = 2;

const store = createStore<{ readonly limitMm: number }>(() => ({ limitMm: USUAL_LIMIT_MM }));

export function useFoldLimitMm(): number {
  return useStore(store, ({ limitMm }) => limitMm);
}

export function foldLimitMm(): number {
  return store.getState().limitMm;
}

export function setFoldLimitMm(limitMm: number): void {
  store.setState({ limitMm });
}
