import { girthSense } from './girth-sense.ts';
import { easeNotes, type Hold } from './holding.ts';
import { ASSUMED_NEUTRAL_K, type WrapNeed } from './wrap-length.ts';

/** Resizing further than this shows in faces, eyes and ornaments. */
const VISIBLE_STRETCH = 0.08;

/** What a maker should know of a fit, in sentences. */
export function fitNotes(need: WrapNeed, factor: number, hold?: Hold): string[] {
  const notes: string[] = [];
  const girth = girthSense(need.girthMm);
  if (girth.message) notes.push(girth.message);
  if (need.foam.doubtK === undefined && need.foam.neutralK === ASSUMED_NEUTRAL_K)
    notes.push(
      `The foam is taken to bend about its middle (K = 0.5): common practice, not measured for yours. A tenth more would make a closed band ${(0.1 * 2 * Math.PI * need.foam.thicknessMm).toFixed(1)} mm longer; a test strip tells.`,
    );
  notes.push(...easeNotes(need.girthMm, need.easeMm, hold));
  if (Math.abs(Math.log(factor)) > Math.log(1 + VISIBLE_STRETCH))
    notes.push(
      `This changes lengths by ${(100 * Math.abs(factor - 1)).toFixed(0)} %, which shows in eyes and ornaments. Check the coverage and the wrap line before accepting.`,
    );
  return notes;
}
