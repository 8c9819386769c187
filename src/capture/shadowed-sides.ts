/**
 * The four sides of a card that is thick enough for its edge to show and to cast a shadow, measured under one light.
 * Neither the light of the wall nor the shadow's width and depth are known, and a dark card's shadow passes for its
 * face: so every likely light has its say by how well it explains all four sides together, and what they disagree
 * about is doubt of where the side lies.
 */
import { median } from '../geometry/median.ts';
import type { OpenTable } from './edge-fit.ts';
import { curveAt, LEAST_SCATTER_PX, robustCurve, sharedNoise, tightestLine } from './side-curve.ts';
import {
  BLURS,
  clearStretches,
  type LightTrial,
  noShadow,
  roughLight,
  showsWall,
  type SideView,
  tryLight,
} from './side-light.ts';
import { placeNoisePx, placesAlong } from './side-profile.ts';
import type { SeenSidePlace } from './solve-target.ts';

/** A side measured under the light of the whole card. */
export interface LitSide {
  readonly places: readonly SeenSidePlace[];
  /** One-sigma doubts that all its places share, for want of knowing the light, mm: see `SeenSide`. */
  readonly shiftDoubtMm: number;
  readonly turnDoubtMm: number;
}

/** Guesses tried: shadows, mm; light left in them; lights of the wall, linear. */
const SHADOWS = [0, 0.2, 0.4, 0.6, 0.8];
const SHADES = [0.4, 0.55, 0.75];
const WALLS = [0.02, 0.04, 0.07, 0.1, 0.14, 0.18, 0.25, 0.35, 0.5];
/** Cards are white or pale inside, and their walls stand in half the light: most are about this light, one sigma by that factor (common practice, no source). */
const USUAL_WALL = 0.2;
const WALL_FACTOR = 2.2;
/** A whole side counts as so many measurements in telling lights apart: neighbouring samples and stretches err alike. */
const EVIDENCE = 24;
/** One lamp throws no shadow on opposite sides; several lamps, less often, do. */
const BOTH_SHADOWED = 0.2;
/** Blurs that explain the sides so much worse are left out, natural logarithm. */
const LEAST_LIKELY = 6;
/** A line that grazes a side may pass for its edge, or move it, by about this, mm. */
const GRAZED_MM = 0.06;
const LEAST_PLACES = 6;
const OPPOSITE = [
  [0, 2],
  [1, 3],
] as const;

interface Side {
  readonly view: SideView;
  readonly open: OpenTable;
  readonly showsWall: boolean;
  readonly isGrazed: boolean;
}

interface Weighed {
  readonly trial: LightTrial;
  /** Natural logarithm of how well it explains the side. */
  readonly likely: number;
}

const logSum = (values: readonly number[]): number => {
  const most = Math.max(...values);
  if (most === -Infinity) return most;
  return most + Math.log(values.reduce((sum, value) => sum + Math.exp(value - most), 0));
};

/** The stretches of a side that show it undisturbed, and the table beside them; undefined where no edge shows. */
function prepare(view: SideView): Side | undefined {
  const rough = roughLight(view);
  if (!rough) return undefined;
  const { best, open } = rough;
  const again = tryLight(view, best.guess, open) ?? best;
  const { clear, isGrazed } = clearStretches(view.stretches, again);
  return {
    view: { ...view, stretches: clear, curve: again.curve },
    open,
    showsWall: showsWall(view),
    isGrazed,
  };
}

function weigh({ view, open, showsWall: isWalled }: Side, blurs: readonly number[]): readonly Weighed[] {
  const walls = isWalled ? WALLS : [0];
  const guesses = blurs.flatMap((blurPx) =>
    walls.flatMap((wall) => [
      noShadow(blurPx, wall),
      ...SHADOWS.slice(1).flatMap((shadowMm) => SHADES.map((shade) => ({ blurPx, shadowMm, shade, wall }))),
    ]),
  );
  const evidence = (EVIDENCE * view.stretches.length) / 24;
  return guesses.flatMap((guess) => {
    const trial = tryLight(view, guess, open);
    if (!trial) return [];
    const unusual = isWalled ? Math.log(guess.wall / USUAL_WALL) / Math.log(WALL_FACTOR) : 0;
    return [{ trial, likely: -evidence * Math.log(Math.max(1e-9, trial.misfit)) - 0.5 * unusual ** 2 }];
  });
}

/** Blurs that explain the sides: one lens, one table, so one blur for all. Sides without a wall tell it best. */
function likelyBlurs(sides: readonly (readonly Weighed[])[]): readonly number[] {
  const likely = BLURS.map((blur) =>
    sides.reduce(
      (sum, side) =>
        sum + logSum(side.flatMap((one) => (one.trial.guess.blurPx === blur ? [one.likely] : []))),
      0,
    ),
  );
  const most = Math.max(...likely);
  return BLURS.filter((_, i) => !(likely[i]! < most - LEAST_LIKELY));
}

/** Trials of one side that share a blur, a shade and a shadow's width. */
interface Cell {
  readonly at: readonly number[];
  readonly likely: number;
}

function cellOf(side: readonly Weighed[], blurPx: number, shade: number, shadowMm: number): Cell {
  const at = side.flatMap(({ trial: { guess } }, i) =>
    guess.blurPx === blurPx && guess.shadowMm === shadowMm && (shadowMm === 0 || guess.shade === shade)
      ? [i]
      : [],
  );
  return { at, likely: logSum(at.map((i) => side[i]!.likely)) };
}

