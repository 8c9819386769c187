import { floodByEdge } from './edge-flood.ts';
import { components, erode } from './mats.ts';
import type { Vision } from './opencv.ts';
import type { TableDifference } from './table-field.ts';
import { measureStrengths, planeQuantile, type ZoneStrengths } from './zone-strengths.ts';

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
  core: number;
  area: number;
  /** Core pixels among the seeds of the table. */
  seeds: number;
  /** Means over the core. */
  light: number;
  redness: number;
  blueness: number;
  distance: number;
  /** Share of the core that could be shadowed table. */
  shadowLike: number;
}

export interface Zones {
  /** Zone of each pixel, from TABLE up. */
  readonly labels: Int32Array;
  /** Indexed by label. */
  readonly zones: readonly Zone[];
  readonly edge: Float32Array;
}

function newZone(): Zone {
  return { core: 0, area: 0, seeds: 0, light: 0, redness: 0, blueness: 0, distance: 0, shadowLike: 0 };
}

/** Means over the labelled cores. */
function describeCores(
  labels: Int32Array,
  count: number,
  table: TableDifference,
  strengths: ZoneStrengths,
  seeds: Uint8Array,
): Zone[] {
  const zones = Array.from({ length: count }, newZone);
  for (let at = 0; at < labels.length; at++) {
    if (labels[at] === 0) continue;
    const zone = zones[labels[at]!]!;
    zone.core++;
    zone.seeds += seeds[at]!;
    zone.light += table.light[at]!;
    zone.redness += table.redness[at]!;
    zone.blueness += table.blueness[at]!;
    zone.distance += strengths.distance[at]!;
    zone.shadowLike += strengths.shadowLike[at]!;
  }
  for (const zone of zones) {
    const share = 1 / Math.max(1, zone.core);
    zone.light *= share;
    zone.redness *= share;
    zone.blueness *= share;
    zone.distance *= share;
    zone.shadowLike *= share;
  }
  return zones;
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

/**
 * Cuts the picture into the table and zones that may be pieces: flat cores are labelled, and the flood carries the
 * labels to the sharpest edge between them. `bias` -1..1 lowers (above 0) or raises the difference that counts.
 */
export function findZones(
  vision: Vision,
  table: TableDifference,
  masked: Uint8Array,
  seeds: Uint8Array,
  bias: number,
): Zones {
  const strengths = measureStrengths(table);
  const { distance, edge } = strengths;
  const threshold =
    Math.max(LEAST_DIFFERENCE, 1.25 * planeQuantile(distance, 0.99, seeds)) * 2 ** (-2 * bias);
  const calmEdge = Math.max(0.6, 2 * planeQuantile(edge, 0.95, seeds));
  const cores = labelCores(vision, table, strengths, masked, threshold, calmEdge);
  const { labels } = cores;
  const zones = describeCores(labels, cores.count, table, strengths, seeds);
  const allSeeds = zones.reduce((sum, zone) => sum + zone.seeds, 0);
  const isTable = zones.map(
    (zone, label) => zone.distance < threshold || (label < cores.firstOther && zone.seeds > 0.2 * allSeeds),
  );
  const sure = surelyTable(vision, strengths, masked, table, 0.6 * threshold);
  for (let at = 0; at < labels.length; at++) {
    const label = labels[at]!;
    if (masked[at] || sure[at] || (label !== 0 && isTable[label])) labels[at] = TABLE;
    else if (label !== 0 && zones[label]!.core < SMALLEST_CORE_PX) labels[at] = 0;
  }
  floodByEdge(labels, edge, table.width, table.height, planeQuantile(edge, 0.999) + 1e-6);
  for (let at = 0; at < labels.length; at++) zones[labels[at]!]!.area++;
  return { labels, zones, edge };
}
