import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { mover, offsetFromLineMm, undoMotion } from '../../src/geometry/motion.ts';
import { nearestOnPath } from '../../src/geometry/nearest.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { layOn } from '../../src/geometry/lay-on.ts';
import type { Path } from '../../src/geometry/path.ts';
import type { FoldLine } from '../../src/mirror/axis.ts';
import { checkFold } from '../../src/mirror/check-fold.ts';
import { findAxes } from '../../src/mirror/find-axes.ts';
import { compareRevisions } from '../../src/refit/compare-revisions.ts';
import { point } from '../geometry/drawn.ts';

/**
 * Differences from here on are looked at, mm: bumps of half a millimetre must be found, and on a symmetric piece nothing
 * may be (issue 5 allows false findings up to 0.5 mm).
 */
const FINDING_MM = 0.3;

export interface JudgedFold {
  /** The true axis x = 0 against the one found: at the middle of the piece, mm, and in angle. */
  readonly axisMm: number;
  readonly axisDeg: number;
  /** Largest deviation, mm, and how many places differ. */
  readonly maxMm: number;
  readonly findings: number;
  /** Of the largest finding, against the true bump; NaN without a bump. */
  readonly placeMm: number;
  readonly heightMm: number;
}

/**
 * Folds a photographed piece and compares with the truth. `drawn` is what was photographed, symmetric about x = 0 but for the bump at `bumpAt`.
 * The capture's frame is carried to the drawn one by laying the outlines on each other.
 */
export function judgeFold(
  lines: readonly PieceLine[],
  drawn: Path,
  bump?: { readonly at: PlanePoint; readonly heightMm: number },
): JudgedFold {
  const [outline] = lines;
  const toDrawn = layOn(outline!.path, drawn).motion;
  const carry = mover(toDrawn);
  const leanOf = ({ point: { x, y }, angleRad }: FoldLine) => {
    const [a, b] = [point(x, y), point(x + Math.cos(angleRad), y + Math.sin(angleRad))].map(carry) as [
      PlanePoint,
      PlanePoint,
    ];
    const lean = Math.abs(Math.atan2(b.x - a.x, b.y - a.y));
    return Math.min(lean, Math.PI - lean);
  };
  // An oval has two axes and a circle any number; the maker is offered all that fit alike.
  const [axis] = findAxes(outline!.path)
    .filter(({ equalToBest }) => equalToBest)
    .map((candidate) => candidate.axis)
    .sort((a, b) => leanOf(a) - leanOf(b));
  const check = checkFold(lines, axis!, FINDING_MM);
  const [largest] = check.stretches;
  const upright = { point: point(0, 0), angleRad: Math.PI / 2 };
  const middle = carry(axis!.point);
  return {
    axisMm: Math.abs(offsetFromLineMm(upright, middle)),
    axisDeg: (leanOf(axis!) * 180) / Math.PI,
    maxMm: check.maxMm,
    findings: check.stretches.length,
    placeMm: bump && largest ? distanceMm(carry(largest.at), bump.at) : Number.NaN,
    heightMm: bump && largest ? Math.abs(largest.peakMm) - Math.abs(bump.heightMm) : Number.NaN,
  };
}

export interface JudgedRefit {
  /** Largest distance of places that were left alone from where they belong once laid, mm. */
  readonly untouchedMm: number;
  /** Told trim less the true one, mm. */
  readonly trimErrorMm: number;
  readonly stretches: number;
  readonly mirrored: boolean;
}

/** Lays a photographed mock-up on the photographed piece. `untouched` are places of the drawn outline that were left alone. */
export function judgeRefit(
  before: readonly PieceLine[],
  after: readonly PieceLine[],
  truth: {
    readonly drawn: Path;
    readonly untouched: readonly PlanePoint[];
    readonly depthMm: number;
  },
): JudgedRefit {
  const options = { limitMm: 1 };
  const first = compareRevisions(before, after, options);
  if (!first.ok) throw new Error(first.problem.message);
  const toBefore = mover(layOn(truth.drawn, before[0]!.path).motion);
  const places = truth.untouched.map(toBefore);
  // A symmetric piece fits turned over as well: all ways that fit alike are offered, and the maker sees which one is right.
  const judged = first.value.ways
    .filter(({ equalToBest }) => equalToBest)
    .map((way): JudgedRefit => {
      const laid = compareRevisions(before, after, { ...options, way });
      if (!laid.ok) throw new Error(laid.problem.message);
      const { motion, stretches, mirrored } = laid.value;
      // The new edge, read at the places where nothing was cut.
      const back = mover(undoMotion(motion));
      const gaps = places.map((place) => nearestOnPath(after[0]!.path, back(place)).distanceMm);
      return {
        untouchedMm: Math.max(...gaps),
        trimErrorMm: (stretches[0]?.peakMm ?? 0) - truth.depthMm,
        stretches: stretches.length,
        mirrored,
      };
    });
  return judged.reduce((best, other) => (other.untouchedMm < best.untouchedMm ? other : best));
}
