import { success } from '../../outcome.ts';
import { indexPath } from '../flat-path.ts';
import type { LineKind, PieceLine } from '../line-kinds.ts';
import { nearestOnPath } from '../nearest.ts';
import { joinPaths } from '../split-path.ts';
import { type Path, polylinePath, reversePath } from '../path.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { samplePath } from '../sample-path.ts';
import { type EditOutcome, lineWithId, type NewId, withPath } from './edited.ts';
import { addPath } from './line-verbs.ts';
import { jointCount, jointPoint } from './nodes.ts';
import { addJoint } from './reshape-joints.ts';
import { pathOfStretch, replaceStretch, type Stretch } from './stretch.ts';

/** A new edge that ends this near to the line runs into it; one further off is joined to it by a straight segment, mm. */
const MEETS_MM = 0.15;
const SAMPLE_MM = 1;

/** Joints of the line where the new edge leaves it and comes back, made where there are none. */
function jointsAt(path: Path, from: PlanePoint, to: PlanePoint) {
  const first = addJoint(path, nearestOnPath(path, from).place);
  const second = addJoint(first.path, nearestOnPath(first.path, to).place);
  const grew = jointCount(second.path) > jointCount(first.path);
  const a = grew && second.joint <= first.joint ? first.joint + 1 : first.joint;
  return { path: second.path, a, b: second.joint };
}

/** The new edge with its ends drawn, or joined, to the line's own points. */
function ledTo(part: Path, start: PlanePoint, end: PlanePoint): Path {
  const partEnd = part.segments.at(-1)!.to;
  const lead = (from: PlanePoint, to: PlanePoint) =>
    distanceMm(from, to) > MEETS_MM ? [polylinePath([from, to], false)] : [];
  return joinPaths([...lead(start, part.start), part, ...lead(partEnd, end)], { gapMm: 1e-6 });
}

/** Mean distance of a path from another, mm, by points a millimetre apart. */
function meanDistanceMm(from: Path, to: Path): number {
  const index = indexPath(to);
  const samples = samplePath(from, SAMPLE_MM);
  return (
    samples.reduce((sum, { point: { x, y } }) => sum + index.nearest(x, y)!.distanceMm, 0) / samples.length
  );
}

/**
 * Puts a new edge in the place of the part of a line between the points next to its ends; everything else of the line
 * stays as it is. Of a closed line's two parts it is the one that the new edge lies closer to. When both ends come to
 * the same joint, the new edge becomes a line of its own, of `kind`.
 */
export function redrawStretch(
  lines: readonly PieceLine[],
  lineId: string,
  part: Path,
  kind: LineKind,
  newId: NewId,
): EditOutcome {
  const line = lineWithId(lines, lineId);
  const { path, a, b } = jointsAt(line.path, part.start, part.segments.at(-1)!.to);
  if (a === b) return addPath(lines, kind, part, newId);
  const led = ledTo(part, jointPoint(path, a), jointPoint(path, b));
  const [there, back]: readonly Stretch[] = [
    { from: a, to: b },
    { from: b, to: a },
  ];
  const far = (stretch: Stretch) => meanDistanceMm(led, pathOfStretch(path, stretch));
  const isBack = path.closed ? far(back!) < far(there!) : a > b;
  const changed = isBack ? replaceStretch(path, back!, reversePath(led)) : replaceStretch(path, there!, led);
  return success({ lines: withPath(lines, lineId, changed), picks: [] });
}
