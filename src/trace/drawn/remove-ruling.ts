import { imageToPlane } from '../../capture/camera.ts';
import type { Capture } from '../../capture/types.ts';
import { median } from '../../geometry/median.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import type { StrokeField } from '../../vision/stroke-field.ts';
import { findRulings, offRuling, type Ruling } from './find-ruling.ts';

/** About this many dark places show a ruling well enough. */
const ENOUGH_POINTS = 30_000;
/** A ruling's profile is taken this far to either side of its line, mm, in bins. */
const REACH_MM = 1;
const BIN_MM = 0.125;
const BINS = 2 * Math.round(REACH_MM / BIN_MM) + 1;
/** Stretches of a printed line that are looked at one by one, mm: what crosses them fills less than half of each. */
const STRETCH_MM = 12;
/** Paper does not lie quite flat: a printed line may lie this far from where its ruling has it, mm. */
const MOST_SHIFT_MM = 0.4;
/** A printed line may be darker in one stretch than over its length, by this factor: more is drawn on it. */
const MOST_DARKER = 1.25;
/** What is taken off, against what was measured: print is uneven. */
const MARGIN = 1.15;

/** A pixel counts as printed on from this missing light (logarithm). */
const PRINTED = 0.06;

interface Stretch {
  readonly line: number;
  /** Missing light (logarithm) by bin across the line. */
  readonly samples: number[][];
  profile: Float64Array;
  shiftMm: number;
}

/** A profile at a distance from its middle, between its bins. */
function profileAt(profile: Float64Array, offMm: number): number {
  const place = (offMm + REACH_MM) / BIN_MM;
  const bin = Math.floor(place);
  if (bin < 0 || bin >= BINS - 1) return 0;
  return profile[bin]! + (place - bin) * (profile[bin + 1]! - profile[bin]!);
}

/** Where the dark middle of a profile lies, mm, no farther out than a printed line may. */
function shiftOf(profile: Float64Array): number {
  let [weight, moment] = [0, 0];
  const peak = profile.reduce((most, value) => Math.max(most, value), 0);
  for (let k = 0; k < BINS; k++) {
    const offMm = k * BIN_MM - REACH_MM;
    const over = Math.max(0, profile[k]! - peak / 2);
    if (Math.abs(offMm) > MOST_SHIFT_MM + 0.25) continue;
    weight += over;
    moment += over * offMm;
  }
  const shift = weight > 0 ? moment / weight : 0;
  return Math.max(-MOST_SHIFT_MM, Math.min(MOST_SHIFT_MM, shift));
}

/** The profile that most of the stretches share, each laid with its own middle on the others'. */
function sharedProfile(stretches: readonly Stretch[]): Float64Array {
  return Float64Array.from({ length: BINS }, (_, k) =>
    median(stretches.map(({ profile, shiftMm }) => profileAt(profile, k * BIN_MM - REACH_MM + shiftMm))),
  );
}

/** How much of `shared` a stretch holds, by least squares. */
function amountIn({ profile, shiftMm }: Stretch, shared: Float64Array): number {
  let [product, square] = [0, 0];
  for (let k = 0; k < BINS; k++) {
    const value = profileAt(shared, k * BIN_MM - REACH_MM - shiftMm);
    product += value * profile[k]!;
    square += value * value;
  }
  return square > 0 ? Math.max(0, Math.min(MOST_DARKER, product / square)) : 0;
}

const stretchKey = (line: number, part: number): number => line * 4096 + part + 2048;

