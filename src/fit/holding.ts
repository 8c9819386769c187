/** What keeps a headpiece on: pressing all round, lying on the ears, or hanging on a bar across the top. */
export type Hold = 'tension' | 'ears' | 'cross-bar';

interface Holding {
  readonly words: string;
  /** Ease that is offered, mm: common practice, no source. */
  readonly usualEaseMm: number;
  /** What to mind, one sentence or two. */
  readonly note: string;
}

/** Most that a band held by pressure may be smaller than the head, as a share of its girth (common practice, no source). */
const MOST_TENSION = 0.02;

export const HOLDINGS: Readonly<Record<Hold, Holding>> = {
  tension: {
    words: 'Tension',
    usualEaseMm: -5,
    note: 'A little smaller than the head, so that the foam presses. Take it off when it presses on one spot, and at the first sign of a headache.',
  },
  ears: {
    words: 'Ears',
    usualEaseMm: 5,
    note: 'Loose enough to slide down until it rests on the tops of the ears. Pad where it rests, and leave the ear openings free.',
  },
  'cross-bar': {
    words: 'Cross bar',
    usualEaseMm: 15,
    note: 'Hangs on a bar across the top of the head, with room all round for air and hair. The bar carries the weight: make it wide, and pad it.',
  },
};

export const HOLDS: readonly Hold[] = ['tension', 'ears', 'cross-bar'];

/** The tightest ease for a head held by pressure, mm (below zero). */
export function tightestEaseMm(girthMm: number): number {
  return -Math.round(MOST_TENSION * girthMm);
}

/**
 * What to mind about an ease in mm, in sentences; none when there is nothing. The headache: ICHD-3 4.6.1, external-
 * compression headache, comes within an hour of sustained pressure and goes within an hour of its end.
 */
export function easeNotes(girthMm: number, easeMm: number, hold?: Hold): string[] {
  const notes: string[] = [];
  if (easeMm < 0)
    notes.push(
      'Ease below zero holds the piece on by pressure. A tight band can bring on a headache within the hour: take it off when it does, and add ease.',
    );
  const limitMm = tightestEaseMm(girthMm);
  if (easeMm < limitMm)
    notes.push(
      `That is tighter than foam should sit: ${easeMm.toFixed(0)} mm, where ${limitMm} mm (2 % of the girth) is the most. Add ease, or hang it on a cross bar.`,
    );
  if (easeMm >= 0 && hold === 'tension')
    notes.push('Without ease below zero nothing presses, so it will not hold on by tension alone.');
  if (easeMm <= 0 && (hold === 'ears' || hold === 'cross-bar'))
    notes.push(
      'Without ease above zero it presses on the head before it can rest on ears or bar. Give it some.',
    );
  return notes;
}
