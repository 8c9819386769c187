/** Sizes of the things a photo can be measured by, other than our own scale cards; mm. */
import type { PlanePoint } from '../geometry/point.ts';
import type { SheetName } from './types.ts';

export interface ReferenceShape {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Height of its face over the table. */
  readonly faceHeightMm: number;
  /** Left out at the ends of each side: rounded or bent corners. */
  readonly cornerMm: number;
  /** One-sigma doubt of where a side lies, across it, with its ends moving together and one against the other. */
  readonly shiftDoubtMm: number;
  readonly turnDoubtMm: number;
  readonly bowDoubtMm: number;
  /** The same doubts once the wall of its edge and its shadow are reckoned with, for shapes thick enough to have them. */
  readonly shadowed?: Pick<ReferenceShape, 'shiftDoubtMm' | 'turnDoubtMm' | 'bowDoubtMm'>;
}

/**
 * ISO/IEC 7810 ID-1: 85.60 x 53.98 mm, corners rounded with a radius of 3.18 mm, 0.76 mm thick. An unused card's
 * edges lie within 85.47-85.72 x 53.92-54.03 mm (from memory), 0.036 and 0.016 mm for one side if that is used up evenly.
 * A side that was read without reckoning with wall and shadow lies farther off, and seems turned where print or a line on
 * the table changes along it; reckoned with, what is left is about as much as the card's own size leaves open (measured on
 * rendered photos: `tests/bench/references.ts`).
 */
export const BANK_CARD: ReferenceShape = {
  widthMm: 85.6,
  heightMm: 53.98,
  faceHeightMm: 0.76,
  cornerMm: 3.18 + 1.2,
  shiftDoubtMm: 0.105,
  turnDoubtMm: 0.035,
  bowDoubtMm: 0.025,
  shadowed: { shiftDoubtMm: 0.028, turnDoubtMm: 0.01, bowDoubtMm: 0.0175 },
};
/** What not knowing the light usually adds to a side's doubts, mm (measured on rendered photos). */
const USUAL_LIGHT = { shiftMm: 0.04, turnMm: 0.005 };

/** The doubts of a side that a shape to be laid down will most likely have. */
export function usualDoubts(
  shape: ReferenceShape,
): Pick<ReferenceShape, 'shiftDoubtMm' | 'turnDoubtMm' | 'bowDoubtMm'> {
  if (!shape.shadowed) return shape;
  return {
    shiftDoubtMm: Math.hypot(shape.shadowed.shiftDoubtMm, USUAL_LIGHT.shiftMm),
    turnDoubtMm: Math.hypot(shape.shadowed.turnDoubtMm, USUAL_LIGHT.turnMm),
    bowDoubtMm: shape.shadowed.bowDoubtMm,
  };
}
export const BANK_CARD_RADIUS_MM = 3.18;

/** ISO 216 (A4, A3); ANSI/ASME Y14.1 A (Letter), short side first. */
export const SHEET_SIZES: Readonly<Record<SheetName, readonly [number, number]>> = {
  A4: [210, 297],
  A3: [297, 420],
  Letter: [215.9, 279.4],
};

/** ISO 216 allows sides of 150 to 600 mm to be off by 2 mm; taken as even within that. */
const SHEET_SIZE_DOUBT_MM = 2 / Math.sqrt(3);
/** A sheet's side read with a ruler. */
const MEASURED_SHEET_DOUBT_MM = 0.3;
/** Edges of paper stand up a little, and are seen too far out by some of that (common practice, no source). */
const CURL_DOUBT_MM = 0.2;
/** Sheets are not quite square, and curled ones are seen neither square nor straight (common practice, no source). */
const SHEET_TURN_DOUBT_MM = 0.2;
const SHEET_BOW_DOUBT_MM = 0.2;
const PAPER_MM = 0.1;

/** A sheet lying long side across; sizes as the maker measured them where given. */
export function sheetShape(
  sheet: SheetName,
  measuredMm?: { readonly shortMm: number; readonly longMm: number },
): ReferenceShape {
  const [short, long] = SHEET_SIZES[sheet];
  const sizeDoubt = measuredMm ? MEASURED_SHEET_DOUBT_MM : SHEET_SIZE_DOUBT_MM;
  return {
    widthMm: measuredMm?.longMm ?? long,
    heightMm: measuredMm?.shortMm ?? short,
    faceHeightMm: PAPER_MM,
    cornerMm: 6,
    // A size is off at both of its sides.
    shiftDoubtMm: Math.hypot(sizeDoubt / Math.SQRT2, CURL_DOUBT_MM),
    turnDoubtMm: SHEET_TURN_DOUBT_MM,
    bowDoubtMm: SHEET_BOW_DOUBT_MM,
  };
}

/** Top left, top right, bottom right, bottom left about the middle. */
export function shapeCorners({ widthMm, heightMm }: ReferenceShape): readonly PlanePoint[] {
  const [x, y] = [widthMm / 2, heightMm / 2];
  return [
    { x: -x, y },
    { x, y },
    { x, y: -y },
    { x: -x, y: -y },
  ];
}
