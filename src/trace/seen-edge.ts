import { type Camera, imageToPlane, planeToImage } from '../capture/camera.ts';
import type { Raster } from '../vision/raster.ts';
import { wrap } from './contour.ts';
import { mixStrip } from './edge-channel.ts';
import { stepAt } from './edge-model.ts';
import { gatherStrip, newStrip } from './edge-strip.ts';
import type { RefinedEdge } from './refine-edge.ts';
import type { SeenEdge } from './types.ts';

/**
 * Upright side walls in the photo. At each sample of an outline, `leanU`, `leanV` (px) run from the image of a foot
 * point to the image of the top point straight above it. The wall shows where the outline's outward normal points
 * against the lean; `facing` is 1 where it looks straight at the camera's foot point, -1 where straight away.
 */
export interface WallView {
  readonly leanU: Float64Array;
  readonly leanV: Float64Array;
  /** Length of the lean, px. */
  readonly leanPx: Float64Array;
  readonly facing: Float64Array;
}

/** Looks at the outline as if every sample were a foot point; the lean changes little over one wall's width. */
export function viewWalls(camera: Camera, edge: RefinedEdge, thicknessMm: number): WallView {
  const count = edge.u.length;
  const view = {
    leanU: new Float64Array(count),
    leanV: new Float64Array(count),
    leanPx: new Float64Array(count),
    facing: new Float64Array(count),
  };
  for (let i = 0; i < count; i++) {
    const [u, v] = [edge.u[i]!, edge.v[i]!];
    const above = planeToImage(camera, imageToPlane(camera, { u, v }), thicknessMm);
    const [du, dv] = [above.u - u, above.v - v];
    const length = Math.hypot(du, dv);
    view.leanU[i] = du;
    view.leanV[i] = dv;
    view.leanPx[i] = length;
    view.facing[i] = length > 0 ? -(edge.normalU[i]! * du + edge.normalV[i]! * dv) / length : 0;
  }
  return view;
}

/** Reach of the strips in which a second edge is looked for, px; walls narrower than twice the gap are left alone. */
const REACH_PX = 6;
const LEAST_WALL_PX = 5;
/** Samples either way over which second edges are averaged. */
const MEAN_REACH = 8;
/** How far the foot is preferred when neither second edge is seen: wall and face are of one stuff. */
const FOOT_PREFERENCE = 0.12;
/** Cost of changing one's mind between neighbouring samples. */
const CHANGE_COST = 2;

/** Mean over neighbours of a closed sequence. */
function meanOverNeighbours(values: Float64Array): Float64Array {
  const count = values.length;
  return values.map((_, i) => {
    let sum = 0;
    for (let k = -MEAN_REACH; k <= MEAN_REACH; k++) sum += values[wrap(i + k, count)]!;
    return sum / (2 * MEAN_REACH + 1);
  });
}

/**
 * How much more the picture looks as if the foot had been traced than the top edge, per sample: a second edge one
 * wall's width inside speaks for the foot, one as far outside for the top edge. In units of the traced edge's step.
 */
function footEvidence(photo: Raster, edge: RefinedEdge, view: WallView): Float64Array {
  const count = edge.u.length;
  const within = new Float64Array(count);
  const beyond = new Float64Array(count);
  const strip = newStrip(REACH_PX, 2);
  const value = new Float64Array(strip.distance.length);
  const stepNear = (i: number, offset: number): number => {
    const reach = Math.min(REACH_PX, Math.abs(offset) - 1.5);
    const [nu, nv] = [edge.normalU[i]!, edge.normalV[i]!];
    gatherStrip(photo, edge.u[i]! + offset * nu, edge.v[i]! + offset * nv, nu, nv, reach, reach, 2, strip);
    mixStrip(strip, edge.mix[i]!, value);
    return stepAt(strip.distance, value, strip.count, edge.sigmaPx) / (edge.step[i]! || 1e-9);
  };
  for (let i = 0; i < count; i++) {
    const wall = view.facing[i]! * view.leanPx[i]!;
    if (wall < LEAST_WALL_PX) continue;
    within[i] = stepNear(i, -wall);
    beyond[i] = stepNear(i, wall);
  }
  // Averaged with their signs first, so that noise and texture cancel.
  const meanWithin = meanOverNeighbours(within);
  const meanBeyond = meanOverNeighbours(beyond);
  return meanWithin.map((value, i) => {
    const wall = view.facing[i]! * view.leanPx[i]!;
    if (wall < LEAST_WALL_PX) return 0;
    return Math.min(1, Math.abs(value)) - Math.min(1, Math.abs(meanBeyond[i]!)) + FOOT_PREFERENCE;
  });
}

/**
 * Tells for each sample of a thick piece's outline whether the top edge or the foot was traced. Turned away from the
 * camera's foot point the outline seen is always the top edge; where the side wall shows, the picture decides, for
 * whole stretches together (two states, dynamic programming).
 */
export function tellSeenEdges(photo: Raster, edge: RefinedEdge, view: WallView): SeenEdge[] {
  const count = edge.u.length;
  const evidence = footEvidence(photo, edge, view);
  const away = view.facing.map((facing) => (facing <= 0 ? 1 : 0));
  const fromFoot = new Uint8Array(2 * count);
  const fromTop = new Uint8Array(2 * count);
  let [foot, top] = [0, 0];
  // Twice round, so that the start has no say.
  for (let k = 0; k < 2 * count; k++) {
    const i = k % count;
    const gain = evidence[i]!;
    const stayFoot = foot >= top - CHANGE_COST;
    const stayTop = top >= foot - CHANGE_COST;
    fromFoot[k] = stayFoot ? 1 : 0;
    fromTop[k] = stayTop ? 1 : 0;
    const nextFoot = (stayFoot ? foot : top - CHANGE_COST) + gain;
    const nextTop = (stayTop ? top : foot - CHANGE_COST) - gain;
    [foot, top] = [nextFoot, nextTop];
  }
  const seen = new Array<SeenEdge>(count).fill('top');
  let state: SeenEdge = foot >= top ? 'foot' : 'top';
  for (let k = 2 * count - 1; k >= 0; k--) {
    const i = k % count;
    if (k < count + count) seen[i] = away[i] ? 'top' : state;
    if (state === 'foot' ? !fromFoot[k] : !fromTop[k]) state = state === 'foot' ? 'top' : 'foot';
  }
  return seen;
}
