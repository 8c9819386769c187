/** `--reference`, `--corners`, `--sheet-sides`, `--points` and `--distance`: what a photo is measured by. */
import type { Reference, SheetName } from '../capture/types.ts';
import { Unusable } from './unusable.ts';

const SHEETS: Readonly<Record<string, SheetName>> = { a4: 'A4', a3: 'A3', letter: 'Letter' };
const NAMES = 'cards, bank-card, a4, a3, letter or two-points';

/** What the command line gave; every value as typed. */
export interface ReferenceValues {
  readonly reference?: readonly string[] | undefined;
  readonly points?: string | undefined;
  readonly distance?: string | undefined;
  readonly 'sheet-sides'?: string | undefined;
  readonly corners?: string | undefined;
}

function numbers(name: string, value: string, count: number, example: string): number[] {
  const figures = value.split(',').map((part) => (part.trim() === '' ? Number.NaN : Number(part)));
  if (figures.length !== count || !figures.every((figure) => Number.isFinite(figure) && figure >= 0)) {
    throw new Unusable(
      `${name} takes ${count} numbers with commas between, as in "${example}", not "${value}".`,
    );
  }
  return figures;
}

function twoPoints({ points, distance }: ReferenceValues): Reference {
  if (points === undefined || distance === undefined) {
    throw new Unusable(
      'Two points need both places in the photo and the distance between them: --points u1,v1,u2,v2 (pixels) --distance MM.',
    );
  }
  const [u1, v1, u2, v2] = numbers('--points', points, 4, '--points 410,1200,3600,1180');
  const [distanceMm] = numbers('--distance', distance, 1, '--distance 300');
  return {
    kind: 'two-points',
    fromPx: { u: u1!, v: v1! },
    toPx: { u: u2!, v: v2! },
    distanceMm: distanceMm!,
  };
}

function sheet(name: SheetName, sides: string | undefined): Reference {
  if (sides === undefined) return { kind: 'sheet', sheet: name };
  const [a, b] = numbers('--sheet-sides', sides, 2, '--sheet-sides 209.5,297');
  return { kind: 'sheet', sheet: name, measuredMm: { shortMm: Math.min(a!, b!), longMm: Math.max(a!, b!) } };
}

/** Four corners in any order, as typed. */
export function cornersOf(corners: string | undefined) {
  if (corners === undefined) return {};
  const figures = numbers('--corners', corners, 8, '--corners 410,520,1290,500,1310,1060,400,1080');
  return { nearPx: [0, 2, 4, 6].map((k) => ({ u: figures[k]!, v: figures[k + 1]! })) };
}

/** What to measure by, in the order it was named; undefined when nothing was, which means scale cards. */
export function referencesOf(values: ReferenceValues): readonly Reference[] | undefined {
  const names = (values.reference ?? []).flatMap((value) => value.toLowerCase().split(','));
  const wanted = [...new Set(names.map((name) => name.trim()))];
  const sheets = wanted.filter((name) => name in SHEETS);
  const { points, distance, 'sheet-sides': sides } = values;
  if ((points !== undefined || distance !== undefined) && !wanted.includes('two-points')) {
    throw new Unusable('--points and --distance belong to --reference two-points.');
  }
  if (sides !== undefined && sheets.length !== 1) {
    throw new Unusable('--sheet-sides belongs to one sheet: --reference a4, a3 or letter.');
  }
  const near = cornersOf(values.corners);
  if (values.corners !== undefined && sheets.length + Number(wanted.includes('bank-card')) !== 1) {
    throw new Unusable(
      '--corners belongs to one bank card or sheet: --reference bank-card, a4, a3 or letter.',
    );
  }
  if (wanted.length === 0) return undefined;
  return wanted.map((name): Reference => {
    if (name === 'cards') return { kind: name };
    if (name === 'bank-card') return { kind: name, ...near };
    if (name === 'two-points') return twoPoints(values);
    const paper = SHEETS[name];
    if (!paper) throw new Unusable(`--reference can be ${NAMES}, not "${name}".`);
    return { ...sheet(paper, sides), ...near };
  });
}
