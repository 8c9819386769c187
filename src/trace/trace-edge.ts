import { type Camera, imageToPlane, planeToImage } from '../capture/camera.ts';
import type { Capture } from '../capture/types.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import type { Raster } from '../vision/raster.ts';
import { cleanPolyline } from './clean-polyline.ts';
import { bridgeGaps } from './bridge-gaps.ts';
import { type Contour, contourOfStairs } from './contour.ts';
import { trackEdge } from './edge-track.ts';
import { drawToFace, shadedLike } from './face-end.ts';
import { followsTop } from './follows-top.ts';
import { mapThickEdge, mapThinEdge, type MappedEdge } from './map-edge.ts';
import { astrayFrom, type HeldTrack, heldNear } from './near-proposal.ts';
import { type RefinedEdge, refineEdge } from './refine-edge.ts';
import { tellSeenEdges } from './seen-edge.ts';
import { settleShaded } from './shaded-edge.ts';
import { sharpenTips } from './sharpen-tips.ts';
import type { TracedEdge } from './types.ts';
import { NARROWEST_WALL_PX } from './wall-track.ts';
import { viewWalls, type WallView, wallPxAt } from './wall-view.ts';

/** Distance between measured points, mm, and its bounds in the photo, px. */
const STEP_MM = 0.4;
const LEAST_STEP_PX = 1.5;
const MOST_STEP_PX = 3.5;
/** How far from the proposal the edge is looked for, px, at most. */
const TRACK_REACH_PX = 10;
const TOP_REACH_PX = 4;
/** Round an opening the face borders on its wall, darker as a rule, and on table, brighter perhaps: channels and polarity change within a few samples. */
const TOP_CHANNEL_REACH = 3;
/** Samples either way over which the proposal's normals are taken. */
const NORMAL_REACH = 4;
/** Thinner pieces have no side wall worth telling from the face, mm. */
export const THICK_FROM_MM = 1;
/** Times that the expected top edge is followed: the first fills gaps, the second starts from what it filled in. */
const TOP_ROUNDS = 2;
/** A top edge is clear enough to be followed from this step over noise on. */
const CLEAR_TOP = 7;
/** Shadows that are as dark as a face reach so many thicknesses from it, and are followed so far, px. */
const SHADOW_REACH = 1;
const MOST_SHADOW_PX = 40;
/** Contours of fewer points are specks. */
const LEAST_POINTS = 24;

/** Share of samples with a step of light below this many times the noise that makes an edge a faint one. */
const FAINT_CLEARNESS = 3;

/** A traced edge, and the share of its samples where no clear edge was found. */
interface EdgeTrace {
  readonly edge: TracedEdge;
  readonly faintShare: number;
  /** The edge in the photo as last refined. */
  readonly refined: RefinedEdge;
}

/** Scale of the photo on the table near a place, px per mm. */
export function pxPerMmAt(camera: Camera, { u, v }: ImagePoint): number {
  const at = imageToPlane(camera, { u, v });
  const right = imageToPlane(camera, { u: u + 10, v });
  const down = imageToPlane(camera, { u, v: v + 10 });
  const area = Math.abs((right.x - at.x) * (down.y - at.y) - (down.x - at.x) * (right.y - at.y));
  return area > 0 ? 10 / Math.sqrt(area) : 1;
}

/**
 * The edge with the places where a wall shows put back on the line that they were looked for about: there a clear foot
 * beside a faint top edge draws them to itself.
 */
function heldAtWalls(edge: RefinedEdge, view: WallView): RefinedEdge {
  const back = edge.moved.map((moved, i) => (wallPxAt(view, i) >= NARROWEST_WALL_PX ? moved : 0));
  return {
    ...edge,
    u: edge.u.map((u, i) => u - back[i]! * edge.normalU[i]!),
    v: edge.v.map((v, i) => v - back[i]! * edge.normalV[i]!),
  };
}

/** The mapped top edge with the gaps in it bridged. */
function bridged(camera: Camera, mapped: MappedEdge, thicknessMm: number): MappedEdge {
  const points: PlanePoint[] = [];
  const seenPx: ImagePoint[] = [];
  const add = (point: PlanePoint, seen: ImagePoint) => {
    points.push(point);
    seenPx.push(seen);
  };
  bridgeGaps(
    mapped.points,
    (i) => add(mapped.points[i]!, mapped.seenPx[i]!),
    (point) => add(point, planeToImage(camera, point, thicknessMm)),
  );
  return { ...mapped, points, seenPx };
}

/**
 * Carries an edge of a thick piece to the plane; `isTop`: it follows the top edge, but for small errors, and near the
 * `expected` line where one is given.
 */
export function mapEdge(
  photo: Raster,
  { camera, thicknessMm }: Pick<Capture, 'camera' | 'thicknessMm'>,
  refined: RefinedEdge,
  isTop: boolean,
  expected?: Contour,
): MappedEdge {
  const view = viewWalls(camera, refined, thicknessMm);
  const edge = isTop ? heldAtWalls(refined, view) : refined;
  const seen = tellSeenEdges(photo, edge, view, isTop);
  if (!expected) return mapThickEdge(camera, edge, seen, view, thicknessMm);
  const astray = astrayFrom(
    expected,
    seen,
    seen.height.map((height) => height === 'top'),
  );
  const doubtful = seen.doubtful.map((value, i) => (value || astray[i] ? 1 : 0));
  return bridged(camera, mapThickEdge(camera, edge, { ...seen, doubtful }, view, thicknessMm), thicknessMm);
}

