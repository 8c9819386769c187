import { nearestOnPath } from '../../geometry/nearest.ts';
import type { Path } from '../../geometry/path.ts';
import { type Place, pointAt, segmentStart } from '../../geometry/place.ts';
import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import { subPath } from '../../geometry/split-path.ts';

/**
 * A part of a piece's cut line that meets another piece: from one point of it to another, mm, the way the outline runs
 * (counter-clockwise). Equal ends mean the whole way round.
 */
export interface SeamEdge {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
}

/** An end picked this near to a corner is meant to be the corner, mm; also when the piece was cleaned or traced again. */
export const CORNER_REACH_MM = 2;

/** The corners of a closed outline, each as the start of the segment that leaves it. */
export function cornersOf(outline: Path): Place[] {
  const count = outline.segments.length;
  return outline.segments.flatMap((segment, i) =>
    segment.joint === 'corner' ? [{ segment: (i + 1) % count, t: 0 }] : [],
  );
}

/** The place on the outline that a point stands for: a corner close by, else the nearest point. */
export function settledPlace(outline: Path, point: PlanePoint): Place {
  let best: { readonly place: Place; readonly gapMm: number } | undefined;
  for (const place of cornersOf(outline)) {
    const gapMm = distanceMm(segmentStart(outline, place.segment), point);
    if (gapMm <= CORNER_REACH_MM && gapMm < (best?.gapMm ?? Infinity)) best = { place, gapMm };
  }
  return best?.place ?? nearestOnPath(outline, point).place;
}

/** The edge as an open path on the outline as it is now, counter-clockwise. */
export function edgePath(outline: Path, { from, to }: SeamEdge): Path {
  return subPath(outline, settledPlace(outline, from), settledPlace(outline, to));
}

/** The edge from corner to corner that a point of the outline lies on; the whole way round where there are fewer than two corners. */
export function edgeAt(outline: Path, point: PlanePoint): SeamEdge {
  const corners = cornersOf(outline);
  if (corners.length === 0) return { from: outline.start, to: outline.start };
  const { place } = nearestOnPath(outline, point);
  const isBefore = (corner: Place) =>
    corner.segment < place.segment || (corner.segment === place.segment && corner.t <= place.t);
  const sorted = corners.toSorted((a, b) => a.segment - b.segment);
  const index = sorted.findLastIndex(isBefore);
  const from = sorted.at(index)!;
  const to = sorted[(index + 1) % sorted.length]!;
  return { from: pointAt(outline, from), to: pointAt(outline, to) };
}
