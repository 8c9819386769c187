import { type Camera, imageToPlane, planeToImage } from '../capture/camera.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { failure, type Outcome, type Progress, success } from '../outcome.ts';
import type { Raster } from '../vision/raster.ts';
import type { Contour } from './contour.ts';
import { refineEdge } from './refine-edge.ts';
import { pxPerMmAt } from './trace-edge.ts';
import { cellAt, edgeWindow, middleOfCell, nearestRidge } from './wire-cost.ts';
import { cheapestWay } from './wire-search.ts';

/** Two clicks of the maker, mm on the plane `zMm` above the table. */
export interface WireEnds {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  /** The stretch begins just at `from`, where the one before it ended. */
  readonly holdsFrom: boolean;
  /** And ends just at `to`, where the first one began. */
  readonly holdsTo: boolean;
}

/** How far from a click its edge is looked for, mm; and the bounds of that in the photo, px. */
const SNAP_MM = 1.5;
const LEAST_SNAP_PX = 5;
const MOST_SNAP_PX = 16;
const OUTSIDE = failure(
  'outside-photo',
  'That place lies outside the photo, so no edge can be followed to it. Choose a place that the photo shows, or draw this part by points.',
);

/** False outside, and for places behind the camera, which have none in the photo. */
function isIn({ width, height }: Raster, { u, v }: ImagePoint): boolean {
  return u >= 0 && v >= 0 && u <= width - 1 && v <= height - 1;
}

/** Distance between measured points, px. */
const STEP_PX = 2;
/** Cells over which the chain's stairs are smoothed (one sigma of a Gaussian mean). */
const SMOOTH_CELLS = 1.5;
/** Times the line is put on the photo's own edge: the first comes from the reduced photo, a cell off. */
const ROUNDS = 2;

/**
 * The photographed edge between two clicks, as points in mm on the plane `zMm` above the table: the cheapest way over
 * the edges of the reduced photo, then placed on the half-way crossing of the photo's own pixels as every traced edge
 * is. First and last point are the places that the clicks snapped to. Fails with `outside-photo`.
 */
export function liveWire(
  photo: Raster,
  camera: Camera,
  zMm: number,
  { from, to, holdsFrom, holdsTo }: WireEnds,
  progress: Progress = () => undefined,
): Outcome<readonly PlanePoint[], 'outside-photo'> {
  const [a, b] = [planeToImage(camera, from, zMm), planeToImage(camera, to, zMm)];
  if (!isIn(photo, a) || !isIn(photo, b)) return OUTSIDE;
  progress('looking for the edge', 0);
  const window = edgeWindow(photo, a, b);
  const reachPx = Math.min(MOST_SNAP_PX, Math.max(LEAST_SNAP_PX, SNAP_MM * pxPerMmAt(camera, a)));
  const start = holdsFrom ? cellAt(window, a) : nearestRidge(window, a, reachPx);
  progress('following the edge', 0.3);
  const way = cheapestWay(window, start, holdsTo ? cellAt(window, b) : nearestRidge(window, b, reachPx));
  progress('measuring the edge', 0.7);
  const chain = way.map((cell) => middleOfCell(window, cell));
  const seen = measured(photo, chain).map((point) => imageToPlane(camera, point, zMm));
  return success([holdsFrom ? from : seen[0]!, ...seen.slice(1, -1), holdsTo ? to : seen.at(-1)!]);
}

/** Fewer points than this have no direction to look across. */
const LEAST_POINTS = 8;

/** The chain on the photo's own edge. It is open: its ends, like corners, are judged by their own side alone. */
function measured(photo: Raster, chain: readonly ImagePoint[]): ImagePoint[] {
  let contour = evenSteps(smoothChain(chain), STEP_PX);
  if (contour.u.length < LEAST_POINTS) return chain.length > 1 ? [chain[0]!, chain.at(-1)!] : [...chain];
  for (let round = 0; round < ROUNDS; round++) contour = refineEdge(photo, contour);
  return Array.from(contour.u, (u, i) => ({ u, v: contour.v[i]! }));
}

/** Each place becomes a Gaussian mean of its neighbours, of as many on both sides, so that the ends stay. */
function smoothChain(chain: readonly ImagePoint[]): ImagePoint[] {
  const last = chain.length - 1;
  return chain.map((_, i) => {
    const reach = Math.min(i, last - i, Math.ceil(3 * SMOOTH_CELLS));
    let [u, v, total] = [0, 0, 0];
    for (let k = -reach; k <= reach; k++) {
      const weight = Math.exp(-0.5 * (k / SMOOTH_CELLS) ** 2);
      u += weight * chain[i + k]!.u;
      v += weight * chain[i + k]!.v;
      total += weight;
    }
    return { u: u / total, v: v / total };
  });
}

/** Points at even steps of about `stepPx` along an open chain, its ends included. */
function evenSteps(chain: readonly ImagePoint[], stepPx: number): Contour {
  const along = [0];
  for (let i = 1; i < chain.length; i++) {
    const [from, to] = [chain[i - 1]!, chain[i]!];
    along.push(along[i - 1]! + Math.hypot(to.u - from.u, to.v - from.v));
  }
  const length = along.at(-1)!;
  const steps = Math.max(1, Math.round(length / stepPx));
  const contour = { u: new Float64Array(steps + 1), v: new Float64Array(steps + 1) };
  for (let k = 0, i = 0; k <= steps; k++) {
    const s = (k * length) / steps;
    while (i < chain.length - 2 && along[i + 1]! < s) i++;
    const [from, to] = [chain[i]!, chain[Math.min(i + 1, chain.length - 1)]!];
    const share = (s - along[i]!) / ((along[i + 1] ?? 0) - along[i]! || 1);
    contour.u[k] = from.u + share * (to.u - from.u);
    contour.v[k] = from.v + share * (to.v - from.v);
  }
  return contour;
}