/** The whole top edge as a first reading of a thick piece's outline has it, with tips that nothing showed put back. */
function expectedTopEdge(
  { camera, thicknessMm }: Capture,
  { points }: MappedEdge,
  pxPerMm: number,
  stepPx: number,
): Contour {
  const seen = points.map((point) => planeToImage(camera, point, thicknessMm));
  const contour = { u: Float64Array.from(seen, ({ u }) => u), v: Float64Array.from(seen, ({ v }) => v) };
  return sharpenTips(contour, pxPerMm, stepPx);
}

/** An edge as last refined, and carried to the plane. */
interface Traced {
  readonly refined: RefinedEdge;
  readonly mapped: MappedEdge;
}

function traceThin(
  photo: Raster,
  capture: Capture,
  rough: RefinedEdge,
  pxPerMm: number,
  stepPx: number,
): Traced {
  const refined = refineEdge(photo, sharpenTips(rough, pxPerMm, stepPx), rough.sigmaPx);
  return { refined, mapped: mapThinEdge(capture.camera, refined, capture.thicknessMm) };
}

/**
 * Traces the edge as it shows, top edge and foot told apart; a top edge that is clear is then followed all round.
 * `top`: the edge is the top edge and lies near this.
 */
function traceThick(
  photo: Raster,
  capture: Capture,
  rough: RefinedEdge,
  pxPerMm: number,
  stepPx: number,
  top?: Contour,
): Traced | undefined {
  const channelReach = top ? TOP_CHANNEL_REACH : undefined;
  const inward = Math.ceil(Math.min(MOST_SHADOW_PX, SHADOW_REACH * capture.thicknessMm * pxPerMm));
  const drawn = top
    ? undefined
    : drawToFace(photo, rough, viewWalls(capture.camera, rough, capture.thicknessMm), inward);
  const refine = (contour: Contour) => {
    const edge = refineEdge(photo, contour, rough.sigmaPx, channelReach);
    if (!drawn) return edge;
    const shaded = shadedLike(drawn, edge);
    // Once more about the line that the first places draw, which is smoother than the track.
    const settled = settleShaded(photo, edge, shaded);
    return settleShaded(photo, refineEdge(photo, settled, rough.sigmaPx), shaded);
  };
  let refined = refine(sharpenTips(drawn ?? rough, pxPerMm, stepPx));
  let mapped = mapEdge(photo, capture, refined, !!top, top);
  const rounds = top || mapped.topClearness >= CLEAR_TOP ? TOP_ROUNDS : 0;
  for (let round = 0; round < rounds; round++) {
    if (mapped.points.length < LEAST_POINTS) return undefined;
    const expected = expectedTopEdge(capture, mapped, pxPerMm, stepPx);
    if (expected.u.length < LEAST_POINTS) return undefined;
    refined = refine(expected);
    mapped = mapEdge(photo, capture, refined, true, top);
  }
  return mapped.points.length < LEAST_POINTS ? undefined : { refined, mapped };
}

/** What is known of a proposal. */
export interface Proposed {
  /** It runs out of the photo. */
  readonly cutOff: boolean;
  /** It follows the top edge all round. */
  readonly isTop: boolean;
  /** The table's light in the open: such a proposal is asked whether it is a foot in truth. Left out, it is believed. */
  readonly openTable?: number;
}

/**
 * Traces one closed edge from its proposal (pixel sides, the material on the right hand): tracked, refined twice (with
 * cut-off tips put back in between; for thick pieces, from the top edge as the first reading has it), mapped and
 * cleaned. Undefined for specks, and for a proposal of the top edge that turns out to follow a foot.
 */
export function traceEdge(
  photo: Raster,
  capture: Capture,
  proposal: readonly ImagePoint[],
  { cutOff, isTop, openTable }: Proposed,
  cleaningToleranceMm: number,
): EdgeTrace | undefined {
  const pxPerMm = pxPerMmAt(capture.camera, proposal[0]!);
  const stepPx = Math.min(MOST_STEP_PX, Math.max(LEAST_STEP_PX, STEP_MM * pxPerMm));
  const contour = contourOfStairs(proposal, stepPx);
  if (contour.u.length < LEAST_POINTS) return undefined;
  const pinWithinPx = cutOff ? TRACK_REACH_PX : 0;
  const reachPx = isTop ? TOP_REACH_PX : TRACK_REACH_PX;
  const channelReach = isTop ? TOP_CHANNEL_REACH : undefined;
  const track = trackEdge(photo, contour, reachPx, NORMAL_REACH, pinWithinPx, channelReach);
  const near: HeldTrack | undefined = isTop ? heldNear(contour, track) : undefined;
  const { camera, thicknessMm } = capture;
  if (near && openTable !== undefined && !followsTop(photo, camera, near.held, thicknessMm, openTable))
    return;
  const rough = refineEdge(photo, near?.held ?? track, undefined, channelReach);
  const isThick = capture.thicknessMm >= THICK_FROM_MM;
  const traced = isThick
    ? traceThick(photo, capture, rough, pxPerMm, stepPx, near?.expected)
    : traceThin(photo, capture, rough, pxPerMm, stepPx);
  if (!traced) return undefined;
  const { refined, mapped } = traced;
  // On the plane, y up, the material lies on the right hand still: turned round, outlines run counter-clockwise.
  const measured = mapped.points.toReversed();
  const { path, movedMaxMm, movedMeanMm } = cleanPolyline(measured, true, cleaningToleranceMm);
  const faint = refined.clearness.filter((clearness) => clearness < FAINT_CLEARNESS).length;
  return {
    edge: {
      path,
      measured,
      seenPx: mapped.seenPx.toReversed(),
      movedMaxMm,
      movedMeanMm,
      footShare: mapped.footShare,
    },
    faintShare: faint / refined.clearness.length,
    refined,
  };
}
