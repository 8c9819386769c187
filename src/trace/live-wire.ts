import { type Camera, imageToPlane, planeToImage } from '../capture/camera.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { failure, type Outcome, type Progress, success } from '../outcome.ts';
import type { Raster } from '../vision/raster.ts';
import type { Contour } from './contour.ts';
import { refineEdge } from './refine-edge.ts';
import { mapEdge, pxPerMmAt } from './trace-edge.ts';
import { cellAt, type EdgeWindow, edgeWindow, middleOfCell, nearestRidge } from './wire-cost.ts';
import { asideCells, kindsOfEdge } from './wire-kind.ts';
import { cheapestWay } from './wire-search.ts';
import { seeWalls } from './wire-walls.ts';

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
/** Thinner pieces have no side wall worth telling from the face, mm. */
const THICK_FROM_MM = 1;
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
  const window = edgeWindow(photo, a, b, zMm >= THICK_FROM_MM);
  const reachPx = Math.min(MOST_SNAP_PX, Math.max(LEAST_SNAP_PX, SNAP_MM * pxPerMmAt(camera, a)));
  const start = holdsFrom ? cellAt(window, a) : nearestRidge(window, a, reachPx);
  progress('following the edge', 0.3);
  const goal = holdsTo ? cellAt(window, b) : nearestRidge(window, b, reachPx);
  const { way, materialOnLeft } = bestWay(camera, zMm, window, start, goal);
  progress('measuring the edge', 0.7);
  const chain = way.map((cell) => middleOfCell(window, cell));
  const seen =
    zMm < THICK_FROM_MM
      ? measured(photo, chain).map((point) => imageToPlane(camera, point, zMm))
      : measuredThick(photo, camera, zMm, chain, materialOnLeft);
  return success([holdsFrom ? from : seen[0]!, ...seen.slice(1, -1), holdsTo ? to : seen.at(-1)!]);
}

/** The cheapest way of all readings of what the two ends look like. */
function bestWay(camera: Camera, zMm: number, window: EdgeWindow, start: number, goal: number) {
  const aside = asideCells(window, pxPerMmAt(camera, middleOfCell(window, start)));
  const walls = zMm >= THICK_FROM_MM ? seeWalls(camera, window, zMm) : undefined;
  let best = { way: [start, goal], cost: Infinity, materialOnLeft: true };
  for (const kind of kindsOfEdge(window, start, goal, aside[1], walls)) {
    const found = cheapestWay(window, start, goal, { kind, aside, walls }, best.cost);
    if (found) best = { ...found, materialOnLeft: kind.materialOnLeft };
  }
  return best;
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

/** The chain carried to the plane as a thick piece's edge is: by its foot where the top edge is much fainter. */
function measuredThick(
  photo: Raster,
  camera: Camera,
  zMm: number,
  chain: readonly ImagePoint[],
  materialOnLeft: boolean,
): PlanePoint[] {
  const flip = <T>(line: readonly T[]): readonly T[] => (materialOnLeft ? line.toReversed() : line);
  let contour = evenSteps(smoothChain(flip(chain)), STEP_PX);
  const onFace = ({ u, v }: ImagePoint) => imageToPlane(camera, { u, v }, zMm);
  if (contour.u.length < LEAST_POINTS) return measured(photo, chain).map(onFace);
  for (let round = 0; round < ROUNDS; round++) {
    const refined = refineEdge(photo, contour);
    const mapped = mapEdge(photo, { camera, thicknessMm: zMm }, refined, true).points;
    const [first, last] = [0, refined.u.length - 1].map((i) => ({ u: refined.u[i]!, v: refined.v[i]! }));
    const points = [onFace(first!), ...mapped, onFace(last!)];
    if (round === ROUNDS - 1) return [...flip(points)];
    contour = evenSteps(
      points.map((point) => planeToImage(camera, point, zMm)),
      STEP_PX,
    );
  }
  return [];
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
