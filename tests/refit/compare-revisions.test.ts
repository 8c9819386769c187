import DiscreteHausdorffDistance from 'jsts/org/locationtech/jts/algorithm/distance/DiscreteHausdorffDistance.js';
import { describe, expect, it } from 'vitest';
import { flattenPath, pathAreaMm2, pathLengthMm } from '../../src/geometry/measure.ts';
import { mover, movePath, type RigidMotion } from '../../src/geometry/motion.ts';
import { type Path, polylinePath } from '../../src/geometry/path.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { fitRigid } from '../../src/geometry/register.ts';
import { samplePath } from '../../src/geometry/sample-path.ts';
import {
  compareRevisions,
  type CompareOptions,
  type RevisionComparison,
} from '../../src/refit/compare-revisions.ts';
import { jstsRing, line, point, rectangle } from '../geometry/drawn.ts';
import { BAND, CIRCLE, CROWN, EYES, trimmedRight, VISOR, withNoise } from '../mirror/outlines.ts';
import { readTruth } from '../setup/truth.ts';
import { ELSEWHERE, pieceLine, trimmed, TURNED_OVER } from './mock-ups.ts';

const outline = (path: Path) => [pieceLine('outline', 'cut', path)];
const truth = (photo: Parameters<typeof readTruth>[0], piece: number) =>
  polylinePath(readTruth(photo).pieces[piece]!.outer, true);

