import { boundaryLoops } from './boundary-loops.ts';
import type { FaceOptions } from './face-openings.ts';
import { logarithms } from './log-photo.ts';
import { components } from './mats.ts';
import type { Vision } from './opencv.ts';
import { fillPolygon, grown, type PixelPlace } from './polygon-mask.ts';
import type { Raster } from './raster.ts';
import { photoFromReduced, type ReducedPhoto, reducedFromPhoto, reducePhoto } from './reduce.ts';
import { tableDifference } from './table-field.ts';
import { findZones } from './table-zones.ts';
import { markTableLike, plainHole, type ProposedHole, thickHoles } from './thick-holes.ts';
import { choosePieces } from './zone-choice.ts';
import { measureStrengths } from './zone-strengths.ts';

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
  /** More shapes to ignore, photo px, which something may lie over: the table need not show round them. */
  readonly halfHiddenPx?: readonly (readonly PixelPlace[])[];
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

/** Marks what is known beforehand: cards to ignore, whole or half hidden, and places that very likely show the table. */
function markKnown(
  photo: ReducedPhoto,
  cards: readonly (readonly PixelPlace[])[],
  halfHidden: readonly (readonly PixelPlace[])[],
): Known {
  const { width, height, block } = photo;
  const masked = new Uint8Array(width * height);
  const seeds = new Uint8Array(width * height);
  const band = Math.round(BORDER_BAND * Math.max(width, height));
  const inReduced = (card: readonly PixelPlace[]) =>
    card.map(({ u, v }) => ({ u: reducedFromPhoto(u, block), v: reducedFromPhoto(v, block) }));
  const reduced = cards.map(inReduced);
  for (const card of reduced) fillPolygon(seeds, width, height, grown(card, TABLE_RING), 1);
  const besideCards = seeds.slice();
  for (let row = 0; row < height; row++) {
    if (row < band || row >= height - band) seeds.fill(1, row * width, (row + 1) * width);
    seeds.fill(1, row * width, row * width + band);
    seeds.fill(1, (row + 1) * width - band, (row + 1) * width);
  }
  for (const card of [...reduced, ...halfHidden.map(inReduced)]) {
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
  const known = markKnown(reduced, cards, options.halfHiddenPx ?? []);
  if (options.groundPx) markGround(known, reduced, options.groundPx);
  const { masked, seeds, besideCards } = known;
  const logs = logarithms(vision, reduced);
  const table = tableDifference(logs, masked, seeds);
  const strengths = measureStrengths(table);
  const zones = findZones(vision, table, strengths, masked, { seeds, besideCards }, options.bias);
  const mask = choosePieces(zones, table, options.smallestAreaPx / blockArea, block);
  const { labels, count } = components(vision, mask, width, height);
  const facts = describeLabels(reduced, labels, count, masked);
  const loops = boundaryLoops(labels, width, height);
  const toPhoto = (places: readonly PixelPlace[]): PixelPlace[] =>
    places.map(({ u, v }) => ({ u: photoFromReduced(u, block), v: photoFromReduced(v, block) }));
  const seen = { logs, labels, tableLike: options.face ? markTableLike(table, strengths) : masked };
  const regions: Region[] = [];
  for (const { label, places, signedAreaPx } of loops) {
    if (signedAreaPx * blockArea < options.smallestAreaPx) continue;
    const fact = facts[label]!;
    const holes = loops
      .filter((loop) => loop.label === label && -loop.signedAreaPx * blockArea >= options.smallestHolePx)
      .map((hole) => hole.places);
    const proposed = options.face
      ? thickHoles(vision, seen, label, places, holes, {
          reachPx: options.face.reachPx / block,
          thinPx: options.face.thinPx / block,
          wideEnoughPx: options.face.wideEnoughPx / block,
          smallestHolePx: options.smallestHolePx / blockArea,
        })
      : holes.map(plainHole);
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
