/**
 * One straight side of a card or sheet, found in the photo's own pixels: profiles across it, a robust curve through
 * their strongest steps, and the half-way crossing of each in linear light.
 */
import type { Raster } from '../vision/raster.ts';
import { median } from '../geometry/median.ts';
import {
  type Candidate,
  type Curve,
  curveAt,
  LEAST_SCATTER_PX,
  robustCurve,
  sharedNoise,
  type SideLine,
  strongestLines,
  tightestLine,
} from './side-curve.ts';
import {
  areaColors,
  changeOf,
  placeNoisePx,
  placesAlong,
  PLACES,
  type SideSearch,
  STEP_PX,
  type Stretch,
  stretchAt,
} from './side-profile.ts';
import { type Crossing, crossings } from './side-crossings.ts';
import { crossingsBesideWall, showsWall, type SideView } from './side-light.ts';
import type { SeenSidePlace } from './solve-target.ts';

export interface FoundSide {
  readonly places: readonly SeenSidePlace[];
  /** What was looked at, for a closer look; undefined where the maker pointed. */
  readonly view: SideView | undefined;
  /** How much change of colour agrees with it. */
  readonly support: number;
  /** Share of the side's places at which it was seen. */
  readonly share: number;
  /** Typical contrast of the side, linear light. */
  readonly contrast: number;
  /** Width of its blur (standard deviation of the edge spread), px. */
  readonly blurPx: number;
  readonly pxPerMm: number;
}

/** An edge of an area keeps this share of its change when drawn lines are taken away. */
const LEAST_AREA = 0.3;
/** Steps weaker than this share of the side's typical one are no candidates. */
const LEAST_STRENGTH = 0.3;
const CANDIDATES = 4;
/** Seen at this share of its places, over this part of its length (which counts 2), a side is clear. */
const LEAST_SHARE = 0.36;
const LEAST_LENGTH = 0.9;
/** Stretches of one face and table alone will do when they are this share of a side. */
const USUAL_PART = 0.5;
/** Stretches that fit so many times worse than the better ones usually do are set aside. */
const MOST_MISFIT = 2.5;
const USUAL_SHARE = 0.3;
/** Face and table just inside and outside vary by at least this much, square root of light; what is farther off by so many spreads is something else. */
const LEAST_SPREAD = 0.012;
const MOST_UNLIKE = 3;
/** Sides noisier than this are none. */
const UNEVEN_PX = 0.7;
const UNEVEN_MM = 0.2;

/** The places where a stretch changes from one area to another, the strongest change first. */
function candidatesOf(stretch: Stretch, index: number): Candidate[] {
  const { t, profilePx, reachPx } = stretch;
  const colors = areaColors(stretch);
  const samples = colors.length / 3;
  const half = Math.round(1.5 / STEP_PX);
  const change = changeOf(colors, half);
  const sharp = changeOf(stretch.colors.map(Math.sqrt), half);
  const peaks: Candidate[] = [];
  for (let k = half; k + half < samples; k++) {
    const own = change[k]!;
    if (own === 0 || own < change[k - 1]! || own <= change[k + 1]!) continue;
    // A level top is one peak, at its middle.
    let first = k;
    while (change[first - 1] === own) first--;
    const place = ((first + k) / 2) * STEP_PX - profilePx;
    // What little is left of a drawn line is no edge of an area.
    const drawn = Math.max(...sharp.subarray(Math.max(0, first - 2 * half), k + 2 * half + 1));
    if (Math.abs(place) <= reachPx && own > LEAST_AREA * drawn)
      peaks.push({ stretch: index, t, place, strength: Math.sqrt(own) });
  }
  return peaks.sort((a, b) => b.strength - a.strength).slice(0, CANDIDATES);
}

interface Placed {
  readonly t: number;
  readonly place: number;
  readonly stretch: Stretch;
  readonly contrast: number;
}

/** Tells colours that are like most of the others. */
function likeMost(colors: readonly (readonly number[])[]): (color: readonly number[]) => boolean {
  const middle = [0, 1, 2].map((c) => median(colors.map((color) => color[c]!)));
  const off = (color: readonly number[]): number =>
    Math.hypot(...color.map((value, c) => value - middle[c]!));
  const spread = Math.max(LEAST_SPREAD, 1.483 * median(colors.map(off)));
  return (color) => off(color) < MOST_UNLIKE * spread;
}

/** True when these places, in order along the side, show enough of it. */
function isClear(places: readonly Placed[], leastShare = LEAST_SHARE): boolean {
  return places.length >= leastShare * PLACES && places.at(-1)!.t - places[0]!.t >= LEAST_LENGTH;
}

/**
 * The stretches where nothing but the side is seen: no drawn line or crease in or beside it, and face and table as
 * along most of it. (Beside black print the card's own shadow cannot be told from its face: the side would seem to bend.)
 * Wider choices follow, down to all stretches, for sides of which that leaves too little: print parts a card's face.
 */
