/** Joints moved, added, taken out, smoothed, joined and split; against bezier-js and svg-path-properties. */
import { Bezier } from 'bezier-js';
import fc from 'fast-check';
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, it } from 'vitest';
import { closePath, joinAtEnds, splitAtJoint } from '../../../src/geometry/edit/ends.ts';
import {
  moveHandle,
  moveJoints,
  placeJoint,
  setSegmentLength,
} from '../../../src/geometry/edit/move-joints.ts';
import { jointCount, jointKind, jointPoint, nodesOf, pathOfNodes } from '../../../src/geometry/edit/nodes.ts';
import {
  addJoint,
  deleteJoints,
  setJoint,
  setSegmentKind,
} from '../../../src/geometry/edit/reshape-joints.ts';
import { moveBetween } from '../../../src/geometry/edit/stretch.ts';
import { segmentLengthMm } from '../../../src/geometry/arc-length.ts';
import { pathAreaMm2, pathLengthMm } from '../../../src/geometry/measure.ts';
import { nearestOnPath } from '../../../src/geometry/nearest.ts';
import { mapPath, type Path, polylinePath } from '../../../src/geometry/path.ts';
import { segmentStart } from '../../../src/geometry/place.ts';
import { distanceMm } from '../../../src/geometry/point.ts';
import { anyPath, anyPoint, cubic, ellipse, GUARD, line, point, rectangle, svgData } from '../drawn.ts';

const bytes = (path: Path) => JSON.stringify(path);
const OPEN: Path = {
  closed: false,
  start: point(0, 0),
  segments: [line(40, 0), cubic(point(50, 0), point(60, 20), point(60, 40)), line(60, 90)],
};

/** The cubic with this index as bezier-js has it. */
function asBezier(path: Path, index: number): Bezier {
  const segment = path.segments[index]!;
  if (segment.kind !== 'cubic') throw new Error(`segment ${index} is straight`);
  return new Bezier(
    [segmentStart(path, index), segment.c1, segment.c2, segment.to].flatMap(({ x, y }) => [x, y]),
  );
}

/** Angle between the directions on either side of a joint, by bezier-js for curves, rad. */
function turnAt(path: Path, joint: number): number {
  const count = path.segments.length;
  const directionOf = (index: number, t: number) => {
    const segment = path.segments[index]!;
    const from = segmentStart(path, index);
    return segment.kind === 'cubic'
      ? asBezier(path, index).derivative(t)
      : { x: segment.to.x - from.x, y: segment.to.y - from.y };
  };
  const come = directionOf((joint + count - 1) % count, 1);
  const go = directionOf(joint, 0);
  return Math.abs(Math.atan2(come.x * go.y - come.y * go.x, come.x * go.x + come.y * go.y));
}

describe('a path as its joints', () => {
  it('comes back to the byte', () => {
    fc.assert(
      fc.property(anyPath, (path) => {
        expect(bytes(pathOfNodes(nodesOf(path), path.closed))).toBe(bytes(path));
      }),
    );
  });
});

describe('moving', () => {
  it('all joints moves the path', () => {
    fc.assert(
      fc.property(anyPath, anyPoint, (path, by) => {
        const moved = moveJoints(
          path,
          Array.from({ length: jointCount(path) }, (_, i) => i),
          by,
        );
        const shifted = mapPath(path, ({ x, y }) => ({ x: x + by.x, y: y + by.y }));
        expect(moved.segments.map(({ kind, to }) => [kind, to])).toEqual(
          shifted.segments.map(({ kind, to }) => [kind, to]),
        );
      }),
    );
  });

  it('one joint leaves what is not beside it alone', () => {
    const moved = moveJoints(GUARD, [2], point(3, -2));
    expect(jointPoint(moved, 2)).toEqual(point(173, 78));
    expect(moved.segments[0]).toEqual(GUARD.segments[0]);
    expect(moved.segments.slice(3)).toEqual(GUARD.segments.slice(3));
    expect(turnAt(moved, 2)).toBeCloseTo(turnAt(GUARD, 2), 12);
  });

  it('a joint beside a straight segment turns the curve that runs on smoothly from it', () => {
    const smooth = setJoint(OPEN, 1, 'smooth');
    const moved = moveJoints(smooth, [0], point(0, 30));
    expect(turnAt(moved, 1)).toBeLessThan(1e-12);
  });

  it('puts a joint exactly where it was typed', () => {
    fc.assert(
      fc.property(anyPath, anyPoint, fc.nat(), (path, at, number) => {
        const joint = number % jointCount(path);
        expect(jointPoint(placeJoint(path, joint, at), joint)).toEqual(at);
      }),
    );
  });

  it('a handle of a smooth joint turns the other one and keeps its length', () => {
    const moved = moveHandle(GUARD, 2, 'leaving', point(140, 90));
    const [before, after] = [nodesOf(GUARD)[2]!, nodesOf(moved)[2]!];
    expect(after.leaving).toEqual(point(140, 90));
    expect(distanceMm(after.at, after.arriving!)).toBeCloseTo(distanceMm(before.at, before.arriving!), 12);
    expect(turnAt(moved, 2)).toBeLessThan(1e-12);
  });

  it('gives a segment the length that was typed, by svg-path-properties', () => {
    for (const [index, stays] of [
      [0, 'start'],
      [1, 'start'],
      [1, 'end'],
      [4, 'end'],
    ] as const) {
      const longer = setSegmentLength(GUARD, index, 88, stays);
      const alone = {
        closed: false,
        start: segmentStart(longer, index),
        segments: [longer.segments[index]!],
      };
      expect(new svgPathProperties(svgData(alone)).getTotalLength()).toBeCloseTo(88, 3);
      expect(segmentLengthMm(alone.start, alone.segments[0]!)).toBeCloseTo(88, 9);
      expect(longer.segments.at(-1)!.to).toEqual(longer.start);
    }
  });
});

