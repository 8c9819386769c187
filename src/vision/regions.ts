import { boundaryLoops } from './boundary-loops.ts';
import { type FaceOptions, openingsInFace } from './face-openings.ts';
import { components } from './mats.ts';
import type { Vision } from './opencv.ts';
import { fillPolygon, grown, type PixelPlace } from './polygon-mask.ts';
import type { Raster } from './raster.ts';
import { photoFromReduced, type ReducedPhoto, reducedFromPhoto, reducePhoto } from './reduce.ts';
import { type TableDifference, tableDifference } from './table-field.ts';
import { findZones } from './table-zones.ts';
import { choosePieces, DEEPEST_FLOOR } from './zone-choice.ts';
import { measureStrengths } from './zone-strengths.ts';

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

/** A piece as first proposed, good to a few photo pixels; edges run between pixels of the reduced photo. */
export interface Region {
  readonly outer: readonly PixelPlace[];
  readonly holes: readonly ProposedHole[];
  readonly areaPx: number;
  readonly touchesBorder: boolean;
  /** It runs into one of the shapes that were to be ignored. */
  readonly touchesIgnored: boolean;
  /** Mean colour in linear light. */
  readonly linearColor: readonly [number, number, number];
}

export interface Regions {
  readonly regions: readonly Region[];
  /** Photo pixels along one side of the reduced pixels that the edges follow. */
  readonly blockPx: number;
}

export interface RegionOptions {
  /** -1..1: above 0 fainter differences from the table count as a piece. */
  readonly bias: number;
  /** Smaller regions are dust, and smaller openings no holes; px of the photo. */
  readonly smallestAreaPx: number;
  readonly smallestHolePx: number;
  /** Corners of a sheet that the pieces lie on, photo px: it is their table, and nothing beyond it counts. */
  readonly groundPx?: readonly PixelPlace[];
  /** The pieces are thick: their openings are proposed by the face round them; lengths in px of the photo. */
  readonly face?: Omit<FaceOptions, 'smallestHolePx'>;
}

/** A card's paper is ignored with this margin round it, and the ring beyond, up to the second factor, shows the table. */
const CARD_MARGIN = 1.05;
const TABLE_RING = 1.3;
/** A sheet under the pieces counts to just inside its edges, and shows itself there, up to the second factor. */
const GROUND_MARGIN = 0.985;
const GROUND_BAND = 0.88;
/** So does a band along the photo's border, as a share of its longer side. */
const BORDER_BAND = 0.03;

/** An opening of which this share of the edge lies in another one is part of it. */
const COVERED_SHARE = 0.3;
/** Within this many spreads of the table's look, a pixel may be table. */
const TABLE_LIKE = 6;

interface Known {
  readonly masked: Uint8Array;
  readonly seeds: Uint8Array;
  /** The seeds round the cards, where hardly ever a piece lies; at the photo's border a long piece may run out. */
  readonly besideCards: Uint8Array;
}

/** Marks what lies beyond a sheet under the pieces, and the sheet's own margin as table. */
function markGround(
  { masked, seeds, besideCards }: Known,
  { width, height, block }: ReducedPhoto,
  sheet: readonly PixelPlace[],
): void {
  const reduced = sheet.map(({ u, v }) => ({ u: reducedFromPhoto(u, block), v: reducedFromPhoto(v, block) }));
  const inside = new Uint8Array(width * height);
  fillPolygon(inside, width, height, grown(reduced, GROUND_MARGIN), 1);
  const middle = new Uint8Array(width * height);
  fillPolygon(middle, width, height, grown(reduced, GROUND_BAND), 1);
  for (let at = 0; at < inside.length; at++) {
    if (!inside[at]) masked[at] = 1;
    seeds[at] = masked[at] || middle[at] ? 0 : 1;
    besideCards[at] = 0;
  }
}

/** Marks what is known beforehand: cards to ignore, and places that very likely show the table. */
function markKnown(photo: ReducedPhoto, cards: readonly (readonly PixelPlace[])[]): Known {
  const { width, height, block } = photo;
  const masked = new Uint8Array(width * height);
  const seeds = new Uint8Array(width * height);
  const band = Math.round(BORDER_BAND * Math.max(width, height));
  const reduced = cards.map((card) =>
    card.map(({ u, v }) => ({ u: reducedFromPhoto(u, block), v: reducedFromPhoto(v, block) })),
  );
  for (const card of reduced) fillPolygon(seeds, width, height, grown(card, TABLE_RING), 1);
  const besideCards = seeds.slice();
  for (let row = 0; row < height; row++) {
    if (row < band || row >= height - band) seeds.fill(1, row * width, (row + 1) * width);
    seeds.fill(1, row * width, row * width + band);
    seeds.fill(1, (row + 1) * width - band, (row + 1) * width);
  }
  for (const card of reduced) {
    fillPolygon(masked, width, height, grown(card, CARD_MARGIN), 1);
    fillPolygon(seeds, width, height, grown(card, CARD_MARGIN), 0);
    fillPolygon(besideCards, width, height, grown(card, CARD_MARGIN), 0);
  }
  return { masked, seeds, besideCards };
}

interface LabelFacts {
  readonly areaPx: number;
  readonly touchesBorder: boolean;
  readonly touchesIgnored: boolean;
  readonly linearColor: readonly [number, number, number];
}

/** Sums kept for each label: pixels, red, green, blue, pixels at the border, pixels beside ignored ones. */
const SUMS = 6;