function undisturbed(
  stretches: readonly Stretch[],
  found: readonly Crossing[],
): readonly (readonly Placed[])[] {
  const all = stretches.flatMap((stretch, i) => {
    const { fit, inside, outside } = found[i]!;
    if (!fit) return [];
    const contrast = Math.abs(fit.step);
    const misfit = fit.noise / contrast;
    return [{ t: stretch.t, place: fit.place, stretch, contrast, misfit, inside, outside }];
  });
  const sorted = all.map(({ misfit }) => misfit).sort((a, b) => a - b);
  const usual = sorted[Math.floor(USUAL_SHARE * sorted.length)] ?? 0;
  const clean = all.filter(({ misfit }) => misfit <= MOST_MISFIT * usual);
  const isFace = likeMost(clean.map(({ inside }) => inside));
  const isTable = likeMost(clean.map(({ outside }) => outside));
  const even = clean.filter(({ inside, outside }) => isFace(inside) && isTable(outside));
  const onTable = clean.filter(({ outside }) => isTable(outside));
  const enough = [even, onTable].filter((places) => isClear(places, USUAL_PART));
  return [...enough, clean, all];
}

interface Straight {
  readonly kept: readonly Placed[];
  readonly curve: Curve;
  readonly scale: number;
  readonly noisePx: number;
}

/** A straight side through places along it: those that lie on it, and their noise; undefined when they show too little of one. */
function straightSide(found: readonly Placed[], start: Curve, bowPx: number): Straight | undefined {
  if (!isClear(found)) return undefined;
  const fine = robustCurve(found, start, LEAST_SCATTER_PX, bowPx);
  const kept = found.filter((_, i) => fine.weights[i]! > 0.2);
  if (!isClear(kept)) return undefined;
  const scale = median(kept.map(({ stretch }) => stretch.pxPerMm));
  const noisePx = fine.spreadPx * sharedNoise(kept.map(({ t, place }) => place - curveAt(fine.curve, t)));
  // Too uneven to be a straight side at all.
  return noisePx > Math.max(UNEVEN_PX, UNEVEN_MM * scale)
    ? undefined
    : { kept, curve: fine.curve, scale, noisePx };
}

/** The side along one line of candidates, or undefined when it is not clear along at least half of its length. */
function sideAlong(
  stretches: readonly Stretch[],
  candidates: readonly Candidate[],
  { curve: line, support }: SideLine,
  bowMm: number,
): FoundSide | undefined {
  // The nearest candidate of each stretch, for the bow of the lens.
  const nearest = stretches.flatMap((_, i) => {
    const own = candidates.filter(({ stretch }) => stretch === i);
    const off = ({ t, place }: Candidate): number => Math.abs(place - curveAt(line, t));
    return own.length === 0 ? [] : [own.reduce((best, one) => (off(one) < off(best) ? one : best))];
  });
  const bowPx = bowMm * median(stretches.map(({ pxPerMm }) => pxPerMm));
  const rough = robustCurve(nearest, line, 0.7, bowPx);
  const straight = (found: readonly Crossing[]): Straight | undefined => {
    const choices = undisturbed(stretches, found);
    for (const choice of choices) {
      const side = straightSide(choice, rough.curve, bowPx);
      if (side) return side;
    }
    // Where strays bend a side out of shape, what lies closest to one line may still tell it.
    for (const choice of choices) {
      const side = straightSide(choice, tightestLine(choice) ?? rough.curve, bowPx);
      if (side) return side;
    }
    return undefined;
  };
  const { found, blurPx } = crossings(stretches, rough.curve);
  const view = { stretches, curve: rough.curve, bowPx };
  const side = straight(found) ?? (showsWall(view) ? straight(crossingsBesideWall(view)) : undefined);
  if (!side) return undefined;
  const { kept, scale, noisePx, curve } = side;
  const places = placesAlong(kept, ({ pxPerMm }) => placeNoisePx(noisePx, pxPerMm));
  return {
    places,
    view: { ...view, curve },
    support,
    share: kept.length / PLACES,
    contrast: median(kept.map(({ contrast }) => contrast)),
    blurPx,
    pxPerMm: scale,
  };
}

/** What may be the side in the photo, the clearest first; none where nothing straight is seen along half of its length. */
export function findSide(photo: Raster, search: SideSearch): readonly FoundSide[] {
  const stretches = Array.from({ length: PLACES }, (_, i) => stretchAt(photo, search, i) ?? []).flat();
  if (stretches.length < LEAST_SHARE * PLACES) return [];
  const peaks = stretches.map((stretch, i) => candidatesOf(stretch, i));
  const typical = median(peaks.map(([first]) => first?.strength ?? 0));
  const candidates = peaks.flat().filter(({ strength }) => strength > LEAST_STRENGTH * typical);
  return strongestLines(candidates).flatMap(
    (line) => sideAlong(stretches, candidates, line, search.bowMm) ?? [],
  );
}
