import { isWithin, LIMITS } from '../build/limits.ts';
import { DEFAULT_DRAWN_OPTIONS, type DrawnOptions } from '../trace/drawn/drawn-types.ts';
import { Unusable } from './unusable.ts';

/** Options of `capture --mode drawn`, as parseArgs takes them. */
export const DRAWN_OPTIONS = {
  mode: { type: 'string' },
  'line-edge': { type: 'string' },
  'faintest-line': { type: 'string' },
  'largest-gap': { type: 'string' },
} as const;

interface DrawnValues {
  readonly mode?: string | undefined;
  readonly 'line-edge'?: string | undefined;
  readonly 'faintest-line'?: string | undefined;
  readonly 'largest-gap'?: string | undefined;
}

function numberOr(
  name: string,
  given: string | undefined,
  range: { min: number; max: number },
  usual: number,
): number {
  if (given === undefined) return usual;
  const value = Number(given);
  if (given.trim() === '' || !isWithin(value, range)) {
    throw new Unusable(`${name} takes a number from ${range.min} to ${range.max}, not "${given}".`);
  }
  return value;
}

/** How drawn lines are to be traced, or undefined for cut pieces; throws Unusable with a sentence. */
export function drawnArguments(values: DrawnValues): DrawnOptions | undefined {
  const { mode = 'cut', 'line-edge': edge = 'centre' } = values;
  if (mode !== 'cut' && mode !== 'drawn') {
    throw new Unusable(`--mode can be "cut" (cut-out pieces) or "drawn" (drawn lines), not "${mode}".`);
  }
  const given = values['line-edge'] ?? values['faintest-line'] ?? values['largest-gap'];
  if (mode === 'cut') {
    if (given === undefined) return undefined;
    throw new Unusable('--line-edge, --faintest-line and --largest-gap go with --mode drawn.');
  }
  if (edge !== 'centre' && edge !== 'outer' && edge !== 'inner') {
    throw new Unusable(`--line-edge can be "centre", "outer" or "inner", not "${edge}".`);
  }
  const { leastDarkness, largestGapMm } = DEFAULT_DRAWN_OPTIONS;
  return {
    ...DEFAULT_DRAWN_OPTIONS,
    strokeEdge: edge,
    leastDarkness: numberOr('--faintest-line', values['faintest-line'], LIMITS.leastDarkness, leastDarkness),
    largestGapMm: numberOr('--largest-gap', values['largest-gap'], LIMITS.largestGapMm, largestGapMm),
  };
}
