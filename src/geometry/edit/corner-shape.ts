import { failure, type Outcome, success } from '../../outcome.ts';
import { segmentLengthMm, segmentTAtLength } from '../arc-length.ts';
import type { Path, Segment } from '../path.ts';
import { segmentOf, segmentStart } from '../place.ts';
import type { PlanePoint } from '../point.ts';
import { segmentDirection, segmentPart, segmentPoint } from '../segment.ts';
import { cross, directionOf, dot, minus, plus, quarterLeft, times } from '../vector.ts';
import { jointPoint, segmentsAt } from './nodes.ts';

type CornerProblem = 'no-corner' | 'no-room';

/** The two segments that meet in a joint, with where they start. */
interface Meeting {
  readonly before: number;
  readonly after: number;
  readonly come: Segment;
  readonly comeFrom: PlanePoint;
  readonly go: Segment;
  readonly at: PlanePoint;
  /** From arriving to leaving, left positive, rad. */
  readonly turnRad: number;
}

const LEAST_TURN_RAD = 0.02;

function meetingAt(path: Path, joint: number): Meeting | undefined {
  const { before, after } = segmentsAt(path, joint);
  if (before === undefined || after === undefined || before === after) return undefined;
  const [come, go] = [segmentOf(path, before), segmentOf(path, after)];
  const comeFrom = segmentStart(path, before);
  const at = jointPoint(path, joint);
  const [arrive, leave] = [segmentDirection(comeFrom, come, 1), segmentDirection(at, go, 0)];
  if (!arrive || !leave) return undefined;
  const turnRad = Math.atan2(cross(arrive, leave), dot(arrive, leave));
  return Math.abs(turnRad) < LEAST_TURN_RAD ? undefined : { before, after, come, comeFrom, go, at, turnRad };
}

const NO_CORNER = failure(
  'no-corner',
  'The line does not turn at this joint, so there is no corner to work on. Pick a joint where it does.',
);

/** The path with both segments shortened to the places given, and `middle` between them. */
function withMiddle(
  path: Path,
  meeting: Meeting,
  tCome: number,
  tGo: number,
  middle: readonly Segment[],
): Path {
  const { before, after, come, comeFrom, go, at } = meeting;
  const head = {
    ...segmentPart(comeFrom, come, 0, tCome).segment,
    joint: middle[0]!.kind === 'cubic' ? 'smooth' : 'corner',
  } as const;
  const tail = segmentPart(at, go, tGo, 1).segment;
  const segments = path.segments.flatMap((segment, i) => {
    if (i === before) return [head, ...middle];
    return i === after ? [tail] : [segment];
  });
  // At a closed path's start the middle comes at the end of the list, and the path starts where it ends.
  const start = after === 0 && path.closed ? middle.at(-1)!.to : path.start;
  return { ...path, start, segments };
}

/** Cuts a corner off straight, `setbackMm` along the line from it on both sides. */
export function cutCorner(path: Path, joint: number, setbackMm: number): Outcome<Path, CornerProblem> {
  const meeting = meetingAt(path, joint);
  if (!meeting) return NO_CORNER;
  const { come, comeFrom, go, at } = meeting;
  const [comeMm, goMm] = [segmentLengthMm(comeFrom, come), segmentLengthMm(at, go)];
  if (!(setbackMm > 0) || setbackMm >= Math.min(comeMm, goMm)) {
    return failure(
      'no-room',
      `The shorter line at this corner is ${Math.min(comeMm, goMm).toFixed(1)} mm long: the cut must begin nearer to the corner than that.`,
    );
  }
  const tCome = segmentTAtLength(comeFrom, come, comeMm - setbackMm);
  const tGo = segmentTAtLength(at, go, setbackMm);
  return success(
    withMiddle(path, meeting, tCome, tGo, [{ kind: 'line', to: segmentPoint(at, go, tGo), joint: 'corner' }]),
  );
}

/** Rounds a corner with an arc of a radius, mm, that touches the lines on both sides; true to 0.03 % of the radius. */
export function roundCorner(path: Path, joint: number, radiusMm: number): Outcome<Path, CornerProblem> {
  const meeting = meetingAt(path, joint);
  if (!meeting) return NO_CORNER;
  const touch = radiusMm > 0 ? touchingCircle(meeting, radiusMm) : undefined;
  if (!touch) {
    return failure(
      'no-room',
      `A circle of ${radiusMm} mm radius does not touch both lines at this corner: they are too short for it or bend away. Choose a smaller radius.`,
    );
  }
  return success(withMiddle(path, meeting, touch.tCome, touch.tGo, arc(touch, radiusMm)));
}

