/** One side of a card under a guess of how it is lit: wall of its edge and shadow beside its face reckoned with. */
import { median } from '../geometry/median.ts';
import { type EdgeFit, type EdgeStrips, fitEdge, type OpenTable } from './edge-fit.ts';
import { type Curve, curveAt, LEAST_SCATTER_PX, robustCurve } from './side-curve.ts';
import type { Crossing } from './side-crossings.ts';
import { STEP_PX, type Stretch } from './side-profile.ts';

/** A side as it was found: its stretches, a curve near its edge, and how far the lens may bow it, px. */
export interface SideView {
  readonly stretches: readonly Stretch[];
  readonly curve: Curve;
  readonly bowPx: number;
}

/** A guess of how a side is lit. */
export interface LightGuess {
  readonly blurPx: number;
  /** Width of its shadow on the table, mm, and the share of the light that is left in it. */
  readonly shadowMm: number;
  readonly shade: number;
  /** Light of the wall, linear. */
  readonly wall: number;
}

export interface LightTrial {
  readonly guess: LightGuess;
  readonly fits: readonly (EdgeFit | undefined)[];
  /** RMS misfit of the better stretches, linear light. */
  readonly misfit: number;
  /** Where the face's edge lies under this guess. */
  readonly curve: Curve;
}

/** Reach of the fitted window in blurs, beside its pixel. */
const WINDOW_BLURS = 2.6;
/** Stretches that fit worst have no say in which light it is. */
const SAY_SHARE = 0.7;
const LEAST_FITS = 6;
/** No shadow of a card reaches farther than this over the table, mm. */
const FARTHEST_SHADOW_MM = 0.8;

function stripsOf({ wallPx, pxPerMm }: Stretch, { shadowMm, shade, wall }: LightGuess): EdgeStrips {
  const footPx = Math.max(0, wallPx);
  // The shadow begins at the foot, which the face may hide.
  const endPx = shadowMm > 0 ? wallPx + shadowMm * pxPerMm : footPx;
  return { footPx, wall, shadowPx: Math.max(footPx, endPx), shade };
}

/** Fits a side's stretches under one guess; undefined where too few of them show an edge. */
export function tryLight(
  { stretches, curve, bowPx }: SideView,
  guess: LightGuess,
  open: OpenTable,
): LightTrial | undefined {
  const windowPx = WINDOW_BLURS * guess.blurPx + 1.5;
  const fits = stretches.map((stretch) => {
    const profile = { colors: stretch.colors, stepPx: STEP_PX, reachPx: stretch.profilePx };
    return fitEdge(
      profile,
      curveAt(curve, stretch.t),
      windowPx,
      guess.blurPx,
      stripsOf(stretch, guess),
      open,
    );
  });
  const placed = fits.flatMap((fit, i) => (fit ? [{ t: stretches[i]!.t, place: fit.place }] : []));
  if (placed.length < LEAST_FITS) return undefined;
  const noises = fits.map((fit) => fit?.noise ?? 1).sort((a, b) => a - b);
  const better = noises.slice(0, Math.ceil(SAY_SHARE * noises.length));
  return {
    guess,
    fits,
    misfit: Math.sqrt(better.reduce((sum, noise) => sum + noise * noise, 0) / better.length),
    curve: robustCurve(placed, curve, LEAST_SCATTER_PX, bowPx).curve,
  };
}

/** Distance of two colours, RMS of their parts. */
function colorsApart(a: readonly number[], b: readonly number[]): number {
  return Math.hypot(...a.map((value, c) => value - b[c]!)) / Math.sqrt(a.length);
}

const middleColor = (colors: readonly (readonly number[])[]): number[] =>
  [0, 1, 2].map((c) => median(colors.map((color) => color[c]!)));

/** Spread of a normal distribution by its median distance from the middle. */
const SPREAD = 1.483;
/** What a stretch's own table counts: so many samples times the square of noise over the scatter from stretch to stretch. */
const OWN_TABLE = 8;
const MOST_WEIGHT = 20;
const LEAST_WEIGHT = 2;

/** The open table beside a side, beyond wall and shadow; `weightOf` tells how much it counts where profiles are as noisy as given. */
function openTable({ stretches, curve }: SideView): {
  readonly open: OpenTable;
  readonly weightOf: (noise: number) => number;
} {
  const fromPx = (stretch: Stretch): number =>
    Math.max(0, stretch.wallPx) + FARTHEST_SHADOW_MM * stretch.pxPerMm + 2;
  const own = stretches.map((stretch) => {
    const { colors, profilePx, t } = stretch;
    const first = Math.ceil((curveAt(curve, t) + fromPx(stretch) + profilePx) / STEP_PX);
    return Array.from({ length: Math.max(0, colors.length / 3 - first) }, (_, k) => [
      ...colors.subarray(3 * (first + k), 3 * (first + k) + 3),
    ]);
  });
  const all = own.flat();
  const color = middleColor(all);
  const spreadOf = (colors: readonly (readonly number[])[]): number =>
    SPREAD * median(colors.map((one) => colorsApart(one, color)));
  const between = spreadOf(own.filter(({ length }) => length > 0).map(middleColor));
  return {
    open: {
      color,
      weight: LEAST_WEIGHT,
      spread: spreadOf(all),
      fromPx: median(stretches.map(fromPx)),
    },
    weightOf: (noise) => Math.min(MOST_WEIGHT, Math.max(LEAST_WEIGHT, OWN_TABLE * (noise / between) ** 2)),
  };
}