describe('a joint more', () => {
  it('changes neither shape nor length (svg-path-properties)', () => {
    fc.assert(
      fc.property(anyPath, fc.nat(), fc.double({ min: 0.05, max: 0.95, noNaN: true }), (path, number, t) => {
        const { path: more, joint } = addJoint(path, { segment: number % path.segments.length, t });
        expect(jointCount(more)).toBe(jointCount(path) + 1);
        const at = jointPoint(more, joint);
        expect(nearestOnPath(path, at).distanceMm).toBeLessThan(1e-6);
        expect(pathLengthMm(more)).toBeCloseTo(pathLengthMm(path), 5);
      }),
      { numRuns: 60 },
    );
    const { path } = addJoint(GUARD, { segment: 1, t: 0.3 });
    const length = (one: Path) => new svgPathProperties(svgData(one)).getTotalLength();
    expect(length(path)).toBeCloseTo(length(GUARD), 3);
  });

  it('taken out again leaves the curve as it was, to a micrometre', () => {
    for (const index of [1, 2, 4]) {
      const { path, joint } = addJoint(GUARD, { segment: index, t: 0.4 });
      expect(moveBetween(GUARD, deleteJoints(path, [joint])!).maxMm).toBeLessThan(1e-3);
    }
  });
});

describe('joints taken out', () => {
  it('straight on both sides leave one straight segment', () => {
    expect(deleteJoints(rectangle(10, 6), [1])!.segments).toHaveLength(3);
    expect(pathAreaMm2(deleteJoints(rectangle(10, 6), [1])!)).toBeCloseTo(30, 12);
  });

  it('at the ends of an open line shorten it', () => {
    const shorter = deleteJoints(OPEN, [0, 3])!;
    expect([shorter.start, shorter.segments.at(-1)!.to]).toEqual([point(40, 0), point(60, 40)]);
  });

  it('leave no line when too few remain', () => {
    expect(deleteJoints(rectangle(10, 6), [0, 1])).toBeUndefined();
    expect(deleteJoints(OPEN, [0, 1, 2])).toBeUndefined();
    expect(deleteJoints(ellipse(20, 10), [1, 3])!.segments).toHaveLength(2);
  });
});

describe('smooth or corner, straight or curved', () => {
  it('a smooth joint has one direction by bezier-js, whatever met there', () => {
    for (const joint of [0, 1, 3, 4]) {
      const smooth = setJoint(GUARD, joint, 'smooth');
      expect(jointKind(smooth, joint)).toBe('smooth');
      expect(turnAt(smooth, joint)).toBeLessThan(1e-9);
      const square = setJoint(rectangle(10, 6), joint % 4, 'smooth');
      expect(turnAt(square, joint % 4)).toBeLessThan(1e-9);
    }
  });

  it('a corner moves nothing', () => {
    const corner = setJoint(ellipse(20, 10), 2, 'corner');
    expect(moveBetween(ellipse(20, 10), corner).maxMm).toBeLessThan(1e-3);
    expect(jointKind(corner, 2)).toBe('corner');
  });

  it('a segment made straight and curved again leaves its neighbours where they are', () => {
    const straight = setSegmentKind(GUARD, 4, 'line');
    expect(straight.segments[4]!.kind).toBe('line');
    expect(straight.segments.slice(0, 4)).toEqual(GUARD.segments.slice(0, 4));
    const curved = setSegmentKind(straight, 4, 'cubic');
    expect(moveBetween(straight, curved).maxMm).toBeLessThan(2e-3);
  });
});

describe('split, close and join', () => {
  it('a closed line opened at a joint begins and ends there, and closes to what it was', () => {
    const [open] = splitAtJoint(GUARD, 3);
    expect(open).toMatchObject({ closed: false, start: point(80, 110) });
    expect(pathLengthMm(open!)).toBeCloseTo(pathLengthMm(GUARD), 9);
    const closed = closePath(open!);
    expect(closed.segments).toHaveLength(GUARD.segments.length);
    expect(pathAreaMm2(closed)).toBeCloseTo(pathAreaMm2(GUARD), 9);
  });

  it('an open line falls in two and is joined again, from any of its ends', () => {
    const [head, tail] = splitAtJoint(OPEN, 2) as [Path, Path];
    expect(bytes(joinAtEnds(head, 'end', tail, 'start')).replace(/"smooth"/gu, '"corner"')).toBe(
      bytes(OPEN).replace(/"smooth"/gu, '"corner"'),
    );
    expect(pathLengthMm(joinAtEnds(tail, 'start', head, 'end'))).toBeCloseTo(pathLengthMm(OPEN), 9);
    expect(joinAtEnds(head, 'start', tail, 'end').segments).toHaveLength(4);
  });

  it('ends apart are joined by a straight segment', () => {
    const closed = closePath(polylinePath([point(0, 0), point(10, 0), point(10, 10)], false));
    expect(closed.segments).toHaveLength(3);
    expect(pathAreaMm2(closed)).toBeCloseTo(50, 12);
  });
});