/** Adds to `printed` the missing light of one ruling's lines, measured along them stretch by stretch. */
function measureRuling(
  ruling: Ruling,
  places: readonly (PlanePoint | undefined)[],
  missing: Float32Array,
  printed: Float32Array,
): void {
  const { normal } = ruling;
  const reachMm = Math.min(REACH_MM, 0.45 * ruling.periodMm);
  const stretches = new Map<number, Stretch>();
  const where = ({ x, y }: PlanePoint) => {
    const { line, offMm } = offRuling(ruling, { x, y });
    return { line, offMm, part: Math.floor((normal.x * y - normal.y * x) / STRETCH_MM) };
  };
  places.forEach((place, at) => {
    if (!place) return;
    const { line, offMm, part } = where(place);
    if (Math.abs(offMm) > reachMm) return;
    const key = stretchKey(line, part);
    let stretch = stretches.get(key);
    if (!stretch) {
      stretch = {
        line,
        samples: Array.from({ length: BINS }, () => []),
        profile: new Float64Array(0),
        shiftMm: 0,
      };
      stretches.set(key, stretch);
    }
    stretch.samples[Math.round((offMm + REACH_MM) / BIN_MM)]!.push(missing[at]!);
  });
  for (const stretch of stretches.values()) {
    stretch.profile = Float64Array.from(stretch.samples, (values) => median(values));
    stretch.shiftMm = shiftOf(stretch.profile);
  }
  // Paper bends smoothly: a stretch lies as those round it do, whatever is drawn beside it.
  const shifts = [...stretches].map(([key]) =>
    median(
      [-2, -1, 0, 1, 2].flatMap((a) =>
        [-2, -1, 0, 1, 2].flatMap(
          (b) => stretches.get(key + stretchKey(a, b) - stretchKey(0, 0))?.shiftMm ?? [],
        ),
      ),
    ),
  );
  [...stretches.values()].forEach((stretch, i) => {
    stretch.shiftMm = shifts[i]!;
  });
  const lines = new Map<number, Stretch[]>();
  for (const stretch of stretches.values()) {
    const { line } = stretch;
    lines.set(line, [...(lines.get(line) ?? []), stretch]);
  }
  const profiles = new Map([...lines].map(([line, parts]) => [line, sharedProfile(parts)]));
  const amounts = new Map(
    [...stretches].map(([key, stretch]) => [key, amountIn(stretch, profiles.get(stretch.line)!)]),
  );
  places.forEach((place, at) => {
    if (!place) return;
    const { line, offMm, part } = where(place);
    if (Math.abs(offMm) > reachMm) return;
    const key = stretchKey(line, part);
    const value = amounts.get(key)! * profileAt(profiles.get(line)!, offMm - stretches.get(key)!.shiftMm);
    if (value > printed[at]!) printed[at] = value;
  });
}

/**
 * The field without the lines of ruled or squared paper: where a ruling is found on the table plane, what its lines
 * take of the light is measured along each of them (median over short stretches, so that what is drawn across or beside
 * them does not count) and given back. A line drawn along a printed one is darker than that and stays. Also says which
 * pixels are printed on (0/1).
 */
export function withoutRuling(
  field: StrokeField,
  area: Uint8Array,
  capture: Capture,
  leastDarkness: number,
  fieldPxPerMm: number,
): { readonly field: StrokeField; readonly printed?: Uint8Array } {
  const { width, block, darkness } = field;
  const planeOf = (at: number): PlanePoint =>
    imageToPlane(
      capture.camera,
      { u: ((at % width) + 0.5) * block - 0.5, v: (Math.floor(at / width) + 0.5) * block - 0.5 },
      capture.thicknessMm,
    );
  const dark: number[] = [];
  for (let at = 0; at < area.length; at++) if (area[at] && darkness[at]! >= leastDarkness) dark.push(at);
  const step = Math.max(1, Math.floor(dark.length / ENOUGH_POINTS));
  const points = dark.filter((_, i) => i % step === 0).map(planeOf);
  const rulings = findRulings(points, fieldPxPerMm / step);
  if (rulings.length === 0) return { field };
  const places = Array.from(area, (on, at) => (on ? planeOf(at) : undefined));
  const missing = darkness.map((share) => -Math.log(Math.max(1e-3, 1 - share)));
  const printed = new Float32Array(missing.length);
  for (const ruling of rulings) measureRuling(ruling, places, missing, printed);
  const left = missing.map((value, at) => 1 - Math.exp(-Math.max(0, value - MARGIN * printed[at]!)));
  const mask = Uint8Array.from(printed, (value) => (value > PRINTED ? 1 : 0));
  return { field: { ...field, darkness: left }, printed: mask };
}
