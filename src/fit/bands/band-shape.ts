import { failure, type Outcome, success } from '../../outcome.ts';

/** What a joining band has to reach: two edges and the width between them, mm, on the middle of the foam. */
export interface BandNeed {
  readonly aMm: number;
  readonly bMm: number;
  /** Measured on the band itself, from edge to edge. */
  readonly widthMm: number;
}

/** A band laid flat: a straight strip, or a part of a ring. */
export type BandShape =
  | {
      readonly kind: 'straight';
      readonly lengthMm: number;
      readonly widthMm: number;
      /** Which edge would be the shorter one; `neither` where they are equal. */
      readonly shorter: ShorterEdge;
      /** What straightening leaves unequal, mm. */
      readonly leftOverMm: number;
    }
  | {
      readonly kind: 'curved';
      readonly outerRadiusMm: number;
      readonly innerRadiusMm: number;
      readonly angleRad: number;
      readonly widthMm: number;
      readonly shorter: 'a' | 'b';
    };

export type BandErrorCode = 'bad-band' | 'too-conical';

type ShorterEdge = 'a' | 'b' | 'neither';

/** A ring that rises less than this is cut as a strip: closer than foam is cut by hand (common practice, no source). */
const STRAIGHT_RISE_MM = 0.25;
/** A flat ring that closes on itself is a disc, not a band. */
const FULL_TURN_RAD = 2 * Math.PI;

const LIMITS = { edgeMm: [10, 5000], widthMm: [2, 1000] } as const;

/**
 * The flat shape of a band whose edges are as long as the two edges it joins: the developed frustum of a cone, sector
 * radius R = longer width / (longer - shorter), angle = (longer - shorter) / width (published formulas, FACTS section
 * 4, with girths in place of radii). A nearly cylindrical one is a straight strip of the mean length.
 */
export function bandShape({ aMm, bMm, widthMm }: BandNeed): Outcome<BandShape, BandErrorCode> {
  const isWithin = (value: number, [low, high]: readonly [number, number]) => value >= low && value <= high;
  if (![aMm, bMm].every((mm) => isWithin(mm, LIMITS.edgeMm)) || !isWithin(widthMm, LIMITS.widthMm))
    return failure(
      'bad-band',
      'A band needs two edges of 10 to 5000 mm and a width of 2 to 1000 mm. Check the lengths before cutting foam.',
    );
  const [longMm, shortMm] = [Math.max(aMm, bMm), Math.min(aMm, bMm)];
  const differenceMm = longMm - shortMm;
  const angleRad = differenceMm / widthMm;
  if (angleRad >= FULL_TURN_RAD * 0.98)
    return failure(
      'too-conical',
      `Edges of ${aMm.toFixed(1)} and ${bMm.toFixed(1)} mm cannot be joined by a band ${widthMm.toFixed(1)} mm wide: laid flat it would close into a ring. Make the band wider, or join the edges directly.`,
    );
  const shorter = aMm === bMm ? 'neither' : aMm < bMm ? 'a' : 'b';
  const meanMm = (longMm + shortMm) / 2;
  // Rise of the longer arc, R (1 - cos(angle / 2)), is about longer x angle / 8 while it is small.
  if (shorter === 'neither' || (longMm * angleRad) / 8 < STRAIGHT_RISE_MM)
    return success({ kind: 'straight', lengthMm: meanMm, widthMm, shorter, leftOverMm: differenceMm });
  const outerRadiusMm = longMm / angleRad;
  return success({
    kind: 'curved',
    outerRadiusMm,
    innerRadiusMm: outerRadiusMm - widthMm,
    angleRad,
    widthMm,
    shorter,
  });
}

/** The width on the band (its slant) of a frustum whose edges lie `heightMm` apart upright and turn once round, mm. */
export function slantMm(aMm: number, bMm: number, heightMm: number): number {
  return Math.hypot(heightMm, (aMm - bMm) / FULL_TURN_RAD);
}
