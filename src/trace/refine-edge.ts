import type { Raster } from '../vision/raster.ts';
import { type Clearance, clearances } from './clearance.ts';
import type { Contour } from './contour.ts';
import { chooseChannels, mixStrip, newChannelStats, noteChannels } from './edge-channel.ts';
import { fitEdge } from './edge-model.ts';
import { type EdgeStrip, gatherStrip, newStrip } from './edge-strip.ts';
import { type LocalLine, straightestLine } from './local-line.ts';

/** The edge at each sample: where it is, which way is out, and how well it is seen. */
export interface RefinedEdge extends Contour {
  /** Unit normal away from the material. */
  readonly normalU: Float64Array;
  readonly normalV: Float64Array;
  /** How far along the normal the place was moved from the line it was looked for about, px. */
  readonly moved: Float64Array;
  /** Step of light over the noise of one pixel; 0 where no edge was found and the place is the track's. */
  readonly clearness: Float64Array;
  /** The mix of channels looked at, and outside less inside in it, over the stretch. */
  readonly mix: Uint8Array;
  readonly step: Float64Array;
  /** Blur of the edge (one sigma), px. */
  readonly sigmaPx: number;
}

/** Strip half-lengths along and across the normal, px, and how far the edge may lie from the track. */
const REACH_PX = 7;
const LEAST_REACH_PX = 2.5;
const HALF_WIDTH_PX = 1.6;
const SEARCH_PX = 3;
/** Samples either way for the local line, and for the choice of channels. */
const LINE_REACH = 4;
const CHANNEL_REACH = 12;
/** Pixels this close to the edge belong to neither side. */
const SIDE_GAP_PX = 2;

/** A local line through each sample: places on the lines and their outward normals. */
interface Lines {
  readonly places: Contour;
  readonly normals: Contour;
}

function localLines(track: Contour): Lines {
  const count = track.u.length;
  const places = { u: new Float64Array(count), v: new Float64Array(count) };
  const normals = { u: new Float64Array(count), v: new Float64Array(count) };
  const line: LocalLine = { u: 0, v: 0, directionU: 1, directionV: 0, misfit: 0 };
  for (let i = 0; i < count; i++) {
    straightestLine(track, i, LINE_REACH, line);
    places.u[i] = line.u;
    places.v[i] = line.v;
    normals.u[i] = line.directionV;
    normals.v[i] = -line.directionU;
  }
  return { places, normals };
}

/** Gathers the strip of one sample, no further than half-way to another stretch of the contour. */
function gatherAt(
  photo: Raster,
  { places, normals }: Lines,
  clear: Clearance,
  i: number,
  strip: EdgeStrip,
): void {
  const limit = (clearance: number) => Math.min(REACH_PX, Math.max(LEAST_REACH_PX, clearance / 2));
  gatherStrip(
    photo,
    places.u[i]!,
    places.v[i]!,
    normals.u[i]!,
    normals.v[i]!,
    limit(clear.inwardPx[i]!),
    limit(clear.outwardPx[i]!),
    HALF_WIDTH_PX,
    strip,
  );
}

/** Everything about a track that the fits along it share. */
interface Prepared {
  readonly photo: Raster;
  readonly lines: Lines;
  readonly clear: Clearance;
  readonly mix: Uint8Array;
  readonly step: Float64Array;
}

function prepare(photo: Raster, track: Contour, channelReach: number): Prepared {
  const count = track.u.length;
  const lines = localLines(track);
  const clear = clearances(lines.places, lines.normals, 2 * REACH_PX);
  const strip = newStrip(REACH_PX, HALF_WIDTH_PX);
  const stats = newChannelStats(count);
  for (let i = 0; i < count; i++) {
    gatherAt(photo, lines, clear, i, strip);
    noteChannels(strip, SIDE_GAP_PX, stats, i);
  }
  return { photo, lines, clear, ...chooseChannels(stats, count, channelReach) };
}

/** Blurs tried, px: a sharp phone photo has 0.6-0.9. */
const BLURS_PX = [0.5, 0.65, 0.85, 1.1, 1.4, 1.8, 2.3, 3];
const BLUR_SAMPLES = 60;
/** The lens's own blur shows where nothing else softens the edge: at the sharper third of the samples. */
const SHARPER_SHARE = 0.33;

/** The blur with which the model fits the sharper samples along the track best. */
function estimateBlurPx({ photo, lines, clear, mix }: Prepared): number {
  const count = mix.length;
  const strip = newStrip(REACH_PX, HALF_WIDTH_PX);
  const value = new Float64Array(strip.distance.length);
  const stride = Math.max(1, Math.floor(count / BLUR_SAMPLES));
  const best: number[] = [];
  for (let i = 0; i < count; i += stride) {
    gatherAt(photo, lines, clear, i, strip);
    mixStrip(strip, mix[i]!, value);
    let least = Infinity;
    let blurPx = 0;
    for (const sigma of BLURS_PX) {
      const fit = fitEdge(strip.distance, value, strip.count, 0, sigma, SEARCH_PX);
      if (!fit || fit.noise >= least) continue;
      least = fit.noise;
      blurPx = sigma;
    }
    if (blurPx > 0) best.push(blurPx);
  }
  best.sort((a, b) => a - b);
  return best[Math.floor(SHARPER_SHARE * best.length)] ?? 1;
}

/**
 * Places each sample on the half-way crossing of the photo's own pixels across the edge, in linear light. The blur is
 * estimated from the edge itself unless given (one sigma, px). Samples without a clear edge stay on the track.
 */
export function refineEdge(
  photo: Raster,
  track: Contour,
  knownBlurPx?: number,
  channelReach = CHANNEL_REACH,
): RefinedEdge {
  const prepared = prepare(photo, track, channelReach);
  const { lines, clear, mix, step } = prepared;
  const sigmaPx = knownBlurPx ?? estimateBlurPx(prepared);
  const count = track.u.length;
  const strip = newStrip(REACH_PX, HALF_WIDTH_PX);
  const value = new Float64Array(strip.distance.length);
  const [u, v] = [lines.places.u.slice(), lines.places.v.slice()];
  const [moved, clearness] = [new Float64Array(count), new Float64Array(count)];
  for (let i = 0; i < count; i++) {
    gatherAt(photo, lines, clear, i, strip);
    mixStrip(strip, mix[i]!, value);
    const fit = fitEdge(strip.distance, value, strip.count, 0, sigmaPx, SEARCH_PX);
    if (!fit || (fit.outside - fit.inside) * step[i]! <= 0) continue;
    u[i]! += fit.offset * lines.normals.u[i]!;
    v[i]! += fit.offset * lines.normals.v[i]!;
    moved[i] = fit.offset;
    clearness[i] = Math.abs(fit.outside - fit.inside) / Math.max(1e-4, fit.noise);
  }
  return { u, v, normalU: lines.normals.u, normalV: lines.normals.v, moved, clearness, mix, step, sigmaPx };
}
