import type { Joint, Segment } from '../path.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { segmentPoint } from '../segment.ts';
import { minus, plus, times } from '../vector.ts';

/**
 * The cubic spline with the fewest even spans that keeps within a tolerance (mm) of even samples, given its directions
 * at both ends (length one). Its curvature does not jump where two spans meet (de Boor, A Practical Guide to Splines,
 * clamped ends; from memory).
 */
export function evenSpline(
  samples: readonly PlanePoint[],
  ends: { readonly start: PlanePoint; readonly end: PlanePoint },
  toleranceMm: number,
  lastJoint: Joint,
): Segment[] {
  const steps = samples.length - 1;
  let best: Segment[] = [];
  for (let spans = 1; spans <= steps; spans = Math.ceil(spans * 1.3)) {
    best = splineOfSpans(samples, ends, Math.min(spans, steps), lastJoint);
    if (misfit(samples, best) <= toleranceMm) break;
  }
  return best;
}

function splineOfSpans(
  samples: readonly PlanePoint[],
  { start, end }: { readonly start: PlanePoint; readonly end: PlanePoint },
  spans: number,
  lastJoint: Joint,
): Segment[] {
  const last = samples.length - 1;
  // Rounded to whole samples, so that every joint is one of them.
  const places = Array.from({ length: spans + 1 }, (_, i) => Math.round((i * last) / spans));
  const knots = places.map((place) => samples[place]!);
  const widths = places.slice(1).map((place, i) => place - places[i]!);
  const speedMm = samples.slice(1).reduce((sum, point, i) => sum + distanceMm(samples[i]!, point), 0) / last;
  const slopes = clampedSlopes(knots, widths, times(start, speedMm), times(end, speedMm));
  return widths.map((width, i): Segment => {
    const [from, to] = [knots[i]!, knots[i + 1]!];
    return {
      kind: 'cubic',
      c1: plus(from, times(slopes[i]!, width / 3)),
      c2: minus(to, times(slopes[i + 1]!, width / 3)),
      to,
      joint: i + 1 === spans ? lastJoint : 'smooth',
    };
  });
}

/** Slopes at the knots, by elimination down the three diagonals and back. */
function clampedSlopes(
  knots: readonly PlanePoint[],
  widths: readonly number[],
  first: PlanePoint,
  last: PlanePoint,
): PlanePoint[] {
  const inner = widths.length - 1;
  const slopes: PlanePoint[] = [first];
  const ratios: number[] = [];
  let carried = first;
  for (let i = 1; i <= inner; i++) {
    const [h0, h1] = [widths[i - 1]!, widths[i]!];
    const rise = plus(
      times(minus(knots[i]!, knots[i - 1]!), (3 * h1) / h0),
      times(minus(knots[i + 1]!, knots[i]!), (3 * h0) / h1),
    );
    // h1 m[i-1] + 2 (h0 + h1) m[i] + h0 m[i+1] = rise
    const diagonal = 2 * (h0 + h1) - h1 * (ratios[i - 2] ?? 0);
    carried = times(minus(rise, times(carried, h1)), 1 / diagonal);
    ratios.push(h0 / diagonal);
    slopes.push(carried);
  }
  slopes.push(last);
  for (let i = inner; i >= 1; i--) slopes[i] = minus(slopes[i]!, times(slopes[i + 1]!, ratios[i - 1]!));
  return slopes;
}

/** How far the spline lies from the samples between its knots, mm; both run evenly, so each has its place. */
function misfit(samples: readonly PlanePoint[], segments: readonly Segment[]): number {
  const last = samples.length - 1;
  const spans = segments.length;
  let worst = 0;
  let from = samples[0]!;
  segments.forEach((segment, i) => {
    const [begin, end] = [Math.round((i * last) / spans), Math.round(((i + 1) * last) / spans)];
    for (let k = begin + 1; k < end; k++) {
      const at = segmentPoint(from, segment, (k - begin) / (end - begin));
      worst = Math.max(worst, distanceMm(at, samples[k]!));
    }
    from = segment.to;
  });
  return worst;
}
