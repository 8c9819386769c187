import type { Path, Segment } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { Span } from './clean-runs.ts';

/**
 * A chain of straight segments and cubics with its joints as unknowns, for the final fit. At a smooth joint both
 * neighbours share one direction (a straight neighbour's own, if there is one); at a corner, or a free end, each
 * handle points where it likes.
 */
export interface SplineJoint {
  readonly kind: 'corner' | 'smooth';
}

export interface SplineSpan {
  readonly kind: 'line' | 'cubic';
}

/**
 * `unknowns` in order: a joint's x, y and direction (rad), then the two handles of the span after it, each along and
 * across its direction, and the next joint: what goes together stands together, so that equations are a narrow band.
 */
export interface Spline {
  readonly closed: boolean;
  readonly joints: readonly SplineJoint[];
  /** Span k runs from joint k to joint k + 1 (cyclic when closed). */
  readonly spans: readonly SplineSpan[];
  readonly unknowns: Float64Array;
}

/** Unknowns of one joint, and of one with the span after it. */
const JOINT_UNKNOWNS = 3;
export const LINK_UNKNOWNS = 7;

/** Where a joint's unknowns begin. */
export function jointOffset(joint: number): number {
  return joint * LINK_UNKNOWNS;
}

/** Where a span's unknowns begin. */
export function spanOffset(span: number): number {
  return span * LINK_UNKNOWNS + JOINT_UNKNOWNS;
}

/** Joint at the end of a span. */
export function endJoint(spline: Spline, span: number): number {
  return (span + 1) % spline.joints.length;
}

/** Span that ends at a joint, or -1 at the start of an open chain. */
export function spanBefore(spline: Spline, joint: number): number {
  if (joint > 0) return joint - 1;
  return spline.closed ? spline.spans.length - 1 : -1;
}

/** Span that begins at a joint, or -1 at the end of an open chain. */
export function spanAfter(spline: Spline, joint: number): number {
  return joint < spline.spans.length ? joint : -1;
}

/** Direction of travel at a smooth joint, rad. */
function jointDirection(spline: Spline, unknowns: Float64Array, joint: number): number {
  for (const span of [spanBefore(spline, joint), spanAfter(spline, joint)]) {
    if (span < 0 || spline.spans[span]!.kind !== 'line') continue;
    const a = jointOffset(span);
    const b = jointOffset(endJoint(spline, span));
    return Math.atan2(unknowns[b + 1]! - unknowns[a + 1]!, unknowns[b]! - unknowns[a]!);
  }
  return unknowns[jointOffset(joint) + 2]!;
}

/** Writes a span's four control points for the given unknowns. */
export function spanControls(spline: Spline, unknowns: Float64Array, span: number, into: Float64Array): void {
  const from = span;
  const to = endJoint(spline, span);
  const x0 = unknowns[jointOffset(from)]!;
  const y0 = unknowns[jointOffset(from) + 1]!;
  const x3 = unknowns[jointOffset(to)]!;
  const y3 = unknowns[jointOffset(to) + 1]!;
  into[0] = x0;
  into[1] = y0;
  into[6] = x3;
  into[7] = y3;
  if (spline.spans[span]!.kind === 'line') {
    into[2] = (2 * x0 + x3) / 3;
    into[3] = (2 * y0 + y3) / 3;
    into[4] = (x0 + 2 * x3) / 3;
    into[5] = (y0 + 2 * y3) / 3;
    return;
  }
  const at = spanOffset(span);
  const fromSmooth = spline.joints[from]!.kind === 'smooth';
  const toSmooth = spline.joints[to]!.kind === 'smooth';
  const leaving = fromSmooth ? jointDirection(spline, unknowns, from) : 0;
  const arriving = toSmooth ? jointDirection(spline, unknowns, to) : 0;
  // A smooth handle uses its length alone; a free one is the vector (along, across) in the plane's own frame.
  const [outAlong, outAcross] = [unknowns[at]!, fromSmooth ? 0 : unknowns[at + 1]!];
  const [inAlong, inAcross] = [unknowns[at + 2]!, toSmooth ? 0 : unknowns[at + 3]!];
  into[2] = x0 + outAlong * Math.cos(leaving) - outAcross * Math.sin(leaving);
  into[3] = y0 + outAlong * Math.sin(leaving) + outAcross * Math.cos(leaving);
  into[4] = x3 - inAlong * Math.cos(arriving) + inAcross * Math.sin(arriving);
  into[5] = y3 - inAlong * Math.sin(arriving) - inAcross * Math.cos(arriving);
}

