import { alongLineMm, offsetFromLineMm, type StraightLine } from './motion.ts';
import type { Path, Segment } from './path.ts';
import { pointAt, type Place, segmentStart } from './place.ts';
import type { PlanePoint } from './point.ts';
import { segmentPoint } from './segment.ts';
import { joinPaths, splitPath } from './split-path.ts';

/** A place where a path passes from one side of a line to the other. */
export interface Crossing {
  readonly place: Place;
  readonly point: PlanePoint;
  /** Distance along the line from its own point, mm. */
  readonly alongMm: number;
  /** The side of the line that the path comes to: left of the line's direction, or right. */
  readonly into: 'left' | 'right';
}

/** The values of t, in order, that part a segment into pieces on which its distance from a line only grows or only falls. */
export function turningPoints(from: PlanePoint, segment: Segment, line: StraightLine): number[] {
  if (segment.kind === 'line') return [0, 1];
  const [d0, d1, d2, d3] = [from, segment.c1, segment.c2, segment.to].map((p) =>
    offsetFromLineMm(line, p),
  ) as [number, number, number, number];
  // The derivative's Bernstein coefficients, then its roots as those of a t^2 + b t + c.
  const [e0, e1, e2] = [d1 - d0, d2 - d1, d3 - d2];
  const [a, b, c] = [e0 - 2 * e1 + e2, 2 * (e1 - e0), e0];
  const inner = quadraticRoots(a, b, c).filter((t) => t > 0 && t < 1);
  return [0, ...inner.sort((p, q) => p - q), 1];
}

/** Real roots of a t^2 + b t + c, by the form that does not cancel. */
function quadraticRoots(a: number, b: number, c: number): number[] {
  const discriminant = b * b - 4 * a * c;
  if (discriminant < 0) return [];
  const q = -(b + (b < 0 ? -1 : 1) * Math.sqrt(discriminant)) / 2;
  const roots: number[] = [];
  if (a !== 0) roots.push(q / a);
  if (q !== 0) roots.push(c / q);
  return roots.filter(Number.isFinite);
}

/** Where the side changes on a stretch where the distance from the line only grows or only falls: by halving, which cannot fail. */
function crossingT(from: PlanePoint, segment: Segment, line: StraightLine, t0: number, t1: number): number {
  const isLeft = (t: number) => offsetFromLineMm(line, segmentPoint(from, segment, t)) >= 0;
  const before = isLeft(t0);
  let [low, high] = [t0, t1];
  while (high - low > 1e-16) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (isLeft(middle) === before) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * The places where a path crosses a line, in path order. Touching without passing over does not count; a
 * point on the line itself counts as left of it, so that every crossing is found exactly once.
 */
export function crossingsOf(path: Path, line: StraightLine): Crossing[] {
  const crossings: Crossing[] = [];
  path.segments.forEach((segment, index) => {
    const from = segmentStart(path, index);
    const turns = turningPoints(from, segment, line);
    for (let i = 1; i < turns.length; i++) {
      const [t0, t1] = [turns[i - 1]!, turns[i]!];
      const leftBefore = offsetFromLineMm(line, segmentPoint(from, segment, t0)) >= 0;
      const leftAfter = offsetFromLineMm(line, segmentPoint(from, segment, t1)) >= 0;
      if (leftBefore === leftAfter) continue;
      const t = crossingT(from, segment, line, t0, t1);
      const point = segmentPoint(from, segment, t);
      crossings.push({
        place: { segment: index, t },
        point,
        alongMm: alongLineMm(line, point),
        into: leftAfter ? 'left' : 'right',
      });
    }
  });
  return crossings;
}

/** A path's parts on either side of a line. */
export interface CutPath {
  readonly left: readonly Path[];
  readonly right: readonly Path[];
}

/** Which side an uncut part lies on, by the point of it farthest from the line among its ends and middles. */
function sideOf(part: Path, line: StraightLine): 'left' | 'right' {
  let farthest = 0;
  part.segments.forEach((_, segment) => {
    for (const t of [0.25, 0.5, 0.75, 1]) {
      const offset = offsetFromLineMm(line, pointAt(part, { segment, t }));
      if (Math.abs(offset) > Math.abs(farthest)) farthest = offset;
    }
  });
  return farthest >= 0 ? 'left' : 'right';
}

/** Cuts an open or closed path into open parts, each on one side of a line; an uncrossed path is given back whole. */
export function partsBesideLine(path: Path, line: StraightLine): CutPath {
  const parts = splitPath(
    path,
    crossingsOf(path, line).map(({ place }) => place),
  );
  return {
    left: parts.filter((part) => sideOf(part, line) === 'left'),
    right: parts.filter((part) => sideOf(part, line) === 'right'),
  };
}

/**
 * Cuts a simple closed path (a region) in two along a line: each side's parts closed again by straight
 * segments along the line, running the same way round as the whole.
 */
export function cutRegion(path: Path, line: StraightLine): CutPath {
  if (!path.closed) throw new RangeError('only a closed path bounds a region that can be cut');
  const { left, right } = partsBesideLine(path, line);
  if (left.length === 0 || right.length === 0) return { left, right };
  return { left: closeAlongLine(left, line), right: closeAlongLine(right, line) };
}

/**
 * Links open parts on one side of a line into closed ones. Along the line the region is entered and left
 * in turn, so the ends in order pair off as first-second, third-fourth, and so on.
 */
function closeAlongLine(parts: readonly Path[], line: StraightLine): Path[] {
  const ends = parts.flatMap((part, index) => [
    { index, isStart: true, alongMm: alongLineMm(line, part.start) },
    { index, isStart: false, alongMm: alongLineMm(line, part.segments[part.segments.length - 1]!.to) },
  ]);
  ends.sort((a, b) => a.alongMm - b.alongMm);
  const nextPart = new Map<number, number>();
  for (let i = 0; i + 1 < ends.length; i += 2) {
    const [a, b] = [ends[i]!, ends[i + 1]!];
    const [end, start] = a.isStart ? [b, a] : [a, b];
    nextPart.set(end.index, start.index);
  }
  const left = new Set(parts.keys());
  const regions: Path[] = [];
  while (left.size > 0) {
    const [first] = left;
    const chain: Path[] = [];
    let index = first!;
    while (left.delete(index)) {
      const next = nextPart.get(index) ?? first!;
      const part = parts[index]!;
      const bridge: Segment = { kind: 'line', to: parts[next]!.start, joint: 'corner' };
      const segments = part.segments.map((s, i) =>
        i === part.segments.length - 1 ? { ...s, joint: 'corner' as const } : s,
      );
      chain.push({ closed: false, start: part.start, segments: [...segments, bridge] });
      index = next;
    }
    regions.push(joinPaths(chain, { closed: true }));
  }
  return regions;
}
