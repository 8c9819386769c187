import { boundaryLoops } from './boundary-loops.ts';
import type { LogPhoto } from './log-photo.ts';
import { maskWhere } from './mask-where.ts';
import { components, depthInMask, erode, localMaxima } from './mats.ts';
import type { Vision } from './opencv.ts';
import type { PixelPlace } from './polygon-mask.ts';
import { quantile } from './quantile.ts';
import { type TableDifference, tableDifference } from './table-field.ts';

/** An opening as proposed, px of the box it was found in, the piece on the right hand (v down). */
export interface FaceOpening {
  readonly places: readonly PixelPlace[];
  readonly areaPx: number;
  /** The table shows in it; without, only its dark wall or shadow does, and it may be a mark on the face. */
  readonly showsTable: boolean;
}

export interface FaceOptions {
  /** How far wall and shadow may hide the table inside an opening, px. */
  readonly reachPx: number;
  /** Half the width up to which what is unlike the face is a line drawn on it, px. */
  readonly thinPx: number;
  /** Half the width from which an opening is believed in which no table shows, px. */
  readonly wideEnoughPx: number;
  readonly smallestHolePx: number;
}

/** Unlike the face is what differs from it by this many spreads of its own. */
const UNLIKE = 5;
/** Beside something unlike the face, what differs by less than this share of it is blur. */
const BLUR_SHARE = 0.3;
/** Between a wall darker than the face and table brighter than it runs a seam of the face's own light, half as wide as this, px. */
const SEAM_PX = 1.5;
/** Smaller groups of pixels unlike the face are noise or dust, px. */
const SPECK_PX = 16;
/** Spreads are never taken for less than this: light, redness, blueness, in logarithms. */
const LEAST_SPREADS = [0.02, 0.015, 0.015] as const;
/** Median deviation of a normal distribution over its sigma. */
const MEDIAN_DEVIATION = 0.6745;
/** The face is learnt this far from what is not the piece, px, and from every n-th pixel. */
const FACE_MARGIN_PX = 2;
const SPREAD_STEP = 5;
/** An opening of which this share lies further off from the table seen in it than wall and shadow reach is no opening. */
const BEYOND_SHARE = 0.03;
/** From this share of its area on, the table seen in an opening is no speck. */
const TABLE_SHARE = 0.08;
/** Seams are closed up to this far outside a piece: in a box with this margin all is as in the whole photo. */
export const BOX_MARGIN_PX = 3;
/** Without table, an opening's middle is darker than the face by this, log light: wall or table in the piece's shadow. */
const DARK = -0.35;

/** The pixels of a box that are n-th ones in the whole photo, counted row by row. */
function everyNth({ box, photoWidth }: LogPhoto, n: number): number[] {
  const places: number[] = [];
  for (let row = 0; row < box.height; row++) {
    const start = (box.top + row) * photoWidth + box.left;
    for (let column = (n - (start % n)) % n; column < box.width; column += n)
      places.push(row * box.width + column);
  }
  return places;
}

/** Marks what is unlike the face, in light or hue: up to where blur has brought it near the face's look. */
function unlikeFace(
  vision: Vision,
  face: TableDifference,
  seeds: Uint8Array,
  sampled: readonly number[],
): Uint8Array {
  const planes = [face.light, face.redness, face.blueness];
  const known = sampled.filter((at) => seeds[at]);
  const spreads = planes.map((plane, p) => {
    const misses = known.map((at) => Math.abs(plane[at]!));
    return Math.max(LEAST_SPREADS[p]!, quantile(misses, 0.5) / MEDIAN_DEVIATION);
  });
  const distance = new Float32Array(seeds.length);
  planes.forEach((plane, p) => {
    for (let at = 0; at < plane.length; at++) distance[at]! += (plane[at]! / spreads[p]!) ** 2;
  });
  for (let at = 0; at < distance.length; at++) distance[at] = Math.sqrt(distance[at]!);
  const most = localMaxima(vision, distance, face.width, face.height, 1);
  return maskWhere(seeds.length, (at) => distance[at]! > Math.max(UNLIKE, BLUR_SHARE * most[at]!));
}

/** Depth of each pixel in a mask of one size (`depthInMask`). */
type DepthOf = (mask: Uint8Array) => Float32Array;

/** Depth of what a mask leaves out: distance from the mask, px. */
const distanceFrom = (mask: Uint8Array, depthOf: DepthOf): Float32Array =>
  depthOf(maskWhere(mask.length, (at) => !mask[at]));