/** The spline as a path. */
export function pathOfSpline(spline: Spline): Path {
  const controls = new Float64Array(8);
  const segments: Segment[] = [];
  const at = (k: number): PlanePoint => ({ x: controls[k]!, y: controls[k + 1]! });
  const start = { x: spline.unknowns[0]!, y: spline.unknowns[1]! };
  for (const [span, { kind }] of spline.spans.entries()) {
    spanControls(spline, spline.unknowns, span, controls);
    const last = span === spline.spans.length - 1;
    const to = last && spline.closed ? start : at(6);
    const joint = spline.joints[endJoint(spline, span)]!.kind;
    segments.push(kind === 'line' ? { kind, to, joint } : { kind, c1: at(2), c2: at(4), to, joint });
  }
  return { closed: spline.closed, start, segments };
}

/** A span of a split line with its place along the samples. */
export interface ChainSpan extends Span {
  readonly from: number;
  readonly to: number;
  /** Places between which the samples may be trusted: corners' own surroundings are left out. */
  readonly trustedFrom: number;
  readonly trustedTo: number;
  readonly startsAtCorner: boolean;
}

/** Directions in which a span leaves its start and reaches its end, rad. */
function directionsOf({ controls: c }: Span): readonly [number, number] {
  return [Math.atan2(c[3]! - c[1]!, c[2]! - c[0]!), Math.atan2(c[7]! - c[5]!, c[6]! - c[4]!)];
}

/** Mean of two directions, rad. */
function meanDirection(a: number, b: number): number {
  return Math.atan2(Math.sin(a) + Math.sin(b), Math.cos(a) + Math.cos(b));
}

/** The chain as a spline: joints at corners, ends and between two straight spans are corners, all others smooth. */
export function splineOf(chain: readonly ChainSpan[], closed: boolean): Spline {
  const before = (k: number) => chain[(k + chain.length - 1) % chain.length]!;
  const joints: SplineJoint[] = chain.map((span, k) => {
    const end = !closed && k === 0;
    const betweenLines = span.kind === 'line' && before(k).kind === 'line';
    return { kind: span.startsAtCorner || end || betweenLines ? 'corner' : 'smooth' };
  });
  if (!closed) joints.push({ kind: 'corner' });
  const unknowns = new Float64Array(chain.length * LINK_UNKNOWNS + (closed ? 0 : JOINT_UNKNOWNS));
  for (const [k, span] of chain.entries()) {
    const c = span.controls;
    const end = (k + 1) % joints.length;
    unknowns.set(
      [c[0]!, c[1]!, meanDirection(directionsOf(before(k))[1], directionsOf(span)[0])],
      jointOffset(k),
    );
    if (end === chain.length) unknowns.set([c[6]!, c[7]!], jointOffset(end));
    const handle = (dx: number, dy: number, joint: number): readonly [number, number] =>
      joints[joint]!.kind === 'smooth' ? [Math.hypot(dx, dy), 0] : [dx, dy];
    const at = spanOffset(k);
    unknowns.set(handle(c[2]! - c[0]!, c[3]! - c[1]!, k), at);
    unknowns.set(handle(c[6]! - c[4]!, c[7]! - c[5]!, end), at + 2);
  }
  return { closed, joints, spans: chain.map(({ kind }) => ({ kind })), unknowns };
}
