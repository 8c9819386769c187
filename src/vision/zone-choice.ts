import type { TableDifference } from './table-field.ts';
import { TABLE, type Zone, type Zones } from './table-zones.ts';

/** Below this share of the step per pixel, an edge is a fade: shadow, glare or falling light. A sharp one has 0.5. */
const FADE = 0.2;
/** A hole's floor in the piece's own shadow keeps at least exp(-0.9) = 0.4 of the table's light. */
const DEEPEST_FLOOR = -0.9;
/** A shadow lies along at least this share of its own outline against what casts it. */
const LEAST_CONTACT = 0.15;

/** Where two zones meet: `length` in pixel sides, `strength` the mean edge strength there. */
interface Meeting {
  readonly other: number;
  length: number;
  strength: number;
}

/** For every zone, whom it meets. */
function meetings({ labels, zones, edge }: Zones, width: number): readonly ReadonlyMap<number, Meeting>[] {
  const found = zones.map(() => new Map<number, Meeting>());
  const note = (from: number, to: number, strength: number): void => {
    const meeting = found[from]!.get(to);
    if (!meeting) found[from]!.set(to, { other: to, length: 1, strength });
    else {
      meeting.length++;
      meeting.strength += strength;
    }
  };
  const meet = (at: number, next: number): void => {
    const strength = Math.max(edge[at]!, edge[next]!);
    note(labels[at]!, labels[next]!, strength);
    note(labels[next]!, labels[at]!, strength);
  };
  for (let at = 0; at < labels.length; at++) {
    const label = labels[at]!;
    if (at + width < labels.length && labels[at + width] !== label) meet(at, at + width);
    if (labels[at + 1] !== label && (at + 1) % width !== 0) meet(at, at + 1);
  }
  for (const map of found) for (const meeting of map.values()) meeting.strength /= meeting.length;
  return found;
}

/** Difference of two zones' colours in units of the table's spread. */
function stepBetween(a: Zone, b: Zone, table: TableDifference): number {
  return Math.hypot(
    (a.light - b.light) / table.lightScale,
    (a.redness - b.redness) / table.rednessScale,
    (a.blueness - b.blueness) / table.bluenessScale,
  );
}

function perimeterOf(met: ReadonlyMap<number, Meeting>): number {
  let length = 0;
  for (const meeting of met.values()) length += meeting.length;
  return length;
}

/** A zone that fades into the table is shadow or glare. */
function fades(zone: Zone, met: ReadonlyMap<number, Meeting>, bare: Zone, table: TableDifference): boolean {
  const edge = met.get(TABLE);
  return edge !== undefined && edge.strength < FADE * stepBetween(zone, bare, table);
}

/** A crisp shadow: could be shadowed table, and lies along something that is darker still or of another hue. */
function isCastShadow(zone: Zone, met: ReadonlyMap<number, Meeting>, zones: readonly Zone[]): boolean {
  if (zone.shadowLike < 0.8 || !met.has(TABLE)) return false;
  const perimeter = perimeterOf(met);
  for (const { other, length } of met.values()) {
    const caster = zones[other]!;
    if (other === TABLE || length < LEAST_CONTACT * perimeter || caster.area < zone.area) continue;
    if (caster.shadowLike < 0.5 || zone.light > 0.5 * caster.light) return true;
  }
  return false;
}

/** The floor of a hole in a thick piece: shut in, and like the table in shadow rather than like the piece. */
function isHoleFloor(zone: Zone, met: ReadonlyMap<number, Meeting>, zones: readonly Zone[]): boolean {
  if (met.has(TABLE) || zone.shadowLike < 0.8 || zone.light < DEEPEST_FLOOR) return false;
  for (const { other } of met.values()) {
    const around = zones[other]!;
    if (around.area > zone.area && Math.abs(around.light) > 2 * Math.abs(zone.light)) return true;
  }
  return false;
}

/** 1 where a piece lies, 0 on the table, in shadow, in holes and in zones under `smallestAreaPx`. */
export function choosePieces(found: Zones, table: TableDifference, smallestAreaPx: number): Uint8Array {
  const met = meetings(found, table.width);
  const bare = { ...found.zones[TABLE]!, light: 0, redness: 0, blueness: 0 };
  const isPiece = found.zones.map((zone, label) => {
    if (label <= TABLE || zone.area === 0) return 0;
    const own = met[label]!;
    // A speck inside a piece belongs to it; a speck in the table is texture.
    if (zone.area < smallestAreaPx && own.has(TABLE)) return 0;
    if (fades(zone, own, bare, table) || isCastShadow(zone, own, found.zones)) return 0;
    return isHoleFloor(zone, own, found.zones) ? 0 : 1;
  });
  const mask = new Uint8Array(found.labels.length);
  for (let at = 0; at < mask.length; at++) mask[at] = isPiece[found.labels[at]!]!;
  return mask;
}
