/** One outline from the parts that several photos of a long piece saw. */
import { polygonAreaMm2 } from '../geometry/measure.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { distanceMm } from '../geometry/point.ts';
import { type PartialOutline, passOf, type Run, trustedRuns, weightAt } from './join-runs.ts';

/** A closed line put together from photos, each point with a photo that saw it and where. */
export interface JoinedLoop {
  readonly points: readonly PlanePoint[];
  readonly photos: readonly number[];
  readonly seenPx: readonly ImagePoint[];
}

/** How far apart photos put the edge where more than one saw it. */
export interface Overlap {
  readonly maxMm: number;
  readonly meanMm: number;
  /** Length of edge seen more than once, mm; 0 when none was. */
  readonly lengthMm: number;
  /** Where they are farthest apart, and which photos. */
  readonly at?: PlanePoint;
  readonly photos?: readonly [number, number];
}

export interface JoinedOutlines {
  /** Closed lines, none of them twice. */
  readonly loops: readonly JoinedLoop[];
  /** Of lines that no photo saw whole, and of an outline that more than one did. */
  readonly overlap: Overlap;
  /** Of openings that more than one photo saw whole. */
  readonly openingOverlap: Overlap;
  /** Length of the widest stretch of edge that no photo saw, mm, when a line could not be closed. */
  readonly gapMm?: number;
}

/** A run of which others saw this share is told by them. */
const TOLD_SHARE = 0.8;
/** Leftovers shorter than this are flaws of the tracing, mm. */
const FLAW_MM = 12;

/** Share of a run's points that one of the other runs passes, too. */
function shareSeenBy(run: Run, others: readonly Run[]): number {
  let seen = 0;
  for (let i = 0; i < run.points.length; i++) {
    if (others.some((other) => other !== run && passOf(run, i, other))) seen++;
  }
  return seen / run.points.length;
}

function overlapOf(runs: readonly Run[]): Overlap {
  let [maxMm, sum, lengthMm] = [0, 0, 0];
  let worst: Pick<Overlap, 'at' | 'photos'> = {};
  for (const [k, run] of runs.entries()) {
    for (const other of runs.slice(k + 1)) {
      if (other.photo === run.photo) continue;
      for (let i = 1; i < run.points.length; i++) {
        const pass = passOf(run, i, other);
        if (!pass) continue;
        const step = run.alongMm[i]! - run.alongMm[i - 1]!;
        lengthMm += step;
        sum += step * pass.gapMm;
        if (pass.gapMm > maxMm) {
          maxMm = pass.gapMm;
          worst = { at: run.points[i]!, photos: [run.photo, other.photo] };
        }
      }
    }
  }
  return { maxMm, meanMm: lengthMm > 0 ? sum / lengthMm : 0, lengthMm, ...worst };
}

/** A run's point drawn towards where the other photos put the edge, by how well inside its run each saw it. */
function blended(run: Run, i: number, runs: readonly Run[]): PlanePoint {
  const own = run.points[i]!;
  let weight = weightAt(run, run.alongMm[i]!);
  let [x, y] = [weight * own.x, weight * own.y];
  for (const other of runs) {
    if (other.photo === run.photo) continue;
    const pass = passOf(run, i, other);
    if (!pass) continue;
    const w = weightAt(other, pass.alongMm);
    x += w * pass.point.x;
    y += w * pass.point.y;
    weight += w;
  }
  return weight > 1e-6 ? { x: x / weight, y: y / weight } : own;
}

/** The run to go on with from the end of another: the one that leads farthest. */
function nextRun(run: Run, runs: readonly Run[]): { readonly run: Run; readonly from: number } | undefined {
  const last = run.points.length - 1;
  return runs
    .flatMap((other) => {
      const pass = other.photo === run.photo ? undefined : passOf(run, last, other);
      return pass ? [{ run: other, from: pass.edge + 1, left: other.lengthMm - pass.alongMm }] : [];
    })
    .sort((a, b) => b.left - a.left)[0];
}

interface Walk {
  readonly loop: JoinedLoop;
  readonly walked: readonly Run[];
}

/** Goes from run to run round the piece until the first one's beginning comes by; how far it was when none goes on. */
function walkRound(first: Run, runs: readonly Run[]): Walk | { readonly gapMm: number } {
  const [points, photos, seenPx]: [PlanePoint[], number[], ImagePoint[]] = [[], [], []];
  const emit = (run: Run, from: number, to: number): void => {
    for (let i = from; i <= to; i++) {
      points.push(blended(run, i, runs));
      photos.push(run.photo);
      seenPx.push(run.seenPx[i]!);
    }
  };
  const walked = [first];
  emit(first, 0, first.points.length - 1);
  let run = first;
  while (walked.length <= 2 * runs.length) {
    const next = nextRun(run, runs);
    if (!next) break;
    const home = passOf(first, 0, next.run);
    if (home && home.edge >= next.from) {
      emit(next.run, next.from, home.edge);
      return { loop: { points, photos, seenPx }, walked: [...walked, next.run] };
    }
    run = next.run;
    walked.push(run);
    emit(run, next.from, run.points.length - 1);
  }
  // A photo's own runs do not fill its gap: what is missing lies between it and the others.
  const end = run.points.at(-1)!;
  const gaps = runs.flatMap((other) =>
    other.photo === run.photo ? [] : [distanceMm(end, other.points[0]!)],
  );
  return { gapMm: Math.min(...gaps) };
}

const wholeLoop = ({ points, seenPx, photo }: Run): JoinedLoop => ({
  points,
  seenPx,
  photos: points.map(() => photo),
});

/**
 * Joins the outlines (with holes) that photos traced of one piece, given in the frame that the photos share. Stretches
 * along a photo's border are dropped; a line that one photo saw whole is taken from it (when several did, from the one
 * that saw it least aslant); other lines are put together from run to run, and where photos both saw the edge the line goes from one
 * to the other by degrees. Points are mm; outlines run counter-clockwise, holes clockwise, as they were given.
 */
export function joinOutlines(outlines: readonly PartialOutline[]): JoinedOutlines {
  const runs = outlines.flatMap(trustedRuns);
  const openings = runs.filter(({ closed, points }) => closed && polygonAreaMm2(points) < 0);
  const overlap = overlapOf(runs.filter((run) => !openings.includes(run)));
  const openingOverlap = overlapOf(openings);
  const whole: Run[] = [];
  for (const run of runs.filter(({ closed }) => closed).sort((a, b) => a.aslant - b.aslant)) {
    if (shareSeenBy(run, whole) < TOLD_SHARE) whole.push(run);
  }
  const loops = whole.map(wholeLoop);
  const open = runs.filter((run) => !run.closed).sort((a, b) => b.lengthMm - a.lengthMm);
  const told: Run[] = [...whole];
  for (const run of open) {
    if (told.includes(run) || run.lengthMm < FLAW_MM || shareSeenBy(run, told) >= TOLD_SHARE) continue;
    const walk = walkRound(run, open);
    if ('gapMm' in walk) return { loops, overlap, openingOverlap, gapMm: walk.gapMm };
    loops.push(walk.loop);
    told.push(...walk.walked);
  }
  return { loops, overlap, openingOverlap };
}