interface Touch {
  readonly tCome: number;
  readonly tGo: number;
  readonly centre: PlanePoint;
  readonly fromRad: number;
  readonly sweepRad: number;
}

/** Centre of the circle on the inner side that touches a segment at t. */
function centreBeside(from: PlanePoint, segment: Segment, t: number, side: number): PlanePoint | undefined {
  const direction = segmentDirection(from, segment, t);
  return direction && plus(segmentPoint(from, segment, t), times(quarterLeft(direction), side));
}

/**
 * The circle that touches both segments: Newton's method on the two places, which are right where both give the same
 * centre. Begins where straight lines in the corner's own directions would be touched.
 */
function touchingCircle({ come, comeFrom, go, at, turnRad }: Meeting, radiusMm: number): Touch | undefined {
  const side = radiusMm * Math.sign(turnRad);
  const setback = radiusMm * Math.tan(Math.abs(turnRad) / 2);
  let tCome = 1 - Math.min(0.9, setback / segmentLengthMm(comeFrom, come));
  let tGo = Math.min(0.9, setback / segmentLengthMm(at, go));
  const gapAt = (a: number, b: number): PlanePoint | undefined => {
    const [first, second] = [centreBeside(comeFrom, come, a, side), centreBeside(at, go, b, side)];
    return first && second && minus(first, second);
  };
  const step = 1e-6;
  for (let round = 0; round < 60; round++) {
    const gap = gapAt(tCome, tGo);
    const [alongCome, alongGo] = [gapAt(tCome - step, tGo), gapAt(tCome, tGo + step)];
    if (!gap || !alongCome || !alongGo) return undefined;
    if (Math.hypot(gap.x, gap.y) < 1e-9) break;
    const a = times(minus(alongCome, gap), -1 / step);
    const b = times(minus(alongGo, gap), 1 / step);
    const determinant = cross(a, b);
    if (Math.abs(determinant) < 1e-12) return undefined;
    const [dCome, dGo] = [-cross(gap, b) / determinant, -cross(a, gap) / determinant];
    const damping = Math.min(1, 0.25 / Math.max(Math.abs(dCome), Math.abs(dGo), 1e-12));
    tCome += damping * dCome;
    tGo += damping * dGo;
    if (tCome < -0.5 || tCome > 1.5 || tGo < -0.5 || tGo > 1.5) return undefined;
  }
  const gap = gapAt(tCome, tGo);
  const isInside = tCome > 0 && tCome < 1 && tGo > 0 && tGo < 1;
  if (!gap || Math.hypot(gap.x, gap.y) > 1e-6 || !isInside) return undefined;
  const centre = centreBeside(comeFrom, come, tCome, side)!;
  const [from, to] = [
    minus(segmentPoint(comeFrom, come, tCome), centre),
    minus(segmentPoint(at, go, tGo), centre),
  ];
  const sweepRad = Math.atan2(cross(from, to), dot(from, to));
  // The arc turns the way the corner does, and less than half way round.
  if (Math.sign(sweepRad) !== Math.sign(turnRad)) return undefined;
  return { tCome, tGo, centre, fromRad: Math.atan2(from.y, from.x), sweepRad };
}

/** An arc as cubics of a quarter turn at most: handles of 4/3 tan(angle/4) of the radius. */
function arc({ centre, fromRad, sweepRad }: Touch, radiusMm: number): Segment[] {
  const count = Math.ceil(Math.abs(sweepRad) / (Math.PI / 2) - 1e-9);
  const step = sweepRad / count;
  const handle = (4 / 3) * Math.tan(step / 4) * radiusMm;
  return Array.from({ length: count }, (_, i) => {
    const [from, to] = [directionOf(fromRad + i * step), directionOf(fromRad + (i + 1) * step)];
    const [start, end] = [plus(centre, times(from, radiusMm)), plus(centre, times(to, radiusMm))];
    return {
      kind: 'cubic',
      c1: plus(start, times(quarterLeft(from), handle)),
      c2: minus(end, times(quarterLeft(to), handle)),
      to: end,
      joint: 'smooth',
    } as const;
  });
}
