import { segmentLengthMm, segmentLengthsMm } from '../../geometry/arc-length.ts';
import type { Path } from '../../geometry/path.ts';
import {
  type Place,
  placeAtLength,
  pointAt,
  segmentOf,
  segmentStart,
  tangentAt,
} from '../../geometry/place.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { segmentDirection } from '../../geometry/segment.ts';
import { cross, dot, quarterLeft } from '../../geometry/vector.ts';

/** A point of an edge, where the foam lies left of the outline's way. */
export interface EdgePoint {
  readonly at: PlanePoint;
  /** From the edge into the foam, length one. */
  readonly inward: PlanePoint;
}

/** Measures an edge from the end at which its seam begins. */
export interface EdgeRuler {
  readonly lengthMm: number;
  /** The point `alongMm` from the seam's beginning. */
  readonly at: (alongMm: number) => EdgePoint;
  /** Where the edge's inner corners lie, mm from the seam's beginning, in order. */
  readonly cornersMm: readonly number[];
}

/** The turning of a segment is added up in steps small enough never to pass half a turn. */
const TURN_STEPS = 48;

function turnOfSegment(path: Path, index: number, t: number): number {
  const segment = segmentOf(path, index);
  if (segment.kind === 'line') return 0;
  const from = segmentStart(path, index);
  let turn = 0;
  let before = segmentDirection(from, segment, 0);
  for (let i = 1; i <= TURN_STEPS; i++) {
    const here = segmentDirection(from, segment, (t * i) / TURN_STEPS);
    if (before && here) turn += Math.atan2(cross(before, here), dot(before, here));
    before = here ?? before;
  }
  return turn;
}

/** How far a mitred corner moves its parallel line's ends: twice the tangent of half the turn, for an offset of one. */
function cornerTurn(path: Path, index: number): number {
  const a = tangentAt(path, { segment: index, t: 1 });
  const b = tangentAt(path, { segment: index + 1, t: 0 });
  const turn = Math.atan2(cross(a, b), dot(a, b));
  return 2 * Math.tan(turn / 2);
}

/**
 * A ruler on an open, counter-clockwise edge. `insetMm` measures along the parallel line that far inside the foam (the
 * middle of a bevelled edge): a parallel line at distance d is shorter by d times the angle it turns through (Steiner,
 * for each stretch). `backwards` begins at the edge's end.
 */
export function edgeRuler(edge: Path, insetMm: number, backwards: boolean): EdgeRuler {
  const lengths = segmentLengthsMm(edge);
  const faceMm = lengths.reduce((sum, length) => sum + length, 0);
  const starts: number[] = [];
  let [reached, turnedBefore] = [0, 0];
  const turns: number[] = [];
  lengths.forEach((length, i) => {
    starts.push(reached);
    turns.push(turnedBefore);
    reached += length;
    turnedBefore += insetMm === 0 ? 0 : turnOfSegment(edge, i, 1);
    if (insetMm !== 0 && i + 1 < lengths.length) turnedBefore += cornerTurn(edge, i);
  });
  const insideMm = ({ segment, t }: Place) => {
    const along =
      starts[segment]! + segmentLengthMm(segmentStart(edge, segment), segmentOf(edge, segment), 0, t);
    return insetMm === 0 ? along : along - insetMm * (turns[segment]! + turnOfSegment(edge, segment, t));
  };
  const lengthMm = faceMm - insetMm * turnedBefore;
  const cornersMm = edge.segments.flatMap(({ joint }, i) =>
    joint === 'corner' && i + 1 < lengths.length ? [insideMm({ segment: i, t: 1 })] : [],
  );
  const placeAt = (alongMm: number): Place => {
    if (insetMm === 0) return placeAtLength(edge, alongMm, lengths);
    let [low, high] = [0, faceMm];
    for (let i = 0; i < 50; i++) {
      const middle = (low + high) / 2;
      if (insideMm(placeAtLength(edge, middle, lengths)) < alongMm) low = middle;
      else high = middle;
    }
    return placeAtLength(edge, (low + high) / 2, lengths);
  };
  const fromStart = (mm: number) => (backwards ? lengthMm - mm : mm);
  return {
    lengthMm,
    at: (alongMm) => {
      const place = placeAt(fromStart(alongMm));
      return { at: pointAt(edge, place), inward: quarterLeft(tangentAt(edge, place)) };
    },
    cornersMm: backwards ? cornersMm.map(fromStart).toReversed() : cornersMm,
  };
}
