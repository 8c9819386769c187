import { segmentLengthMm, segmentLengthsMm, segmentTAtLength } from './arc-length.ts';
import type { Path, Segment } from './path.ts';
import type { PlanePoint } from './point.ts';
import { segmentDirection, segmentPoint } from './segment.ts';

/** A place on a path: `t` in 0..1 along the segment with this index. */
export interface Place {
  readonly segment: number;
  readonly t: number;
}

/** Where the segment with this index starts; throws when there is no such segment. */
export function segmentStart(path: Path, index: number): PlanePoint {
  return index === 0 ? path.start : segmentOf(path, index - 1).to;
}

/** The segment with this index; throws when there is none. */
export function segmentOf(path: Path, index: number): Segment {
  const segment = path.segments[index];
  if (!segment) throw new RangeError(`the path has ${path.segments.length} segments, none numbered ${index}`);
  return segment;
}

/** The point at a place, mm. */
export function pointAt(path: Path, { segment, t }: Place): PlanePoint {
  return segmentPoint(segmentStart(path, segment), segmentOf(path, segment), t);
}

/** Direction of travel at a place, length one. At a corner it is that of the place's own segment. */
export function tangentAt(path: Path, { segment, t }: Place): PlanePoint {
  const direction = segmentDirection(segmentStart(path, segment), segmentOf(path, segment), t);
  if (!direction) throw new RangeError(`segment ${segment} has no length, so no direction`);
  return direction;
}

/** To the right of the direction of travel, length one: outwards on a counter-clockwise outline. */
export function rightNormalAt(path: Path, place: Place): PlanePoint {
  const { x, y } = tangentAt(path, place);
  return { x: y, y: -x };
}

/** Length of the path from its start to a place, mm. */
export function lengthAtPlaceMm(path: Path, place: Place): number {
  let length = 0;
  for (let i = 0; i < place.segment; i++)
    length += segmentLengthMm(segmentStart(path, i), segmentOf(path, i));
  const from = segmentStart(path, place.segment);
  return length + segmentLengthMm(from, segmentOf(path, place.segment), 0, place.t);
}

/**
 * The place `alongMm` from the start. On a closed path any length counts, round and round; on an
 * open one it stops at the ends. `lengths` may be given when many places are asked of one path.
 */
export function placeAtLength(path: Path, alongMm: number, lengths = segmentLengthsMm(path)): Place {
  const total = lengths.reduce((sum, length) => sum + length, 0);
  if (path.segments.length === 0) throw new RangeError('a path without segments has no places');
  let rest = path.closed && total > 0 ? alongMm - total * Math.floor(alongMm / total) : alongMm;
  for (let i = 0; i < lengths.length - 1; i++) {
    const length = lengths[i]!;
    if (rest < length)
      return { segment: i, t: segmentTAtLength(segmentStart(path, i), segmentOf(path, i), rest) };
    rest -= length;
  }
  const last = lengths.length - 1;
  return { segment: last, t: segmentTAtLength(segmentStart(path, last), segmentOf(path, last), rest) };
}
