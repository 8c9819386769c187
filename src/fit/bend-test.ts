import { failure, type Outcome, success } from '../outcome.ts';

/** A strip of the foam bent round a tin, as read with a ruler and a tape, mm. */
export interface BendTest {
  /** Length of the strip lying flat. */
  readonly stripMm: number;
  /** Girth of the tin, or of a pan. */
  readonly drumMm: number;
  /** Between the strip's ends on the tin, along its face; below zero where they would lie over each other. */
  readonly gapMm: number;
  /** How closely each of them was read, one sigma. */
  readonly readingMm: number;
}

export interface MeasuredNeutral {
  /** Place of the neutral surface: 0 at the tin, 1 at the outside. */
  readonly neutralK: number;
  /** One sigma of it, from the readings. */
  readonly doubtK: number;
}

/** How closely a thickness of soft foam is read with a calliper, mm (common practice, no source). */
const THICKNESS_READING_MM = 0.2;
/** A gap or an overlap beyond this share of the way round is another strip for another tin. */
const LARGEST_GAP_SHARE = 0.5;
/** Readings may put K a little outside the foam; farther than this and one of them is wrong. */
const SLACK_K = 0.15;

/** K t, mm: how far the neutral surface lies from the tin. */
function neutralDepthMm({ stripMm, drumMm, gapMm }: BendTest): number {
  const turnRad = 2 * Math.PI * (1 - gapMm / drumMm);
  return stripMm / turnRad - drumMm / (2 * Math.PI);
}

/** Change of a function for a small change of one reading. */
function slope(of: (value: number) => number, at: number): number {
  const step = 1e-4;
  return (of(at + step) - of(at - step)) / (2 * step);
}

/**
 * Place of the neutral surface out of a test strip. Round a tin of girth D the strip turns through
 * 2 pi (1 - gap / D); its length stays that of the neutral surface, turn x (D / 2 pi + K t), so
 * K = (strip / turn - D / 2 pi) / t (the bend allowance of sheet-metal work, solved for K). The doubt comes from
 * the readings: each read to `readingMm`, the thickness to 0.2 mm, one standard deviation, added in squares.
 */
export function neutralFromBend(
  test: BendTest,
  thicknessMm: number,
): Outcome<MeasuredNeutral, 'unlike-a-strip' | 'outside-the-foam'> {
  const { stripMm, drumMm, gapMm, readingMm } = test;
  const isStrip = stripMm > 0 && drumMm > 0 && thicknessMm > 0 && readingMm > 0;
  if (!isStrip || !(Math.abs(gapMm) <= LARGEST_GAP_SHARE * drumMm))
    return failure(
      'unlike-a-strip',
      'The strip must go most of the way round the tin, so nothing can be told from this one. Cut a strip about as long as the tin is round, bend it round without pulling, and measure again.',
    );
  const neutralK = neutralDepthMm(test) / thicknessMm;
  if (!(neutralK >= -SLACK_K && neutralK <= 1 + SLACK_K))
    return failure(
      'outside-the-foam',
      `By these readings the length-keeping surface would lie outside the foam (K = ${neutralK.toFixed(2)}), so one of them must be off. Measure strip, tin and gap again; the gap counts where the ends touch the tin.`,
    );
  const slopes = [
    slope((v) => neutralDepthMm({ ...test, stripMm: v }), stripMm) * readingMm,
    slope((v) => neutralDepthMm({ ...test, drumMm: v }), drumMm) * readingMm,
    slope((v) => neutralDepthMm({ ...test, gapMm: v }), gapMm) * readingMm,
    neutralK * THICKNESS_READING_MM,
  ];
  return success({
    neutralK: Math.min(1, Math.max(0, neutralK)),
    doubtK: Math.hypot(...slopes) / thicknessMm,
  });
}