function compared(old: Path, fresh: Path, options: Partial<CompareOptions> = {}): RevisionComparison {
  const outcome = compareRevisions(outline(old), outline(fresh), { limitMm: 1, ...options });
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

/** How far places that were left alone come to lie from where they were. */
function farthestOff(
  { motion }: RevisionComparison,
  pose: RigidMotion,
  places: readonly { x: number; y: number }[],
) {
  const [there, back] = [mover(pose), mover(motion)];
  return Math.max(...places.map((place) => distanceMm(back(there(place)), place)));
}

// A symmetric piece laid the other way fits alike: its face is told there, and found elsewhere.
const PIECES: [string, Path, boolean][] = [
  ['a crown', CROWN, true],
  ['a visor', VISOR, true],
  ['the brow band of the demo', truth('brow-band', 0), true],
  ['the crown front of the demo', truth('crown-front', 0), false],
  ['the left guard of the demo', truth('guards-and-crest', 0), false],
  ['the crest of the demo', truth('guards-and-crest', 2), false],
];

describe.each(PIECES)('a new mock-up of %s', (_, old, isSymmetric) => {
  it.each([
    ['trimmed by 6 mm along 30 %', 6, ELSEWHERE],
    ['added to by 4 mm along 30 %, turned over', -4, TURNED_OVER],
  ])('%s lies where it did not change, and the change is found', (_what, depthMm, pose) => {
    const change = trimmed(old, depthMm, 0.13);
    const fresh = movePath(withNoise(change.path, 0.1, 5), pose);
    const found = compared(old, fresh, isSymmetric ? { turnedOver: pose.mirrored } : {});
    expect(found.mirrored).toBe(pose.mirrored);
    expect(farthestOff(found, pose, change.untouched)).toBeLessThan(0.2);
    expect(found.stretches).toHaveLength(1);
    const [stretch] = found.stretches;
    expect(stretch!.change).toBe(depthMm > 0 ? 'trimmed' : 'added');
    expect(Math.abs(stretch!.peakMm - Math.abs(depthMm))).toBeLessThan(0.3);
    // All that changed lies in the one stretch, but for the edge's jitter.
    const trueArea = Math.abs(pathAreaMm2(old)) - Math.abs(pathAreaMm2(change.path));
    expect(Math.abs(found.areaChangeMm2 + trueArea)).toBeLessThan(15);
    expect(Math.abs(stretch!.areaMm2 - Math.abs(trueArea))).toBeLessThan(15);
    const length = pathLengthMm(old);
    expect(stretch!.toMm - stretch!.fromMm).toBeGreaterThan(0.25 * length);
    expect(stretch!.toMm - stretch!.fromMm).toBeLessThan(0.36 * length);
  });
});

describe('comparing revisions', () => {
  it('finds nothing on the same piece, wherever it lies and whichever way it was traced', () => {
    const old = truth('guards-and-crest', 0);
    const [start, ...others] = flattenPath(movePath(old, TURNED_OVER)).toReversed();
    const found = compared(old, polylinePath([start!, ...others], true), { limitMm: 0.1 });
    expect(found.maxMm).toBeLessThan(0.02);
    expect(found.stretches).toEqual([]);
    expect(found.agreeingShare).toBe(1);
    expect(found.ambiguity).toBeUndefined();
  });

  it('lays untouched places as the closed form does (Kabsch 1976), and measures as jsts does (Hausdorff)', () => {
    const change = trimmed(VISOR, 5, 0.2, 0.2);
    const found = compared(VISOR, movePath(change.path, ELSEWHERE), { turnedOver: false });
    const closed = fitRigid(change.untouched.map(mover(ELSEWHERE)), change.untouched).motion;
    for (const place of change.untouched) {
      const at = mover(ELSEWHERE)(place);
      expect(distanceMm(mover(found.motion)(at), mover(closed)(at))).toBeLessThan(0.03);
    }
    const dense = (path: Path) => jstsRing(samplePath(path, 0.5).map(({ point: at }) => at));
    const oracle = DiscreteHausdorffDistance.distance(
      dense(VISOR),
      dense(movePath(movePath(change.path, ELSEWHERE), found.motion)),
    );
    expect(Math.abs(found.maxMm - oracle)).toBeLessThan(0.1);
  });

  it('tells a straight cut through points with its area', () => {
    const cut = trimmedRight(CROWN, 150);
    const found = compared(CROWN, movePath(cut, ELSEWHERE), { turnedOver: false });
    const lost = pathAreaMm2(CROWN) - pathAreaMm2(cut);
    expect(found.stretches.map(({ change }) => change)).toEqual(['trimmed']);
    expect(found.stretches[0]!.areaMm2 / lost).toBeCloseTo(1, 2);
    // The farthest corner, (176, 70), lies (176 + 14 - 150) / hypot(1, 0.2) beyond the cut.
    expect(found.stretches[0]!.peakMm).toBeCloseTo(40 / Math.hypot(1, 0.2), 1);
  });

  it('sees a narrow tab and a narrow slit, which show only on one of the edges', () => {
    const old = rectangle(200, 90);
    const upper = [line(130, 90), line(130, 110), line(127, 110), line(127, 90)];
    const slit = [line(60, 90), line(60, 60), line(58.8, 60), line(58.8, 90)];
    const fresh: Path = {
      closed: true,
      start: point(0, 0),
      segments: [line(200, 0), line(200, 90), ...upper, ...slit, line(0, 90), line(0, 0)],
    };
    const found = compared(old, fresh, { turnedOver: false });
    // A rectangle can be laid half turned too.
    expect(found.ambiguity).toContain('2 ways');
    const told = found.stretches.map(({ change, peakMm, areaMm2 }) => [change, peakMm, areaMm2]);
    expect(told.map(([change]) => change)).toEqual(['trimmed', 'added']);
    expect(told[0]![1]).toBeCloseTo(30, 0);
    expect(told[0]![2]).toBeCloseTo(1.2 * 30, 0);
    expect(told[1]![1]).toBeCloseTo(20, 0);
    expect(told[1]![2]).toBeCloseTo(3 * 20, 0);
  });

  it('says when a piece can be laid several ways, and takes the way that is told', () => {
    const change = trimmed(BAND, 6, 0.05, 0.15);
    const fresh = movePath(change.path, ELSEWHERE);
    const found = compared(BAND, fresh);
    expect(found.ambiguity).toContain('4 ways');
    expect(found.ambiguity).toContain('turned over or not');
    const places = found.ways
      .filter(({ equalToBest }) => equalToBest)
      .map((way) => compared(BAND, fresh, { way }).stretches[0]!);
    expect(places.map(({ peakMm }) => peakMm.toFixed(1))).toEqual(['6.0', '6.0', '6.0', '6.0']);
    const starts = new Set(places.map(({ fromMm }) => Math.round(fromMm / 5)));
    expect(starts.size).toBe(4);
    expect(compared(CIRCLE, movePath(CIRCLE, ELSEWHERE)).ambiguity).toContain('nearly round');
  });

  it('lets openings tell which way a piece lies, and compares them', () => {
    const old = [...outline(VISOR), ...EYES.map((path, i) => pieceLine(`eye ${i}`, 'cutout', path))];
    const smaller = trimmed(EYES[0]!, 2, 0.1, 0.5).path;
    const slot = rectangle(8, 8, 120, 10);
    // One eye was taped over, so the piece is even no more.
    const fresh = [
      ...outline(movePath(VISOR, TURNED_OVER)),
      pieceLine('hole 1', 'cutout', movePath(smaller, TURNED_OVER)),
      pieceLine('hole 2', 'cutout', movePath(slot, TURNED_OVER)),
    ];
    const outcome = compareRevisions(old, fresh, { limitMm: 1, turnedOver: true });
    if (!outcome.ok) throw new Error(outcome.problem.message);
    const { stretches, goneOpenings, newOpenings, lines } = outcome.value;
    expect(lines.map(({ lineId, newLineId }) => [lineId, newLineId])).toEqual([
      ['outline', 'outline'],
      ['eye 0', 'hole 1'],
    ]);
    // An opening that shrank is foam added.
    expect(stretches.map(({ id, change }) => [id.split('/')[0], change])).toEqual([['eye 0', 'added']]);
    expect(stretches[0]!.peakMm).toBeCloseTo(2, 1);
    expect(goneOpenings).toEqual(['eye 1']);
    expect(newOpenings).toEqual(['hole 2']);
  });

  it('refuses another piece, and lines without an outline, in words', () => {
    const other = compareRevisions(
      outline(truth('guards-and-crest', 0)),
      outline(truth('guards-and-crest', 2)),
      {
        limitMm: 1,
      },
    );
    expect(!other.ok && other.problem.code).toBe('not-the-same-piece');
    const none = compareRevisions(outline(VISOR), [pieceLine('score', 'score', VISOR)], { limitMm: 1 });
    expect(!none.ok && none.problem.code).toBe('no-outline');
    expect(() => compareRevisions(outline(VISOR), outline(VISOR), { limitMm: 0 })).toThrow(RangeError);
  });
});
