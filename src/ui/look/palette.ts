import { useSyncExternalStore } from 'react';

/** Colours that the worktable's canvas needs; the rest of the screen takes the same ones from tokens.css. */
export interface Palette {
  readonly table: string;
  readonly paper: string;
  readonly ink: string;
  readonly inkQuiet: string;
  readonly grid: string;
  readonly gridStrong: string;
  readonly accent: string;
  readonly look: string;
  readonly wrong: string;
  /** Ground and text of labels drawn on the photo: the same in both themes, since the photo is. */
  readonly tag: string;
  readonly tagText: string;
}

const LIGHT: Palette = {
  table: '#e6dfd1',
  paper: '#fffcf6',
  ink: '#2c2a27',
  inkQuiet: '#625c53',
  grid: '#efe9dd',
  gridStrong: '#d5ccba',
  accent: '#1d6355',
  look: '#8a4b00',
  wrong: '#a32a1c',
  tag: '#1e1d1b',
  tagText: '#fffcf6',
};

const DARK: Palette = {
  ...LIGHT,
  table: '#151413',
  paper: '#262421',
  ink: '#efe9dd',
  inkQuiet: '#b5ac9d',
  grid: '#2e2b27',
  gridStrong: '#47423b',
  accent: '#8ccdb8',
  look: '#f0b763',
  wrong: '#ff9e8f',
};

const QUERY = '(prefers-color-scheme: dark)';

function watch(tell: () => void): () => void {
  const query = window.matchMedia(QUERY);
  query.addEventListener('change', tell);
  return () => query.removeEventListener('change', tell);
}

/** The canvas colours of the theme in force; follows the system. */
export function usePalette(): Palette {
  return useSyncExternalStore(watch, () => window.matchMedia(QUERY).matches) ? DARK : LIGHT;
}
