import { floodByEdge } from './edge-flood.ts';
import { components, erode } from './mats.ts';
import type { Vision } from './opencv.ts';
import type { TableDifference } from './table-field.ts';
import { planeQuantile, type ZoneStrengths } from './zone-strengths.ts';

/** Label of the table; other zones count up from here. */
export const TABLE = 1;
/** A difference below this many spreads is table whatever the photo says. */
const LEAST_DIFFERENCE = 3.5;
/** Within this share of a pixel's difference from the table, change is shading: noise in the dark, soft shadow, bends. */
const SHADING = 0.1;
/** Flat cores smaller than this are no markers of their own, px. */
const SMALLEST_CORE_PX = 12;

/** A part of the picture that changes only softly inside and is set off by sharp edges. */
export interface Zone {
  /** Pixels of its flat core, and of the whole after the flood. */
  readonly core: number;
  readonly area: number;
  /** Core pixels among the seeds of the table. */
  readonly seeds: number;
  /** Means over the core. */
  readonly light: number;
  readonly redness: number;
  readonly blueness: number;
  readonly distance: number;
  /** Share of the core that could be shadowed table. */
  readonly shadowLike: number;
}

export interface Zones {
  /** Zone of each pixel, from TABLE up. */
  readonly labels: Int32Array;
  /** Indexed by label. */
  readonly zones: readonly Zone[];
  readonly edge: Float32Array;
}

/** Sums kept for each zone while pixels are counted: core, seeds, light, redness, blueness, distance, shadow-like. */
const SUMS = 7;

/** Means over the labelled cores. */
function describeCores(
  labels: Int32Array,
  count: number,
  table: TableDifference,
  strengths: ZoneStrengths,
  seeds: Uint8Array,
): Zone[] {
  const sums = new Float64Array(count * SUMS);
  for (let at = 0; at < labels.length; at++) {
    const k = labels[at]! * SUMS;
    if (k === 0) continue;
    sums[k]! += 1;
    sums[k + 1]! += seeds[at]!;
    sums[k + 2]! += table.light[at]!;
    sums[k + 3]! += table.redness[at]!;
    sums[k + 4]! += table.blueness[at]!;
    sums[k + 5]! += strengths.distance[at]!;
    sums[k + 6]! += strengths.shadowLike[at]!;
  }
  return Array.from({ length: count }, (_, label) => {
    const k = label * SUMS;
    const core = sums[k]!;
    const mean = (which: number): number => sums[k + which]! / Math.max(1, core);
    return {
      core,
      area: 0,
      seeds: sums[k + 1]!,
      light: mean(2),
      redness: mean(3),
      blueness: mean(4),
      distance: mean(5),
      shadowLike: mean(6),
    };
  });
}

/** Labels the flat cores: those that may be table or its shadow, and those that cannot, never joined to each other. */
function labelCores(
  vision: Vision,
  table: TableDifference,
  strengths: ZoneStrengths,
  masked: Uint8Array,
  threshold: number,
  calmEdge: number,
): { readonly labels: Int32Array; readonly count: number; readonly firstOther: number } {
  const { width, height } = table;
  const { distance, edge, shadowLike } = strengths;
  const calm = new Uint8Array(edge.length);
  for (let at = 0; at < calm.length; at++) {
    calm[at] = edge[at]! < Math.max(calmEdge, SHADING * distance[at]!) ? 1 : 0;
  }
  const core = erode(vision, calm, width, height, 1);
  const near = new Uint8Array(edge.length);
  for (let at = 0; at < core.length; at++) {
    if (!core[at]) continue;
    if (!masked[at] && distance[at]! > threshold && !shadowLike[at]) continue;
    near[at] = 1;
    core[at] = 0;
  }
  const nears = components(vision, near, width, height);
  const others = components(vision, core, width, height);
  const firstOther = TABLE + nears.count;
  const labels = new Int32Array(edge.length);
  for (let at = 0; at < labels.length; at++) {
    if (nears.labels[at]! > 0) labels[at] = TABLE + nears.labels[at]!;
    else if (others.labels[at]! > 0) labels[at] = firstOther - 1 + others.labels[at]!;
  }
  return { labels, count: firstOther + others.count, firstOther };
}

/** Pixels so close to the table's look that they are table even where the picture is busy; thin ones are not. */
function surelyTable(
  vision: Vision,
  strengths: ZoneStrengths,
  masked: Uint8Array,
  table: TableDifference,
  limit: number,
): Uint8Array {
  const close = new Uint8Array(masked.length);
  for (let at = 0; at < close.length; at++) {
    close[at] = masked[at] || strengths.distance[at]! < limit ? 1 : 0;
  }
  return erode(vision, close, table.width, table.height, 1);
}

/** Places that very likely show the table: all of them, and those round the cards alone. */
export interface TableSeeds {
  readonly seeds: Uint8Array;
  readonly besideCards: Uint8Array;
}

/** The table at the border may look this many times more varied than round the cards; beyond, a piece runs out of the photo. */
const BORDER_VARIETY = 2;

/** How far the table itself strays from its expected look. */
function tableVariety(distance: Float32Array, { seeds, besideCards }: TableSeeds): number {
  const everywhere = planeQuantile(distance, 0.99, seeds);
  const beside = planeQuantile(distance, 0.99, besideCards);
  return beside > 0 ? Math.min(everywhere, BORDER_VARIETY * beside) : everywhere;
}

/**
 * Cuts the picture into the table and zones that may be pieces: flat cores are labelled, and the flood carries the
 * labels to the sharpest edge between them. `bias` -1..1 lowers (above 0) or raises the difference that counts.
 */
export function findZones(
  vision: Vision,
  table: TableDifference,
  strengths: ZoneStrengths,
  masked: Uint8Array,
  tableSeeds: TableSeeds,
  bias: number,
): Zones {
  const { seeds } = tableSeeds;
  const { distance, edge } = strengths;
  const threshold = Math.max(LEAST_DIFFERENCE, 1.25 * tableVariety(distance, tableSeeds)) * 2 ** (-2 * bias);
  const calmEdge = Math.max(0.6, 2 * planeQuantile(edge, 0.95, seeds));
  const cores = labelCores(vision, table, strengths, masked, threshold, calmEdge);
  const { labels } = cores;
  const zones = describeCores(labels, cores.count, table, strengths, seeds);
  const allSeeds = zones.reduce((sum, zone) => sum + zone.seeds, 0);
  // What the label of a core becomes: the table, nothing (to be flooded) when it is a speck, or itself.
  const becomes = Int32Array.from(zones, (zone, label) => {
    if (label === 0) return 0;
    if (zone.distance < threshold || (label < cores.firstOther && zone.seeds > 0.2 * allSeeds)) return TABLE;
    return zone.core < SMALLEST_CORE_PX ? 0 : label;
  });
  const sure = surelyTable(vision, strengths, masked, table, 0.6 * threshold);
  for (let at = 0; at < labels.length; at++) {
    labels[at] = masked[at] || sure[at] ? TABLE : becomes[labels[at]!]!;
  }
  floodByEdge(labels, edge, table.width, table.height, planeQuantile(edge, 0.999) + 1e-6);
  const areas = new Int32Array(zones.length);
  for (let at = 0; at < labels.length; at++) areas[labels[at]!]!++;
  return { labels, zones: zones.map((zone, label) => ({ ...zone, area: areas[label]! })), edge };
}
