import { type Camera, imageToPlane } from '../capture/camera.ts';
import type { Capture } from '../capture/types.ts';
import type { ImagePoint } from '../geometry/point.ts';
import type { Raster } from '../vision/raster.ts';
import { cleanPolyline } from './clean-polyline.ts';
import { contourOfStairs } from './contour.ts';
import { trackEdge } from './edge-track.ts';
import { mapThickEdge, mapThinEdge, type MappedEdge } from './map-edge.ts';
import { type RefinedEdge, refineEdge } from './refine-edge.ts';
import { tellSeenEdges } from './seen-edge.ts';
import { sharpenTips } from './sharpen-tips.ts';
import type { TracedEdge } from './types.ts';
import { viewWalls } from './wall-view.ts';

/** Distance between measured points, mm, and its bounds in the photo, px. */
const STEP_MM = 0.4;
const LEAST_STEP_PX = 1.5;
const MOST_STEP_PX = 3.5;
/** How far from the proposal the edge is looked for, px, at most. */
const TRACK_REACH_PX = 10;
/** Samples either way over which the proposal's normals are taken. */
const NORMAL_REACH = 4;
/** Thinner pieces have no side wall worth telling from the face, mm. */
const THICK_FROM_MM = 1;
/** Contours of fewer points are specks. */
const LEAST_POINTS = 24;

/** Share of samples with a step of light below this many times the noise that makes an edge a faint one. */
const FAINT_CLEARNESS = 3;

/** A traced edge, and the share of its samples where no clear edge was found. */
interface EdgeTrace {
  readonly edge: TracedEdge;
  readonly faintShare: number;
}

/** Scale of the photo on the table near a place, px per mm. */
function pxPerMmAt(camera: Camera, { u, v }: ImagePoint): number {
  const at = imageToPlane(camera, { u, v });
  const right = imageToPlane(camera, { u: u + 10, v });
  const down = imageToPlane(camera, { u, v: v + 10 });
  const area = Math.abs((right.x - at.x) * (down.y - at.y) - (down.x - at.x) * (right.y - at.y));
  return area > 0 ? 10 / Math.sqrt(area) : 1;
}

function mapEdge(photo: Raster, capture: Capture, edge: RefinedEdge): MappedEdge {
  const { camera, thicknessMm } = capture;
  if (thicknessMm < THICK_FROM_MM) return mapThinEdge(camera, edge, thicknessMm);
  const view = viewWalls(camera, edge, thicknessMm);
  return mapThickEdge(camera, tellSeenEdges(photo, edge, view), view, thicknessMm);
}

/**
 * Traces one closed edge from its proposal (pixel sides, the material on the right hand): tracked, refined twice (with
 * cut-off tips put back in between), mapped and cleaned. Undefined for specks.
 */
export function traceEdge(
  photo: Raster,
  capture: Capture,
  proposal: readonly ImagePoint[],
  cutOff: boolean,
  cleaningToleranceMm: number,
): EdgeTrace | undefined {
  const pxPerMm = pxPerMmAt(capture.camera, proposal[0]!);
  const stepPx = Math.min(MOST_STEP_PX, Math.max(LEAST_STEP_PX, STEP_MM * pxPerMm));
  const contour = contourOfStairs(proposal, stepPx);
  if (contour.u.length < LEAST_POINTS) return undefined;
  const pinWithinPx = cutOff ? TRACK_REACH_PX : 0;
  const track = trackEdge(photo, contour, TRACK_REACH_PX, NORMAL_REACH, pinWithinPx);
  const rough = refineEdge(photo, track);
  const refined = refineEdge(photo, sharpenTips(rough, pxPerMm, stepPx), rough.sigmaPx);
  const mapped = mapEdge(photo, capture, refined);
  if (mapped.points.length < LEAST_POINTS) return undefined;
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
  };
}
