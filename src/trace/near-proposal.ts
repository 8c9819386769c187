import { median } from '../geometry/median.ts';
import type { ImagePoint } from '../geometry/point.ts';
import { type Contour, outwardNormals, wrap } from './contour.ts';

/** Samples either way over which a proposal's normals are taken, and whose middle displacement counts as the usual one. */
const NORMAL_REACH = 4;
const USUAL_REACH = 20;
/** A tracked place may lie this much further from its proposal than is usual there, px. */
const HELD_PX = 1.5;
/** A measured place may lie so far inside an opening from where it is expected, px; or so many usual strays. */
const ASTRAY_PX = 1.2;
const ASTRAY_SPREADS = 4;

/** A tracked edge beside its proposal. */
export interface HeldTrack {
  /** The track, held near. */
  readonly held: Contour;
  /** The proposal, moved as far as the track lies off it thereabouts. */
  readonly expected: Contour;
}

/**
 * A track held near its proposal (samples match): where a dark wall and bright table meet the face in one place the
 * track strays, and there it stays about as far from the proposal as beside that place.
 */
export function heldNear(proposal: Contour, track: Contour): HeldTrack {
  const normals = outwardNormals(proposal, NORMAL_REACH);
  const count = proposal.u.length;
  const moved = proposal.u.map(
    (u, i) => (track.u[i]! - u) * normals.u[i]! + (track.v[i]! - proposal.v[i]!) * normals.v[i]!,
  );
  const usual = moved.map((_, i) => {
    const beside = Float64Array.from(
      { length: 2 * USUAL_REACH + 1 },
      (_, k) => moved[wrap(i + k - USUAL_REACH, count)]!,
    );
    return beside.sort()[USUAL_REACH]!;
  });
  const shifted = (by: Float64Array): Contour => ({
    u: proposal.u.map((u, i) => u + by[i]! * normals.u[i]!),
    v: proposal.v.map((v, i) => v + by[i]! * normals.v[i]!),
  });
  return {
    held: shifted(moved.map((own, i) => Math.max(usual[i]! - HELD_PX, Math.min(usual[i]! + HELD_PX, own)))),
    expected: shifted(usual),
  };
}

/**
 * 1 for each place, of those that `liesOn` counts to it, that strays from the material's expected edge into the open: one that was drawn to another edge
 * inside an opening. Places beyond the edge, as in tips that the proposal cut off, stay.
 */
export function astrayFrom(expected: Contour, { u, v }: Contour, liesOn: readonly boolean[]): Uint8Array {
  const normals = outwardNormals(expected, NORMAL_REACH);
  const out = u.map((placeU, k) => {
    let nearest = 0;
    let least = Infinity;
    for (let i = 0; i < expected.u.length; i++) {
      const squared = (placeU - expected.u[i]!) ** 2 + (v[k]! - expected.v[i]!) ** 2;
      if (squared >= least) continue;
      least = squared;
      nearest = i;
    }
    return (
      (placeU - expected.u[nearest]!) * normals.u[nearest]! +
      (v[k]! - expected.v[nearest]!) * normals.v[nearest]!
    );
  });
  const strays = out.filter((_, i) => liesOn[i]).map(Math.abs);
  const limit = Math.max(ASTRAY_PX, ASTRAY_SPREADS * median(strays));
  return Uint8Array.from(out, (value, i) => (liesOn[i] && value > limit ? 1 : 0));
}

/** Distance of a place from the straight line between two others, px. */
function fromLinePx(place: ImagePoint, a: ImagePoint, b: ImagePoint): number {
  const [du, dv] = [b.u - a.u, b.v - a.v];
  const [pu, pv] = [place.u - a.u, place.v - a.v];
  const share = Math.max(0, Math.min(1, (pu * du + pv * dv) / (du * du + dv * dv || 1)));
  return Math.hypot(pu - share * du, pv - share * dv);
}

/** Share of the places, each with all that may be seen there, that lie further than `withinPx` from all closed lines. */
export function strayingShare(
  places: readonly (readonly ImagePoint[])[],
  lines: readonly (readonly ImagePoint[])[],
  withinPx: number,
): number {
  const isNear = (place: ImagePoint) =>
    lines.some((line) => line.some((a, i) => fromLinePx(place, a, line[(i + 1) % line.length]!) <= withinPx));
  return places.filter((seen) => !seen.some(isNear)).length / places.length;
}
