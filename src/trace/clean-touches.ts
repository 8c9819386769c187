import {
  endJoint,
  LINK_UNKNOWNS,
  spanAfter,
  spanBefore,
  spanControls,
  spanOffset,
  type Spline,
} from './clean-spline.ts';

/** Step of the numerical derivatives, mm and rad. */
const NUDGE = 1e-4;

/** The control points of all spans. */
export function allControls(spline: Spline): Float64Array[] {
  return spline.spans.map((_, span) => {
    const controls = new Float64Array(8);
    spanControls(spline, spline.unknowns, span, controls);
    return controls;
  });
}

/** Spans whose shape an unknown changes. */
function spansTouched(spline: Spline, unknown: number): number[] {
  const joint = Math.floor(unknown / LINK_UNKNOWNS);
  if (unknown >= spanOffset(joint)) return [joint];
  const touched = new Set<number>();
  for (const span of [spanBefore(spline, joint), spanAfter(spline, joint)]) {
    if (span < 0) continue;
    touched.add(span);
    // A straight span hands its direction on to the spans on either side of it.
    if (spline.spans[span]!.kind !== 'line') continue;
    touched.add(spanBefore(spline, span));
    touched.add(spanAfter(spline, endJoint(spline, span)));
  }
  touched.delete(-1);
  return [...touched];
}

/** How a span's control points move with each unknown that touches it. */
export interface Touch {
  readonly unknown: number;
  /** Change of the eight controls per unit of the unknown. */
  readonly change: Float64Array;
}

/** What touches each span, at the spline's present shape. */
export function touchesOf(spline: Spline, spansByUnknown: readonly number[][]): Touch[][] {
  const touches: Touch[][] = spline.spans.map(() => []);
  const base = allControls(spline);
  const nudged = spline.unknowns.slice();
  const moved = new Float64Array(8);
  for (const [unknown, spans] of spansByUnknown.entries()) {
    nudged[unknown]! += NUDGE;
    for (const span of spans) {
      spanControls(spline, nudged, span, moved);
      const change = moved.map((value, k) => (value - base[span]![k]!) / NUDGE);
      if (change.some((value) => value !== 0)) touches[span]!.push({ unknown, change });
    }
    nudged[unknown] = spline.unknowns[unknown]!;
  }
  return touches;
}

/** The spans that each unknown touches. */
export function spansByUnknown(spline: Spline): number[][] {
  return Array.from(spline.unknowns, (_, unknown) => spansTouched(spline, unknown));
}

/** For each unknown the first one, itself perhaps, that shares a span with it: where its row of equations begins. */
export function firstSharing(spans: readonly (readonly number[])[]): Int32Array {
  const firstOf = new Map<number, number>();
  for (const [unknown, touched] of spans.entries()) {
    for (const span of touched) if (!firstOf.has(span)) firstOf.set(span, unknown);
  }
  return Int32Array.from(spans, (touched, unknown) =>
    touched.reduce((least, span) => Math.min(least, firstOf.get(span)!), unknown),
  );
}
