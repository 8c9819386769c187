import { BOX_MARGIN_PX, type FaceOptions, openingsInFace } from './face-openings.ts';
import { cropLogarithms, cropPlane, type LogPhoto, type PixelBox } from './log-photo.ts';
import { maskWhere } from './mask-where.ts';
import type { Vision } from './opencv.ts';
import { fillPolygon, type PixelPlace } from './polygon-mask.ts';
import type { TableDifference } from './table-field.ts';
import { DEEPEST_FLOOR } from './zone-choice.ts';
import type { ZoneStrengths } from './zone-strengths.ts';

/** An opening as first proposed. */
export interface ProposedHole {
  readonly places: readonly PixelPlace[];
  /** It follows the edge of the piece's face all round, not what shows of the table. */
  readonly isTop: boolean;
  /** Table shows in it. */
  readonly showsTable: boolean;
  /** What shows of the table in it, each part by itself: in place of the face's edge where that was not it. */
  readonly instead: readonly (readonly PixelPlace[])[];
}

/** An opening of which this share of the edge lies in another one is part of it. */
const COVERED_SHARE = 0.3;
/** Within this many spreads of the table's look, a pixel may be table. */
const TABLE_LIKE = 6;

/** A reduced photo with all pieces in it labelled, and what looks like the table. */
interface LabelledPhoto {
  readonly logs: LogPhoto;
  readonly labels: Int32Array;
  readonly tableLike: Uint8Array;
}

/** An opening as the table shows it. */
export function plainHole(places: readonly PixelPlace[]): ProposedHole {
  return { places, isTop: false, showsTable: true, instead: [] };
}

/** Marks what looks like the table, or like it in shadow. */
export function markTableLike(
  { light }: TableDifference,
  { distance, shadowLike }: ZoneStrengths,
): Uint8Array {
  return maskWhere(
    light.length,
    (at) => distance[at]! < TABLE_LIKE || Boolean(shadowLike[at] && light[at]! > DEEPEST_FLOOR),
  );
}

/** The pixels that a boundary encloses, as a box with a margin, as far as the photo goes. */
function boxAround(
  places: readonly PixelPlace[],
  margin: number,
  { photoWidth, photoHeight }: LogPhoto,
): PixelBox {
  let [left, right, top, bottom] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const { u, v } of places) {
    left = Math.min(left, u);
    right = Math.max(right, u);
    top = Math.min(top, v);
    bottom = Math.max(bottom, v);
  }
  // A boundary runs along pixel sides, half a pixel off.
  left = Math.max(0, left + 0.5 - margin);
  top = Math.max(0, top + 0.5 - margin);
  const width = Math.min(photoWidth, right + 0.5 + margin) - left;
  return { left, top, width, height: Math.min(photoHeight, bottom + 0.5 + margin) - top };
}

function shifted(places: readonly PixelPlace[], byU: number, byV: number): PixelPlace[] {
  return places.map(({ u, v }) => ({ u: u + byU, v: v + byV }));
}

/** The pixels of a box that a boundary encloses: 1 there. */
function filledIn(box: PixelBox, places: readonly PixelPlace[]): Uint8Array {
  const filled = new Uint8Array(box.width * box.height);
  fillPolygon(filled, box.width, box.height, shifted(places, -box.left, -box.top), 1);
  return filled;
}

/**
 * The openings of a thick piece: by its face, and those of the piece's own loops (`holes`) that none of them covers.
 * Only the box about the piece is looked at. All in px of the reduced photo.
 */
export function thickHoles(
  vision: Vision,
  { logs, labels, tableLike }: LabelledPhoto,
  label: number,
  outer: readonly PixelPlace[],
  holes: readonly (readonly PixelPlace[])[],
  options: FaceOptions,
): ProposedHole[] {
  const box = boxAround(outer, BOX_MARGIN_PX, logs);
  const filled = filledIn(box, outer);
  const own = cropPlane(labels, logs.photoWidth, box);
  const piece = maskWhere(own.length, (at) => own[at] === label);
  const like = cropPlane(tableLike, logs.photoWidth, box);
  const openings = openingsInFace(vision, cropLogarithms(logs, box), filled, piece, like, options);
  const taken = new Set<readonly PixelPlace[]>();
  const proposed = openings.map((opening): ProposedHole => {
    const places = shifted(opening.places, box.left, box.top);
    const covered = filledIn(box, places);
    const instead = holes.filter((hole) => {
      const inside = shifted(hole, -box.left, -box.top).filter(
        ({ u, v }) => covered[Math.round(v) * box.width + Math.round(u)],
      );
      return inside.length >= COVERED_SHARE * hole.length;
    });
    for (const hole of instead) taken.add(hole);
    return { places, showsTable: opening.showsTable, isTop: true, instead };
  });
  return [...proposed, ...holes.filter((hole) => !taken.has(hole)).map(plainHole)];
}
