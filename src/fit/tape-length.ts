/** Lengths as a maker's tape says them: in mm, or in inches with sixteenths. */
export type TapeUnit = 'mm' | 'in';

export const MM_PER_INCH = 25.4;

/** Tapes are divided into sixteenths of an inch. */
const DIVISIONS = 16;

/**
 * The length in mm that was meant by "573", "57.3 cm", "22 7/8", "22-7/8 in" or "22,6"; undefined when it is no length.
 * A unit that is written wins over the one that the tape has.
 */
export function readTape(text: string, unit: TapeUnit): number | undefined {
  const match =
    /^\s*(?:(\d+(?:[.,]\d+)?)(?!\d*\s*[/⁄]))?(?:[\s-]*(\d+)\s*[/⁄]\s*(\d+))?\s*(mm|cm|in|inch|inches|"|″|”)?\s*$/iu.exec(
      text,
    );
  if (!match) return undefined;
  const [, whole, over, under, written] = match;
  if (whole === undefined && over === undefined) return undefined;
  const value =
    (whole === undefined ? 0 : Number(whole.replace(',', '.'))) +
    (over === undefined ? 0 : Number(over) / Number(under));
  const perUnit = millimetresPer(written?.toLowerCase() ?? unit);
  const mm = value * perUnit;
  return Number.isFinite(mm) ? Math.round(mm * 100) / 100 : undefined;
}

function millimetresPer(unit: string): number {
  if (unit === 'mm') return 1;
  return unit === 'cm' ? 10 : MM_PER_INCH;
}

function greatestCommon(a: number, b: number): number {
  return b === 0 ? a : greatestCommon(b, a % b);
}

/** A length as it reads on the tape: "573", "573.2", or "22 9/16" to the nearest sixteenth of an inch. */
export function tapeWords(mm: number, unit: TapeUnit): string {
  if (unit === 'mm') return String(Math.round(mm * 10) / 10);
  const sixteenths = Math.round((mm / MM_PER_INCH) * DIVISIONS);
  const inches = Math.floor(sixteenths / DIVISIONS);
  const rest = sixteenths - DIVISIONS * inches;
  if (rest === 0) return `${inches}`;
  const common = greatestCommon(rest, DIVISIONS);
  const fraction = `${rest / common}/${DIVISIONS / common}`;
  return inches === 0 ? fraction : `${inches} ${fraction}`;
}
