/** What is wrong with the picture as a whole, in words for the maker. */
import type { ImagePoint } from '../geometry/point.ts';
import { type Camera, tiltRad } from './camera.ts';
import type { SeenCard } from './card-points.ts';
import type { FoundReference } from './found-reference.ts';
import type { CaptureOptions, CaptureWarning, CaptureWarningCode } from './types.ts';

const STEEPEST_RAD = (35 * Math.PI) / 180;
/** Edges more blurred than this, in px or in mm on the table, lose detail. */
const BLURRED_PX = 2.6;
const BLURRED_MM = 0.5;
/** Cards should span this share of the picture. */
const BUNCHED_SHARE = 0.1;

function warn(code: CaptureWarningCode, message: string): CaptureWarning {
  return { code, message };
}

/** Area of the convex hull, px2 (Andrew's monotone chain, 1979). */
function hullArea(points: readonly ImagePoint[]): number {
  const sorted = [...points].sort((a, b) => a.u - b.u || a.v - b.v);
  const half = (way: readonly ImagePoint[]): ImagePoint[] => {
    const chain: ImagePoint[] = [];
    for (const p of way) {
      while (chain.length > 1) {
        const [a, b] = [chain[chain.length - 2]!, chain[chain.length - 1]!];
        if ((b.u - a.u) * (p.v - a.v) - (b.v - a.v) * (p.u - a.u) > 0) break;
        chain.pop();
      }
      chain.push(p);
    }
    return chain.slice(0, -1);
  };
  const hull = [...half(sorted), ...half([...sorted].reverse())];
  return Math.abs(
    hull.reduce((sum, p, i) => {
      const q = hull[(i + 1) % hull.length]!;
      return sum + (p.u * q.v - q.u * p.v) / 2;
    }, 0),
  );
}

/** What each kind of reference asks for is said with it; here only what cards lack that stand alone. */
function spreadWarnings(
  cards: readonly SeenCard[],
  references: readonly FoundReference[],
  camera: Camera,
): readonly CaptureWarning[] {
  if (cards.length === 0) return [];
  if (cards.length + references.length === 1) {
    return [
      warn(
        'one-card',
        'Only one scale card could be used, so lengths away from it are unsure (the tolerance says how much). ' +
          'Lay four or more cards around the piece.',
      ),
    ];
  }
  const warnings: CaptureWarning[] = [];
  if (cards.length === 2 && references.length === 0) {
    warnings.push(
      warn(
        'two-cards',
        'Only two scale cards could be used: a card that is bent or lies on the piece would go unnoticed. ' +
          'Lay four or more cards around the piece.',
      ),
    );
  }
  const seen = [
    ...cards.flatMap(({ points }) => points.map((point) => point.seen)),
    ...references.flatMap(({ seenPx }) => seenPx),
  ];
  const area = hullArea(seen);
  if (area < BUNCHED_SHARE * camera.widthPx * camera.heightPx) {
    warnings.push(
      warn(
        'cards-bunched',
        'The scale cards lie close together or in one line, so lengths elsewhere in the photo are less sure. ' +
          'Spread them around the piece, on all sides of it.',
      ),
    );
  }
  return warnings;
}

function blurWarning(
  cards: readonly SeenCard[],
  references: readonly FoundReference[],
): CaptureWarning | undefined {
  const blurs = [
    ...cards.flatMap(({ blurPx, pxPerMm }) => (blurPx === undefined ? [] : [{ blurPx, pxPerMm }])),
    ...references.flatMap(({ sharpness }) => sharpness ?? []),
  ];
  const middle = [...blurs].sort((a, b) => a.blurPx - b.blurPx)[Math.floor(blurs.length / 2)];
  if (!middle || (middle.blurPx <= BLURRED_PX && middle.blurPx / middle.pxPerMm <= BLURRED_MM))
    return undefined;
  return warn(
    'blur',
    `The photo is blurred: edges are smeared over ${(2 * middle.blurPx).toFixed(0)} pixels (${((2 * middle.blurPx) / middle.pxPerMm).toFixed(1)} mm). ` +
      'Thin points and notches will come out rounded. Hold the phone still, tap to focus on the piece, and add light.',
  );
}

function focalWarning(options: CaptureOptions, isUnlikeExif: boolean): CaptureWarning | undefined {
  if (options.facts.focalLength35Mm === undefined) {
    return warn(
      'no-focal',
      "The photo's file does not say which lens took it, so the picture itself has to tell, less surely. " +
        "Use the phone's original photo, not a copy from a messaging app or a screenshot.",
    );
  }
  if (!isUnlikeExif) return undefined;
  return warn(
    'focal-unlike-exif',
    `The picture looks as if taken with another lens than its file says (${options.facts.focalLength35Mm} mm): it may be cropped or zoomed, ` +
      'or a card is not what it seems. Lengths may be off. Use the whole original photo, unzoomed.',
  );
}

/** Warnings about the picture as a whole; `cards` and `references` are those that the solve used. */
export function pictureWarnings(
  camera: Camera,
  cards: readonly SeenCard[],
  references: readonly FoundReference[],
  options: CaptureOptions,
  isFocalUnlikeExif: boolean,
): readonly CaptureWarning[] {
  const warnings = [...spreadWarnings(cards, references, camera)];
  const blur = blurWarning(cards, references);
  if (blur) warnings.push(blur);
  const tilt = tiltRad(camera);
  if (tilt > STEEPEST_RAD) {
    warnings.push(
      warn(
        'tilt',
        `The phone was tilted by ${((tilt * 180) / Math.PI).toFixed(0)}°, so the far side of the piece is small in the photo and measured less exactly. ` +
          'Hold the phone more squarely above the middle of the piece (under 35°).',
      ),
    );
  }
  const focal = focalWarning(options, isFocalUnlikeExif);
  if (focal) warnings.push(focal);
  if (cards.length > 0 && !options.printer && (options.tapes ?? []).length === 0) {
    warnings.push(
      warn(
        'print-scale-unmeasured',
        "The printer's scale has not been measured: printed with the same printer and settings the template still fits, " +
          'but its stated millimetres may be off by half a percent or more. Measure the two check bars on the card page and enter them.',
      ),
    );
  }
  return warnings;
}
