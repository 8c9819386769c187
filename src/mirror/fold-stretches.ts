import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import type { Half } from './axis.ts';
import type { FoldedLine } from './folded-line.ts';
import { oddHalf } from './odd-half.ts';
import { type Run, runsOf } from './runs.ts';

/** A stretch where the halves differ by more than the limit. */
export interface FoldStretch {
  readonly lineId: string;
  /** Lengths along that line, mm. On a closed line a stretch over its start has `toMm` above the line's length. */
  readonly fromMm: number;
  readonly toMm: number;
  /** Largest deviation, positive where this half lies outside the other, mm; and where. */
  readonly peakMm: number;
  readonly at: PlanePoint;
  /** The same place on the other half. */
  readonly twinAt: PlanePoint;
  readonly twinLineId: string;
  /** The half the stretch lies on. */
  readonly half: Half;
  /** True when this half looks like the odd one: its edge bends more there. False when both bend alike. */
  readonly isOddHalf: boolean;
}

/** Runs closer than this to each other's mirror image are the same unlikeness seen from both halves, mm. */
const SAME_FINDING_MM = 4;

/** Carries a point of one half to where it lies on the other. */
export type ToTwin = (point: PlanePoint, from: Half) => PlanePoint;

/** Stretches above the limit on any of the lines, largest first. */
export function findStretches(lines: readonly FoldedLine[], toTwin: ToTwin, limitMm: number): FoldStretch[] {
  const runs = lines.flatMap((line) => runsOf(line, limitMm)).sort((a, b) => size(b) - size(a));
  const taken = new Set<Run>();
  return runs.flatMap((run) => {
    if (taken.has(run)) return [];
    // All runs on the other half that face this one belong to it.
    const facing = runs.filter(
      (other) => !taken.has(other) && other.half !== run.half && faces(run, other, toTwin),
    );
    for (const used of [run, ...facing]) taken.add(used);
    return [tell(run, facing, lines, toTwin)];
  });
}

/** Where the largest deviation of all lies, on the half that more likely is the odd one. */
export function placeOfLargest(lines: readonly FoldedLine[], toTwin: ToTwin): PlanePoint {
  const largest = lines.reduce((best, line) => (line.maxMm > best.maxMm ? line : best));
  // The stretch it would make were the limit a little below it.
  const [stretch] = largest.maxMm > 0 ? findStretches(lines, toTwin, 0.6 * largest.maxMm) : [];
  return stretch?.at ?? largest.maxAt;
}

const size = (run: Run) => Math.abs(run.peak.deviationMm);

/** True when one run's edge, carried to the other half, meets the other run. */
function faces(run: Run, other: Run, toTwin: ToTwin): boolean {
  if (run.line.twinId !== other.line.lineId) return false;
  return comesNear(run, other, toTwin) || comesNear(other, run, toTwin);
}

function comesNear(run: Run, other: Run, toTwin: ToTwin): boolean {
  return run.samples.some((k) => {
    const twin = toTwin(run.line.samples[k]!.match, run.half);
    return other.samples.some((i) => distanceMm(other.line.samples[i]!.point, twin) < SAME_FINDING_MM);
  });
}

/**
 * Tells a finding from the half that bends more unevenly: there the edge was most likely cut or drawn amiss.
 * When both bend alike, it is told from the half that stands out.
 */
function tell(run: Run, facing: readonly Run[], lines: readonly FoldedLine[], toTwin: ToTwin): FoldStretch {
  const odd = oddHalf([run, ...facing]);
  const height = size(run);
  const isHere = odd === undefined ? run.peak.deviationMm > 0 || facing.length === 0 : odd === run.half;
  const there = isHere ? undefined : (facing[0] ?? mirrored(run, lines, toTwin));
  const told = there ?? run;
  return {
    lineId: told.line.lineId,
    fromMm: told.fromMm,
    toMm: told.toMm,
    peakMm: Math.sign(told.peak.deviationMm || 1) * height,
    at: told.peak.point,
    twinAt: toTwin(told.peak.match, told.half),
    twinLineId: told.line.twinId,
    half: told.half,
    isOddHalf: odd !== undefined && odd === told.half,
  };
}

/** The run as it would be told from the other half, when that half shows nothing over the limit itself. */
function mirrored(run: Run, lines: readonly FoldedLine[], toTwin: ToTwin): Run | undefined {
  const line = lines.find(
    ({ lineId, samples }) => lineId === run.line.twinId && samples.some(({ half }) => half !== run.half),
  );
  if (!line) return undefined;
  const nearest = (target: PlanePoint) =>
    line.samples.reduce(
      (best, { half, point }, i) =>
        half !== run.half && distanceMm(point, target) < distanceMm(line.samples[best]!.point, target)
          ? i
          : best,
      line.samples.findIndex(({ half }) => half !== run.half),
    );
  const [first, last] = [run.samples[0]!, run.samples[run.samples.length - 1]!];
  const ends = [first, last].map(
    (i) => line.samples[nearest(toTwin(run.line.samples[i]!.match, run.half))]!.alongMm,
  );
  const peak = line.samples[nearest(toTwin(run.peak.match, run.half))]!;
  // Mirrored, the stretch runs the other way.
  const [toMm, fromMm] = ends as [number, number];
  return {
    line,
    half: peak.half,
    fromMm,
    toMm: toMm < fromMm ? toMm + line.lengthMm : toMm,
    peak,
    samples: [],
  };
}