/** Blurs tried, px; and, for a first look, lights of the wall, shadows, mm, and the light left in them. */
export const BLURS = [0.6, 0.85, 1.2, 1.7, 2.4];
const ROUGH_WALLS = [0.04, 0.14, 0.35];
const ROUGH_SHADOWS = [0.4, 0.8];
const ROUGH_SHADE = 0.55;
/** Walls narrower than this are part of the blur, px. */
const LEAST_WALL_PX = 0.3;

export const noShadow = (blurPx: number, wall: number): LightGuess => ({
  blurPx,
  shadowMm: 0,
  shade: 1,
  wall,
});

/** True when the wall of the edge may show beside the face. */
export function showsWall({ stretches }: SideView): boolean {
  return median(stretches.map(({ wallPx }) => wallPx)) >= LEAST_WALL_PX;
}

/** The likeliest light of a side by itself, and the table beside it; undefined where no edge shows. */
export function roughLight(
  view: SideView,
): { readonly best: LightTrial; readonly open: OpenTable } | undefined {
  const { open, weightOf } = openTable(view);
  const guesses = BLURS.flatMap((blurPx) =>
    (showsWall(view) ? ROUGH_WALLS : [0]).flatMap((wall) => [
      noShadow(blurPx, wall),
      ...ROUGH_SHADOWS.map((shadowMm) => ({ blurPx, shadowMm, shade: ROUGH_SHADE, wall })),
    ]),
  );
  const trials = guesses.flatMap((guess) => tryLight(view, guess, open) ?? []);
  if (trials.length === 0) return undefined;
  const best = trials.reduce((a, b) => (b.misfit < a.misfit ? b : a));
  return { best, open: { ...open, weight: weightOf(best.misfit) } };
}

/** The crossings of a side under its likeliest light, for sides that no single step tells: a light wall beside a dark face. */
export function crossingsBesideWall(view: SideView): readonly Crossing[] {
  const rough = roughLight(view);
  return view.stretches.map((_, i) => {
    const fit = rough?.best.fits[i];
    if (!fit) return { fit: undefined, inside: [0, 0, 0], outside: [0, 0, 0] };
    const root = (level: number): number => Math.sqrt(Math.max(0, level));
    return {
      fit: { place: fit.place, step: Math.sqrt(3) * colorsApart(fit.face, fit.table), noise: fit.noise },
      inside: fit.face.map(root),
      outside: fit.table.map(root),
    };
  });
}

/** Stretches that misfit so many times more than most are set aside; usual is what so large a share of them does better than. */
const MOST_MISFIT = 2;
const MOST_MISFIT_OUTSIDE = 2.5;
const USUAL_SHARE = 0.3;
const LEAST_NOISE = 0.003;
/** Contrast below which a misfit is no more told by it, linear light. */
const LEAST_CONTRAST = 0.02;
/** So many stretches in a row with something on the table beside them: a line that grazes the side. */
const GRAZING = 3;
/** The stretches left over must be this many, over this part of the side (which counts 2). */
const LEAST_CLEAR = 8;
const LEAST_PART = 0.5;

const usual = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(USUAL_SHARE * values.length)]!;

/** Ranges of stretches between rows of disturbed ones. */
function undisturbedRanges(
  isDisturbed: readonly boolean[],
): { readonly from: number; readonly to: number }[] {
  const ranges: { from: number; to: number }[] = [];
  let from = 0;
  for (let at = 0; at < isDisturbed.length; at++) {
    let to = at;
    while (isDisturbed[to]) to++;
    if (to - at >= GRAZING) {
      ranges.push({ from, to: at });
      from = to;
    }
    at = Math.max(at, to);
  }
  return [...ranges, { from, to: isDisturbed.length }];
}

/**
 * The stretches where nothing but the side shows, and whether a line on the table runs so close along it that the
 * others cannot be trusted to be free of it: it is hidden under the card at one end and clear of it at the other, and
 * between them its rim passes for the card's.
 */
export function clearStretches(
  stretches: readonly Stretch[],
  { fits }: LightTrial,
): { readonly clear: readonly Stretch[]; readonly isGrazed: boolean } {
  const outside = fits.map((fit) => fit?.noiseOutside ?? 1);
  const misfit = fits.map((fit) =>
    fit ? fit.noise / (Math.sqrt(3) * colorsApart(fit.face, fit.table) + LEAST_CONTRAST) : 1,
  );
  const mostOutside = MOST_MISFIT_OUTSIDE * Math.max(LEAST_NOISE, usual(outside));
  const most = MOST_MISFIT * usual(misfit);
  const isDisturbed = outside.map((value) => value > mostOutside);
  const ranges = undisturbedRanges(isDisturbed);
  const clearIn = ({ from, to }: { readonly from: number; readonly to: number }): readonly Stretch[] =>
    stretches.filter((_, i) => i >= from && i < to && !isDisturbed[i] && misfit[i]! <= most);
  const clear = ranges.map(clearIn).reduce((best, one) => (one.length > best.length ? one : best));
  const isGrazed = ranges.length > 1;
  const isEnough = clear.length >= LEAST_CLEAR && clear.at(-1)!.t - clear[0]!.t > LEAST_PART;
  return { clear: isEnough ? clear : stretches, isGrazed };
}
