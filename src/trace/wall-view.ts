import { type Camera, imageToPlane, planeToImage } from '../capture/camera.ts';
import type { RefinedEdge } from './refine-edge.ts';

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
export function viewWalls(
  camera: Camera,
  edge: Pick<RefinedEdge, 'u' | 'v' | 'normalU' | 'normalV'>,
  thicknessMm: number,
): WallView {
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

/** Width of the side wall as seen at a sample, px; negative where the piece hides it. */
export function wallPxAt(view: WallView, i: number): number {
  return view.facing[i]! * view.leanPx[i]!;
}

/** An upright line is never taken to run more than this far along the edge for each pixel outwards. */
const MOST_SKEW = 8;

/**
 * How far the wall's upright lines move to the side (along the normal turned a quarter from u to v) for each pixel
 * outwards.
 */
export function skewAt(view: WallView, edge: RefinedEdge, i: number): number {
  const [du, dv] = [view.leanU[i]!, view.leanV[i]!];
  const [nu, nv] = [edge.normalU[i]!, edge.normalV[i]!];
  const outward = du * nu + dv * nv;
  const aside = dv * nu - du * nv;
  return outward === 0 ? 0 : Math.max(-MOST_SKEW, Math.min(MOST_SKEW, aside / outward));
}
