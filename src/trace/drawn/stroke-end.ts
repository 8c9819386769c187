import { median } from '../../geometry/median.ts';
import type { ImagePoint } from '../../geometry/point.ts';
import { lengthPx } from './stroke-graph.ts';
import { type PaperPhoto, readProfile } from './stroke-profile.ts';

/** Thinning bends a line's last bit: this much of it is not believed, mm, or this share of a short line. */
const UNSURE_MM = 1.5;
const UNSURE_SHARE = 0.25;
/** The way on is taken from this length of line, mm: a parabola through its places. */
const SHOWN_MM = 4;
const STEP_MM = 0.3;
/** Tracking goes on over paler spots up to this long, mm. */
const PALE_MM = 0.8;
/** How far past where the line was thought to end its tip is looked for: widths, and mm. */
const PAST_WIDTHS = 2;
const PAST_MM = 1.5;
/** A place this far from the way on is another thing's, in stroke widths. */
const STRAY_WIDTHS = 0.35;

type Way = (alongPx: number) => {
  readonly at: ImagePoint;
  readonly direction: ImagePoint;
};

/** The parabola through the last places by least squares: `along` is px from the last one, ahead of it. */
function wayOn(places: readonly ImagePoint[], shownPx: number): Way {
  const last = places[places.length - 1]!;
  const rows: { readonly s: number; readonly place: ImagePoint }[] = [];
  for (let i = places.length - 1, s = 0; i >= 0 && (s > -shownPx || rows.length < 5); i--) {
    rows.push({ s, place: places[i]! });
    const before = places[i - 1];
    if (before) s -= Math.hypot(places[i]!.u - before.u, places[i]!.v - before.v);
  }
  const u = parabola(rows.map(({ s, place }) => [s, place.u - last.u]));
  const v = parabola(rows.map(({ s, place }) => [s, place.v - last.v]));
  return (along) => {
    const [du, dv] = [u[1] + 2 * u[2] * along, v[1] + 2 * v[2] * along];
    const length = Math.hypot(du, dv) || 1;
    return {
      at: {
        u: last.u + u[0] + u[1] * along + u[2] * along * along,
        v: last.v + v[0] + v[1] * along + v[2] * along * along,
      },
      direction: { u: du / length, v: dv / length },
    };
  };
}

/** Least squares a + b s + c s2, with c drawn a little towards 0 so that a few noisy places make no hook. */
function parabola(rows: readonly (readonly [number, number])[]): readonly [number, number, number] {
  const reach = Math.max(1e-9, ...rows.map(([s]) => Math.abs(s)));
  const m = new Float64Array(9);
  const b = new Float64Array(3);
  for (const [s, value] of rows) {
    const powers = [1, s / reach, (s / reach) ** 2];
    for (let i = 0; i < 3; i++) {
      b[i]! += powers[i]! * value;
      for (let j = 0; j < 3; j++) m[3 * i + j]! += powers[i]! * powers[j]!;
    }
  }
  m[8]! += 0.001 * rows.length;
  for (let i = 0; i < 3; i++) {
    for (let r = i + 1; r < 3; r++) {
      const share = m[3 * r + i]! / m[4 * i]!;
      for (let j = i; j < 3; j++) m[3 * r + j]! -= share * m[3 * i + j]!;
      b[r]! -= share * b[i]!;
    }
  }
  const c = b[2]! / m[8]!;
  const d = (b[1]! - m[5]! * c) / m[4]!;
  return [(b[0]! - m[1]! * d - m[2]! * c) / m[0]!, d / reach, c / reach ** 2];
}

/** The darkness of the stroke at a place of its way, and how far beside the way its middle lies. */
function look(photo: PaperPhoto, way: Way, along: number, widthPx: number, halfLengthPx: number) {
  const { at, direction } = way(along);
  const reading = readProfile(photo, at.u, at.v, direction.v, -direction.u, widthPx, halfLengthPx);
  return reading && Math.abs(reading.offsetPx) <= STRAY_WIDTHS * widthPx + 0.5 ? reading : undefined;
}

/**
 * A stroke's line up to where the pencil's middle stopped: from its last sure part it is followed on, along the parabola
 * that this part shows, to its tip (its darkness has fallen to a half along it), and ends half a stroke's width before
 * that, as a round point draws. `places` run towards the end.
 */
export function withStrokeEnd(
  photo: PaperPhoto,
  places: readonly ImagePoint[],
  widthPx: number,
  pxPerMm: number,
): ImagePoint[] {
  const whole = lengthPx(places);
  const unsure = Math.min(UNSURE_MM * pxPerMm, UNSURE_SHARE * whole);
  const sure = places.slice();
  let taken = 0;
  while (taken < unsure && sure.length > 3) {
    const [a, b] = [sure[sure.length - 2]!, sure.pop()!];
    taken += Math.hypot(a.u - b.u, a.v - b.v);
  }
  const halfLength = Math.max(1, 0.3 * pxPerMm);
  const step = Math.max(1, STEP_MM * pxPerMm);
  const most = taken + PAST_WIDTHS * widthPx + PAST_MM * pxPerMm;
  const first = wayOn(sure, SHOWN_MM * pxPerMm);
  const shades = [-6, -5, -4, -3, -2, -1].flatMap(
    (k) => look(photo, first, k * step, widthPx, halfLength)?.darkness ?? [],
  );
  if (shades.length === 0) return [...places];
  const half = median(shades) / 2;
  const line = sure.slice();
  let pale = 0;
  for (let gone = 0; gone < most && pale < PALE_MM * pxPerMm; gone += step) {
    const way = wayOn(line, SHOWN_MM * pxPerMm);
    const reading = look(photo, way, step + pale, widthPx, halfLength);
    if (!reading || reading.darkness < half) {
      pale += step;
      continue;
    }
    const { at, direction } = way(step + pale);
    // Not the whole of what is read: the way on counts too.
    const beside = 0.8 * reading.offsetPx;
    line.push({ u: at.u + beside * direction.v, v: at.v - beside * direction.u });
    pale = 0;
  }
  return endedAtTip(photo, line, half, widthPx, pxPerMm);
}

/** Cuts or lengthens a line that was followed to about its tip, so that it ends half a width before the tip. */
function endedAtTip(
  photo: PaperPhoto,
  line: readonly ImagePoint[],
  half: number,
  widthPx: number,
  pxPerMm: number,
): ImagePoint[] {
  const way = wayOn(line, SHOWN_MM * pxPerMm);
  const fine = Math.max(0.4, 0.05 * pxPerMm);
  // A short strip, so that the tip is sharp; its mean over three, so that grain does not end it.
  const shade = (along: number): number =>
    median([-1, 0, 1].map((k) => look(photo, way, along + k * fine, widthPx, 1)?.darkness ?? 0));
  let tip = pxPerMm + widthPx;
  while (tip > -1.5 * pxPerMm && shade(tip) < half) tip -= fine;
  const end = tip - widthPx / 2;
  const last = line[line.length - 1]!;
  const kept = line.filter(({ u, v }, i) => {
    if (i < 3) return true;
    const { direction } = way(0);
    const along = (u - last.u) * direction.u + (v - last.v) * direction.v;
    return i < line.length - 12 || along < end - 0.15 * pxPerMm;
  });
  return [...kept, way(end).at];
}
