import { describe, expect, it } from 'vitest';
import { pathAreaMm2 } from '../../src/geometry/measure.ts';
import { movePath } from '../../src/geometry/motion.ts';
import { nearestOnPath } from '../../src/geometry/nearest.ts';
import { type Path, polylinePath } from '../../src/geometry/path.ts';
import { pathFaults } from '../../src/geometry/path-faults.ts';
import { placeAtLength, pointAt } from '../../src/geometry/place.ts';
import { samplePath } from '../../src/geometry/sample-path.ts';
import { segmentDirection } from '../../src/geometry/segment.ts';
import { acceptRefit } from '../../src/refit/carry-lines.ts';
import { compareRevisions } from '../../src/refit/compare-revisions.ts';
import { ellipse, point } from '../geometry/drawn.ts';
import { VISOR } from '../mirror/outlines.ts';
import { ELSEWHERE, pieceLine, trimmed } from './mock-ups.ts';

const FOLD = polylinePath([point(0, -20), point(0, 68)], false);
const EYE = ellipse(20, 12, point(60, 10));
const OLD = [
  pieceLine('edge', 'cut', VISOR),
  pieceLine('eye', 'cutout', EYE),
  pieceLine('fold', 'fold', FOLD),
];
/** Trimmed by 5 mm on the right, added to by 3 mm on the left, and one opening more. */
const CHANGED = trimmed(trimmed(VISOR, 5, 0.1, 0.12).path, -3, 0.7, 0.1).path;
const NEW = [
  pieceLine('outline', 'cut', movePath(CHANGED, ELSEWHERE)),
  pieceLine('opening-1', 'cutout', movePath(EYE, ELSEWHERE)),
  pieceLine('eye', 'cutout', movePath(ellipse(6, 6, point(-80, 20)), ELSEWHERE)),
];

function refitted(accepted?: readonly string[]) {
  const compared = compareRevisions(OLD, NEW, { limitMm: 1, turnedOver: false });
  if (!compared.ok) throw new Error(compared.problem.message);
  const outcome = acceptRefit(OLD, NEW, compared.value, accepted ? { accepted } : {});
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return { lines: outcome.value, comparison: compared.value };
}

const farthest = (from: Path, to: Path) =>
  Math.max(...samplePath(from, 2).map(({ point: at }) => nearestOnPath(to, at).distanceMm));

/** The largest turn at a joint that is called smooth, rad. */
function sharpestSmooth({ start, segments }: Path): number {
  const starts = [start, ...segments.map(({ to }) => to)];
  return Math.max(
    0,
    ...segments.map((segment, i) => {
      if (segment.joint !== 'smooth') return 0;
      const next = (i + 1) % segments.length;
      const a = segmentDirection(starts[i]!, segment, 1)!;
      const b = segmentDirection(starts[next]!, segments[next]!, 0)!;
      return Math.abs(Math.atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y));
    }),
  );
}

describe('accepting a refit', () => {
  it('brings all of the new outline into the old frame and keeps inner lines where they are', () => {
    const { lines } = refitted();
    expect(lines.map(({ id, kind }) => [id, kind])).toEqual([
      ['edge', 'cut'],
      ['eye', 'cutout'],
      ['fold', 'fold'],
      ['eye-2', 'cutout'],
    ]);
    expect(lines[2]!.path).toBe(FOLD);
    expect(farthest(lines[0]!.path, CHANGED)).toBeLessThan(0.1);
    expect(farthest(CHANGED, lines[0]!.path)).toBeLessThan(0.1);
    expect(farthest(lines[1]!.path, EYE)).toBeLessThan(0.1);
  });

  it('takes one stretch and leaves the rest of the old outline as it was', () => {
    const { comparison } = refitted();
    expect(comparison.stretches.map(({ change }) => change)).toEqual(['trimmed', 'added']);
    for (const stretch of comparison.stretches) {
      const { lines } = refitted([stretch.id]);
      expect(lines.map(({ id }) => id)).toEqual(['edge', 'eye', 'fold']);
      const [edge] = lines;
      const sign = stretch.change === 'trimmed' ? -1 : 1;
      expect(pathAreaMm2(edge!.path) - pathAreaMm2(VISOR)).toBeCloseTo(sign * stretch.areaMm2, -0.5);
      expect(pathFaults(edge!.path)).toEqual([]);
      expect(sharpestSmooth(edge!.path)).toBeLessThan(1e-3);
      // The other stretch was left: its place on the old outline is still there.
      const other = comparison.stretches.find(({ id }) => id !== stretch.id)!;
      const middle = placeAtLength(VISOR, (other.fromMm + other.toMm) / 2);
      expect(nearestOnPath(edge!.path, pointAt(VISOR, middle)).distanceMm).toBeLessThan(1e-6);
      expect(farthest(edge!.path, VISOR)).toBeLessThan(stretch.peakMm + 0.1);
      expect(lines[1]!.path).toEqual(EYE);
    }
  });

  it('gives the whole change when every stretch is taken, and the old lines when none is', () => {
    const { comparison } = refitted();
    const all = refitted([...comparison.stretches.map(({ id }) => id), 'new/eye']).lines;
    expect(farthest(all[0]!.path, CHANGED)).toBeLessThan(0.15);
    expect(all.map(({ id }) => id)).toEqual(['edge', 'eye', 'fold', 'eye-2']);
    expect(refitted([]).lines).toEqual(OLD);
  });

  it('swings smoothly from a curved old edge into a curved new one and back', () => {
    // The upper right run bulges more: one cubic with its handles moved, tangents at its ends kept.
    const bulged: Path = {
      ...VISOR,
      segments: VISOR.segments.map((segment) =>
        segment.kind === 'cubic' && segment.c1.x === 150 && segment.c1.y === 48
          ? { ...segment, c1: point(150, 60), c2: point(100, 68) }
          : segment,
      ),
    };
    const [old, fresh] = [[pieceLine('edge', 'cut', VISOR)], [pieceLine('edge', 'cut', bulged)]];
    const compared = compareRevisions(old, fresh, { limitMm: 1, turnedOver: false });
    if (!compared.ok) throw new Error(compared.problem.message);
    const { stretches } = compared.value;
    expect(stretches.map(({ change }) => change)).toEqual(['added']);
    const outcome = acceptRefit(old, fresh, compared.value, { accepted: stretches.map(({ id }) => id) });
    if (!outcome.ok) throw new Error(outcome.problem.message);
    const { path } = outcome.value[0]!;
    expect(farthest(path, bulged)).toBeLessThan(0.2);
    // All joints of the visor on the axis above, and both new ones, are as they were: smooth.
    const corners = (line: Path) => line.segments.filter(({ joint }) => joint === 'corner').length;
    expect(corners(path)).toBe(corners(VISOR));
    expect(sharpestSmooth(path)).toBeLessThan(1e-3);
  });
});
