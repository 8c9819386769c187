/** Hat sizes of a head girth. Bands vary by maker; sizes follow the girth alone. */
export interface HatSize {
  /** Girth in inches over pi, to the nearest eighth, e.g. "7 1/4". */
  readonly us: string;
  /** One eighth less than the US size. */
  readonly uk: string;
  /** Girth in whole centimetres. */
  readonly euCm: number;
  /** Letter band of that many centimetres; undefined outside the bands. Makers differ, so never show it without the girth. */
  readonly band: string | undefined;
}

/** Bands of two centimetres from 51 cm on (encyclopaedia table, FACTS section 2.7). */
const BANDS = ['XXS', 'XS', 'S', 'M', 'L', 'XL', 'XXL'];
const FIRST_BAND_CM = 51;

const MM_PER_INCH = 25.4;

function inEighths(eighths: number): string {
  const whole = Math.floor(eighths / 8);
  const rest = eighths - 8 * whole;
  if (rest === 0) return `${whole}`;
  const divisor = rest % 4 === 0 ? 4 : rest % 2 === 0 ? 2 : 1;
  return `${whole} ${rest / divisor}/${8 / divisor}`;
}

/**
 * Hat sizes for a head girth in mm. US: girth in inches / pi to the nearest 1/8; UK: 1/8 less; EU: cm
 * (published hat-size tables, FACTS section 2.7).
 */
export function hatSizeOf(girthMm: number): HatSize {
  const eighths = Math.round((8 * girthMm) / MM_PER_INCH / Math.PI);
  const euCm = Math.round(girthMm / 10);
  const band = BANDS[Math.floor((euCm - FIRST_BAND_CM) / 2)];
  return { us: inEighths(eighths), uk: inEighths(eighths - 1), euCm, band };
}