/** Colour and neighbours of each labelled component. */
function describeLabels(
  photo: ReducedPhoto,
  labels: Int32Array,
  count: number,
  masked: Uint8Array,
): LabelFacts[] {
  const { width, height } = photo;
  const sums = new Float64Array(count * SUMS);
  for (let at = 0; at < labels.length; at++) {
    const k = labels[at]! * SUMS;
    if (k === 0) continue;
    sums[k]! += 1;
    sums[k + 1]! += photo.red[at]!;
    sums[k + 2]! += photo.green[at]!;
    sums[k + 3]! += photo.blue[at]!;
    const column = at % width;
    if (column === 0 || column === width - 1 || at < width || at >= (height - 1) * width) sums[k + 4]! += 1;
    else if (masked[at - 1] || masked[at + 1] || masked[at - width] || masked[at + width]) sums[k + 5]! += 1;
  }
  return Array.from({ length: count }, (_, label) => {
    const [pixels, red, green, blue, atBorder, besideIgnored] = sums.subarray(label * SUMS) as unknown as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    return {
      areaPx: pixels,
      touchesBorder: atBorder > 0,
      touchesIgnored: besideIgnored > 0,
      linearColor: [red / pixels, green / pixels, blue / pixels],
    };
  });
}

/** Marks what looks like the table, or like it in shadow. */
function markTableLike(table: TableDifference): Uint8Array {
  const { distance, shadowLike } = measureStrengths(table);
  return Uint8Array.from(distance, (value, at) =>
    value < TABLE_LIKE || (shadowLike[at] && table.light[at]! > DEEPEST_FLOOR) ? 1 : 0,
  );
}

/** Openings by the face, and those of the piece's own loops that none of them covers; photo px. */
function thickHoles(
  vision: Vision,
  reduced: ReducedPhoto,
  label: number,
  labels: Int32Array,
  outer: readonly PixelPlace[],
  holes: readonly (readonly PixelPlace[])[],
  tableLike: Uint8Array,
  options: FaceOptions,
): ProposedHole[] {
  const { width, height } = reduced;
  const filled = new Uint8Array(labels.length);
  fillPolygon(filled, width, height, outer, 1);
  const piece = Uint8Array.from(labels, (value) => (value === label ? 1 : 0));
  const openings = openingsInFace(vision, reduced, filled, piece, tableLike, options);
  const taken = new Set<readonly PixelPlace[]>();
  const proposed = openings.map(({ places, showsTable }): ProposedHole => {
    const covered = new Uint8Array(labels.length);
    fillPolygon(covered, width, height, places, 1);
    const instead = holes.filter((hole) => {
      const inside = hole.filter(({ u, v }) => covered[Math.round(v) * width + Math.round(u)]);
      return inside.length >= COVERED_SHARE * hole.length;
    });
    for (const hole of instead) taken.add(hole);
    return { places, showsTable, isTop: true, instead };
  });
  return [...proposed, ...holes.filter((hole) => !taken.has(hole)).map(plainHole)];
}

/** An opening as the table shows it. */
function plainHole(places: readonly PixelPlace[]): ProposedHole {
  return { places, isTop: false, showsTable: true, instead: [] };
}

/**
 * Proposes the pieces in a photo: everything on the table, or darker or lighter or of another hue than it, that is set
 * off by a sharp edge. `cards` are shapes to ignore (four corners each, photo px); the table is known from the ring
 * round them and from the photo's border.
 */
export function findRegions(
  vision: Vision,
  photo: Raster,
  cards: readonly (readonly PixelPlace[])[],
  options: RegionOptions,
): Regions {
  const reduced = reducePhoto(photo);
  const { width, height, block } = reduced;
  const blockArea = block * block;
  const known = markKnown(reduced, cards);
  if (options.groundPx) markGround(known, reduced, options.groundPx);
  const { masked, seeds, besideCards } = known;
  const table = tableDifference(vision, reduced, masked, seeds);
  const zones = findZones(vision, table, masked, { seeds, besideCards }, options.bias);
  const mask = choosePieces(zones, table, options.smallestAreaPx / blockArea, block);
  const { labels, count } = components(vision, mask, width, height);
  const facts = describeLabels(reduced, labels, count, masked);
  const loops = boundaryLoops(labels, width, height);
  const toPhoto = (places: readonly PixelPlace[]): PixelPlace[] =>
    places.map(({ u, v }) => ({ u: photoFromReduced(u, block), v: photoFromReduced(v, block) }));
  const tableLike = options.face ? markTableLike(table) : masked;
  const regions: Region[] = [];
  for (const { label, places, signedAreaPx } of loops) {
    if (signedAreaPx * blockArea < options.smallestAreaPx) continue;
    const fact = facts[label]!;
    const holes = loops.filter(
      (loop) => loop.label === label && -loop.signedAreaPx * blockArea >= options.smallestHolePx,
    );
    const seen = holes.map((hole) => hole.places);
    const proposed = options.face
      ? thickHoles(vision, reduced, label, labels, places, seen, tableLike, {
          reachPx: options.face.reachPx / block,
          thinPx: options.face.thinPx / block,
          wideEnoughPx: options.face.wideEnoughPx / block,
          smallestHolePx: options.smallestHolePx / blockArea,
        })
      : seen.map(plainHole);
    regions.push({
      outer: toPhoto(places),
      holes: proposed.map((hole) => ({
        ...hole,
        places: toPhoto(hole.places),
        instead: hole.instead.map(toPhoto),
      })),
      areaPx: fact.areaPx * blockArea,
      touchesBorder: fact.touchesBorder,
      touchesIgnored: fact.touchesIgnored,
      linearColor: fact.linearColor,
    });
  }
  return { regions, blockPx: block };
}
