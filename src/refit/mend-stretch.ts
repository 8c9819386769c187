import { deviationFrom } from '../geometry/deviation.ts';
import { indexPath } from '../geometry/flat-path.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import { mover, offsetFromLineMm, type RigidMotion, reflectionAcross } from '../geometry/motion.ts';
import { nearestOnPath } from '../geometry/nearest.ts';
import type { Path } from '../geometry/path.ts';
import { pathFaults } from '../geometry/path-faults.ts';
import { placeAtLength, pointAt } from '../geometry/place.ts';
import { samplePath } from '../geometry/sample-path.ts';
import type { FoldLine, Half } from '../mirror/axis.ts';
import type { FoldStretch } from '../mirror/fold-stretches.ts';
import { type MendErrorCode, type Mended, type MendMode, mend } from '../mirror/mend.ts';
import { changesOf } from '../mirror/mend-changes.ts';
import { failure, type Outcome, success } from '../outcome.ts';
import type { Span } from './changed-spans.ts';
import { runLike } from './compare-line.ts';
import { splice } from './splice.ts';

const STAY: RigidMotion = { mirrored: false, angleRad: 0, shift: { x: 0, y: 0 } };
const SPACING_MM = 0.25;
/** The mended edge leaves the old one where they agree to this, or else where they do best within reach, mm. */
const AGREE_MM = 0.05;
const REACH_MM = 12;
/** So near to the fold line both halves move together, mm. */
const AT_AXIS_MM = 0.5;

/**
 * Makes the halves alike on one stretch only (a finding of checkFold with the same lines and axis): the whole piece is mended, and the mended
 * edge is taken over from where it parts from the old one to where it comes back. The rest of a closed line stays as it
 * was, to the last figure; an open line is taken over whole.
 */
export function mendStretch(
  lines: readonly PieceLine[],
  axis: FoldLine,
  mode: MendMode,
  stretch: FoldStretch,
): Outcome<Mended, MendErrorCode> {
  const whole = mend(lines, axis, mode);
  if (!whole.ok) return whole;
  const parts = partsToMend(lines, axis, mode, stretch);
  const results = lines.map((line) => {
    const mine = parts.filter(({ lineId }) => lineId === line.id);
    const mended = whole.value.lines.find(({ id }) => id === line.id)!;
    if (mine.length === 0 || mended.path === line.path) return line;
    if (!line.path.closed) return mended;
    const fresh = runLike(mended.path, line.path);
    const taken = mine.map(({ span, half }) => replacement(line.path, fresh, span, axis, half));
    return { ...line, path: splice(line.path, fresh, taken) };
  });
  if (results.some(({ path }, i) => crossesItself(path) && !crossesItself(lines[i]!.path))) {
    return failure(
      'would-cross-itself',
      'Mended here only, the edge would cross itself, so it could not be cut. Mend the whole piece, or keep the other half.',
    );
  }
  return success({ lines: results, ...changesOf(lines, results), notes: [] });
}

const crossesItself = (path: Path) => pathFaults(path).some(({ code }) => code === 'crosses-itself');

interface Part {
  readonly lineId: string;
  readonly half: Half;
  readonly span: Span;
}

/** The stretch itself, its mirror image on the other half, or both: what is not kept. */
function partsToMend(
  lines: readonly PieceLine[],
  axis: FoldLine,
  mode: MendMode,
  stretch: FoldStretch,
): Part[] {
  const { lineId, twinLineId, half, fromMm, toMm } = stretch;
  const here: Part = { lineId, half, span: { fromMm, toMm } };
  const there: Part = {
    lineId: twinLineId,
    half: half === 'left' ? 'right' : 'left',
    span: twinSpan(lines, axis, stretch),
  };
  if (mode === 'average') return [here, there];
  const changed: Half = mode === 'keep-left' ? 'right' : 'left';
  return [here, there].filter((part) => part.half === changed);
}

/** The stretch on the other half. Mirrored, it runs the other way. */
function twinSpan(lines: readonly PieceLine[], axis: FoldLine, stretch: FoldStretch): Span {
  const own = lines.find(({ id }) => id === stretch.lineId)!.path;
  const twin = lines.find(({ id }) => id === stretch.twinLineId)!.path;
  const reflect = mover(reflectionAcross(axis));
  const alongTwin = (alongMm: number) =>
    nearestOnPath(twin, reflect(pointAt(own, placeAtLength(own, alongMm)))).alongMm;
  const [a, middle, b] = [stretch.fromMm, (stretch.fromMm + stretch.toMm) / 2, stretch.toMm].map(
    alongTwin,
  ) as [number, number, number];
  if (!twin.closed) return { fromMm: Math.min(a, b), toMm: Math.max(a, b) };
  const lengthMm = pathLengthMm(twin);
  const ahead = (from: number, to: number) => (to - from + lengthMm) % lengthMm;
  const [fromMm, toMm] = ahead(b, middle) <= ahead(b, a) ? [b, a] : [a, b];
  return { fromMm, toMm: fromMm + ahead(fromMm, toMm) };
}

/** The span widened at both ends to where the mended edge agrees with the old one, and the same on the mended line. */
function replacement(old: Path, fresh: Path, { fromMm, toMm }: Span, axis: FoldLine, half: Half) {
  const lengthMm = pathLengthMm(old);
  const samples = deviationFrom(samplePath(old, SPACING_MM), STAY, indexPath(fresh));
  const side = half === 'left' ? 1 : -1;
  const firstFrom = (start: number, step: 1 | -1) => {
    const wanted = ((start % lengthMm) + lengthMm) % lengthMm;
    const first = samples.reduce(
      (best, { alongMm }, i) =>
        Math.abs(alongMm - wanted) < Math.abs(samples[best]!.alongMm - wanted) ? i : best,
      0,
    );
    let best = { awayMm: 0, gapMm: Math.abs(samples[first]!.deviationMm) };
    for (let k = 1; k * SPACING_MM <= REACH_MM && best.gapMm > AGREE_MM; k++) {
      const { point, deviationMm } = samples[(first + step * k + samples.length * 2) % samples.length]!;
      // Beyond the fold line lies the half that is kept.
      if (side * offsetFromLineMm(axis, point) < AT_AXIS_MM) break;
      const gapMm = Math.abs(deviationMm);
      if (gapMm < best.gapMm) best = { awayMm: k * SPACING_MM, gapMm };
    }
    return start + step * best.awayMm;
  };
  const span = { fromMm: firstFrom(fromMm, -1), toMm: firstFrom(toMm, 1) };
  const onFresh = (alongMm: number) =>
    nearestOnPath(fresh, pointAt(old, placeAtLength(old, alongMm))).alongMm;
  const freshLengthMm = pathLengthMm(fresh);
  const freshFrom = onFresh(span.fromMm);
  const freshTo = freshFrom + ((onFresh(span.toMm) - freshFrom + freshLengthMm) % freshLengthMm);
  const startMm = ((span.fromMm % lengthMm) + lengthMm) % lengthMm;
  return {
    old: { fromMm: startMm, toMm: startMm + span.toMm - span.fromMm },
    fresh: { fromMm: freshFrom, toMm: freshTo },
  };
}