/** The mask's pixels (0/1), and all within `radius` of one. */
function widened(mask: Uint8Array, radius: number, depthOf: DepthOf): Uint8Array {
  const distance = distanceFrom(mask, depthOf);
  return maskWhere(mask.length, (at) => distance[at]! <= radius);
}

/** The mask's pixels further than `radius` from its edge. */
function narrowed(mask: Uint8Array, radius: number, depthOf: DepthOf): Uint8Array {
  const depth = depthOf(mask);
  return maskWhere(mask.length, (at) => depth[at]! > radius);
}

function withoutSpecks(vision: Vision, mask: Uint8Array, width: number, height: number): Uint8Array {
  const { labels, count } = components(vision, mask, width, height);
  const areas = new Int32Array(count);
  for (let at = 0; at < labels.length; at++) areas[labels[at]!]!++;
  return maskWhere(mask.length, (at) => labels[at]! > 0 && areas[labels[at]!]! >= SPECK_PX);
}

/** What is known of one connected group of pixels that are unlike the face. */
interface Group {
  area: number;
  table: number;
  beyond: number;
  depth: number;
  touchesOutside: boolean;
  readonly lights: number[];
}

function isOpening(group: Group, options: FaceOptions): boolean {
  if (group.area < options.smallestHolePx || group.touchesOutside) return false;
  if (showsTable(group)) return group.beyond < BEYOND_SHARE * group.area;
  return group.depth >= options.wideEnoughPx && quantile(group.lights, 0.5) < DARK;
}

function showsTable({ area, table }: Group): boolean {
  return table >= TABLE_SHARE * area;
}

/**
 * Proposes the openings of a thick piece by what is unlike its face: table, shadow and side wall together, so that the
 * edge is the face's own all round. `filled` is the piece with its openings (0/1), `piece` the piece as the difference
 * from the table shows it, `tableLike` what could be table or its shadow by its look: all three cover the box that
 * `photo` shows, the piece and BOX_MARGIN_PX round it, and so do the openings' places. The face's colour may change
 * slowly over the piece.
 */
export function openingsInFace(
  vision: Vision,
  photo: LogPhoto,
  filled: Uint8Array,
  piece: Uint8Array,
  tableLike: Uint8Array,
  options: FaceOptions,
): FaceOpening[] {
  const { width, height } = photo.box;
  const seeds = erode(vision, piece, width, height, FACE_MARGIN_PX);
  const outside = maskWhere(filled.length, (at) => !filled[at]);
  const face = tableDifference(photo, outside, seeds);
  const unlike = unlikeFace(vision, face, seeds, everyNth(photo, SPREAD_STEP));
  for (let at = 0; at < unlike.length; at++) unlike[at] = filled[at] && unlike[at] ? 1 : 0;
  const depthOf = (mask: Uint8Array) => depthInMask(vision, mask, width, height);
  const large = withoutSpecks(vision, unlike, width, height);
  const seamless = narrowed(widened(large, SEAM_PX, depthOf), SEAM_PX, depthOf);
  const broad = widened(narrowed(seamless, options.thinPx, depthOf), options.thinPx, depthOf);
  const open = maskWhere(filled.length, (at) => Boolean(filled[at] && (broad[at] || !piece[at])));
  const table = maskWhere(filled.length, (at) => Boolean(open[at] && (tableLike[at] || !piece[at])));
  const { labels, count } = components(vision, open, width, height);
  const fromTable = distanceFrom(table, depthOf);
  const depth = depthOf(open);
  const groups = Array.from(
    { length: count },
    (): Group => ({ area: 0, table: 0, beyond: 0, depth: 0, touchesOutside: false, lights: [] }),
  );
  for (let at = 0; at < labels.length; at++) {
    if (labels[at] === 0) continue;
    const group = groups[labels[at]!]!;
    group.area++;
    group.table += table[at]!;
    if (fromTable[at]! > options.reachPx) group.beyond++;
    group.depth = Math.max(group.depth, depth[at]!);
    group.lights.push(face.light[at]!);
    if (outside[at - 1] || outside[at + 1] || outside[at - width] || outside[at + width])
      group.touchesOutside = true;
  }
  return boundaryLoops(labels, width, height).flatMap(({ label, places, signedAreaPx }) => {
    const group = groups[label]!;
    if (signedAreaPx <= 0 || !isOpening(group, options)) return [];
    return [{ places: places.toReversed(), areaPx: signedAreaPx, showsTable: showsTable(group) }];
  });
}