/** The weight of every trial of every side when all sides share blur and shade, and opposite ones seldom both have a shadow. */
function jointWeights(
  sides: readonly (readonly Weighed[])[],
  blurs: readonly number[],
): readonly Float64Array[] {
  const weights = sides.map((side) => new Float64Array(side.length));
  const worlds = blurs.flatMap((blurPx) =>
    SHADES.map((shade) => {
      const cells = sides.map((side) => SHADOWS.map((shadow) => cellOf(side, blurPx, shade, shadow)));
      const pairs = OPPOSITE.map(([a, b]) =>
        SHADOWS.map((one, i) =>
          SHADOWS.map(
            (other, j) =>
              cells[a]![i]!.likely +
              cells[b]![j]!.likely +
              (one > 0 && other > 0 ? Math.log(BOTH_SHADOWED) : 0),
          ),
        ),
      );
      return { cells, pairs, likely: pairs.reduce((sum, pair) => sum + logSum(pair.flat()), 0) };
    }),
  );
  const all = logSum(worlds.map(({ likely }) => likely));
  for (const { cells, pairs, likely } of worlds) {
    const share = (side: number, shadow: number, cellLikely: number, whole: number): void => {
      const { at, likely: own } = cells[side]![shadow]!;
      const most = Math.exp(likely - all + cellLikely - whole);
      for (const i of at) weights[side]![i]! += most * Math.exp(sides[side]![i]!.likely - own);
    };
    OPPOSITE.forEach(([a, b], pair) => {
      const table = pairs[pair]!;
      const whole = logSum(table.flat());
      SHADOWS.forEach((_, i) => {
        share(a, i, logSum(table[i]!), whole);
        share(b, i, logSum(table.map((row) => row[i]!)), whole);
      });
    });
  }
  return weights;
}

/** Mean and standard deviation under weights. */
function moments(values: readonly number[], weights: Float64Array): readonly [number, number] {
  const whole = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = values.reduce((sum, value, i) => sum + weights[i]! * value, 0) / whole;
  const square = values.reduce((sum, value, i) => sum + weights[i]! * (value - mean) ** 2, 0) / whole;
  return [mean, Math.sqrt(square)];
}

/** Weights below this change no place. */
const LEAST_WEIGHT = 1e-4;

/** A side as all lights together have it; undefined where too little of it is left. */
function litSide(
  { view, isGrazed }: Side,
  trials: readonly Weighed[],
  weights: Float64Array,
): LitSide | undefined {
  const { stretches, bowPx } = view;
  const placed = stretches.flatMap((stretch, i) => {
    let [sum, whole] = [0, 0];
    trials.forEach(({ trial }, k) => {
      const fit = trial.fits[i];
      if (!fit || weights[k]! < LEAST_WEIGHT) return;
      sum += weights[k]! * fit.place;
      whole += weights[k]!;
    });
    return whole > 0 ? [{ t: stretch.t, place: sum / whole, stretch }] : [];
  });
  if (placed.length < LEAST_PLACES) return undefined;
  const fine = robustCurve(placed, tightestLine(placed) ?? view.curve, LEAST_SCATTER_PX, bowPx);
  const kept = placed.filter((_, i) => fine.weights[i]! > 0.1);
  if (kept.length < LEAST_PLACES) return undefined;
  const pxPerMm = median(kept.map(({ stretch }) => stretch.pxPerMm));
  const scatterPx = fine.spreadPx * sharedNoise(kept.map(({ t, place }) => place - curveAt(fine.curve, t)));
  const sigmaPx = placeNoisePx(scatterPx, pxPerMm);
  const grazedMm = isGrazed ? GRAZED_MM : 0;
  const [, shiftPx] = moments(
    trials.map(({ trial: { curve } }) => curve[0] + curve[2] / 3),
    weights,
  );
  const [, turnPx] = moments(
    trials.map(({ trial: { curve } }) => curve[1]),
    weights,
  );
  return {
    places: placesAlong(kept, () => sigmaPx),
    shiftDoubtMm: Math.hypot(shiftPx / pxPerMm, grazedMm),
    turnDoubtMm: Math.hypot(turnPx / pxPerMm, grazedMm),
  };
}

/** Measures a card's four sides, in order around it, under one light; undefined where one of them shows too little. */
export function measureUnderOneLight(views: readonly SideView[]): readonly LitSide[] | undefined {
  const sides = views.flatMap((view) => prepare(view) ?? []);
  if (sides.length < 4) return undefined;
  const plain = sides.map((side) => (side.showsWall ? [] : weigh(side, BLURS)));
  const hidden = plain.filter(({ length }) => length > 0);
  const blurs = hidden.length > 0 ? likelyBlurs(hidden) : BLURS;
  const weighed = sides.map((side, i) =>
    side.showsWall ? weigh(side, blurs) : plain[i]!.filter(({ trial }) => blurs.includes(trial.guess.blurPx)),
  );
  if (weighed.some(({ length }) => length === 0)) return undefined;
  const weights = jointWeights(weighed, blurs);
  const lit = sides.flatMap((side, i) => litSide(side, weighed[i]!, weights[i]!) ?? []);
  return lit.length < 4 ? undefined : lit;
}
