import type { TableDifference } from './table-field.ts';
import { TABLE, type Zone, type Zones } from './table-zones.ts';

/** Below this share of the step per pixel, an edge is a fade: shadow, glare or falling light. A sharp one has 0.5. */
const FADE = 0.2;
/** Where pixels are the photo's own, the lens draws a sharp edge over several of them: 0.18 and more. */
const FADE_UNREDUCED = 0.15;
/** A hole's floor in the piece's own shadow keeps at least exp(-0.9) = 0.4 of the table's light. */
export const DEEPEST_FLOOR = -0.9;
/** A shadow lies along at least this share of its own outline against what casts it. */
const LEAST_CONTACT = 0.15;

/** Two zones are one piece's where their difference is below this share of that from the table. */
const SAME_PIECE = 0.25;

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

/** Everything that the judgement of a zone looks at. */
interface Judged {
  readonly zones: readonly Zone[];
  readonly met: readonly ReadonlyMap<number, Meeting>[];
  readonly table: TableDifference;
  /** 1 for zones that are known to be table: bare, in shadow, or the floor of a hole. */
  readonly isTable: Uint8Array;
  /** An edge below this share of its step per pixel is a fade. */
  readonly fade: number;
}

/** A zone that fades into the table is shadow or glare. */
function fades(label: number, { zones, met, table, isTable, fade }: Judged): boolean {
  let [length, strength, step] = [0, 0, 0];
  for (const meeting of met[label]!.values()) {
    if (!isTable[meeting.other]) continue;
    length += meeting.length;
    strength += meeting.length * meeting.strength;
    step += meeting.length * stepBetween(zones[label]!, zones[meeting.other]!, table);
  }
  return length > 0 && strength < fade * step;
}

/** A crisp shadow: could be shadowed table, and lies along something that is darker still or of another hue. */
function isCastShadow(label: number, { zones, met, isTable }: Judged): boolean {
  const zone = zones[label]!;
  const own = [...met[label]!.values()];
  if (zone.shadowLike < 0.8 || !own.some(({ other }) => isTable[other])) return false;
  const perimeter = perimeterOf(met[label]!);
  return own.some(({ other, length }) => {
    const caster = zones[other]!;
    if (isTable[other] || length < LEAST_CONTACT * perimeter || caster.area < zone.area) return false;
    return caster.shadowLike < 0.5 || zone.light > 0.5 * caster.light;
  });
}

/** The floor of a hole in a thick piece: shut in, and like the table in shadow rather than like the piece. */
function isHoleFloor(label: number, { zones, met, isTable }: Judged): boolean {
  const zone = zones[label]!;
  if (zone.shadowLike < 0.8 || zone.light < DEEPEST_FLOOR) return false;
  return [...met[label]!.values()].some(({ other }) => {
    const around = zones[other]!;
    return !isTable[other] && around.area > zone.area && Math.abs(around.light) > 2 * Math.abs(zone.light);
  });
}

/**
 * A small zone that is far more like a larger one beside it than like the table is a part of that: the noise of a black
 * face cuts such zones out of it.
 */
function isPartOfPiece(label: number, { zones, met, table, isTable }: Judged): boolean {
  const zone = zones[label]!;
  const fromTable = stepBetween(zone, zones[TABLE]!, table);
  return [...met[label]!.keys()].some(
    (other) =>
      !isTable[other] &&
      zones[other]!.area > zone.area &&
      stepBetween(zone, zones[other]!, table) < SAME_PIECE * fromTable,
  );
}

/** Rounds in which shadow is followed from the table into pockets of deeper shadow. */
const ROUNDS = 4;

/**
 * 1 where a piece lies, 0 on the table, in shadow, in holes and in zones under `smallestAreaPx`. A pixel here is
 * `blockPx` of the photo wide.
 */
export function choosePieces(
  found: Zones,
  table: TableDifference,
  smallestAreaPx: number,
  blockPx: number,
): Uint8Array {
  const { labels } = found;
  // The table's own zone has no core of its own: it is what everything is measured from.
  const zones = found.zones.map((zone, label) =>
    label === TABLE ? { ...zone, light: 0, redness: 0, blueness: 0, shadowLike: 1 } : zone,
  );
  const isTable = new Uint8Array(zones.length);
  isTable[TABLE] = 1;
  const fade = blockPx > 1 ? FADE : FADE_UNREDUCED;
  const judged: Judged = { zones, met: meetings(found, table.width), table, isTable, fade };
  for (let round = 0; round < ROUNDS; round++) {
    for (const [label, zone] of zones.entries()) {
      if (isTable[label] || zone.area === 0) continue;
      const shutIn = !judged.met[label]!.has(TABLE);
      // A speck inside a piece belongs to it; a speck in the table is texture.
      const speck = zone.area < smallestAreaPx && !shutIn;
      const floor = shutIn && isHoleFloor(label, judged);
      const beside = speck || isCastShadow(label, judged);
      if (floor || (beside && !isPartOfPiece(label, judged)) || fades(label, judged)) isTable[label] = 1;
    }
  }
  const mask = new Uint8Array(labels.length);
  for (let at = 0; at < mask.length; at++) mask[at] = isTable[labels[at]!] ? 0 : 1;
  return mask;
}
