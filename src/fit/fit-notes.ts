import { girthSense } from './girth-sense.ts';
import { ASSUMED_NEUTRAL_K, type WrapNeed } from './wrap-length.ts';

/** Resizing further than this shows in faces, eyes and ornaments. */
const VISIBLE_STRETCH = 0.08;

/**
 * What a maker should know of a fit, in sentences. The headache caution follows ICHD-3 4.6.1 (external-compression
 * headache: sets in within an hour of tight headgear, goes within an hour of taking it off).
 */
export function fitNotes(need: WrapNeed, factor: number): string[] {
  const notes: string[] = [];
  const girth = girthSense(need.girthMm);
  if (girth.message) notes.push(girth.message);
  if (need.foam.neutralK === ASSUMED_NEUTRAL_K)
    notes.push(
      'The foam is taken to bend about its middle (K = 0.5): common practice, not measured for yours. A test strip tells.',
    );
  if (need.easeMm < 0)
    notes.push(
      'Ease below zero holds the piece on by pressure. A tight band can bring on a headache within the hour: take it off when it does, and add ease.',
    );
  if (Math.abs(Math.log(factor)) > Math.log(1 + VISIBLE_STRETCH))
    notes.push(
      `This changes lengths by ${(100 * Math.abs(factor - 1)).toFixed(0)} %, which shows in eyes and ornaments. Check the coverage and the wrap line before accepting.`,
    );
  return notes;
}
