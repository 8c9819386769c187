import type { Camera } from '../capture/camera.ts';
import { LINEAR_FROM_SRGB, type Raster } from '../vision/raster.ts';
import { type Contour, outwardNormals } from './contour.ts';
import { viewWalls } from './wall-view.ts';

/** Walls narrower than this say nothing, and neither do those seen more from the side, px and share. */
const LEAST_WALL_PX = 5;
const LEAST_FACING = 0.3;
/** The foot's step is looked for so far either way from its place, between levels so far either side of it, px. */
const SEARCH_PX = 3;
const LEVEL_PX = 2.5;
/** Change of light over a foot, in logarithms, that noise and soft shadow do not make. */
const STEP = 0.2;
/** What lies inside an edge is a wall, or table in its shadow, when it is darker than face and open table by this (log). */
const DARKER = 0.35;
/** The piece's side of an edge is looked at so far from it, px: a wall or the face. */
const BEHIND_PX = 6;
/** Above this share of walls without a foot, the edge is a foot itself there. */
const FOOTLESS_SHARE = 0.3;
const LEAST_SAMPLES = 8;
/** Samples either way over which normals are taken. */
const NORMAL_REACH = 4;
/** Added to light before its logarithm is taken, so that noise in the dark stays small. */
const DARK_FLOOR = 0.004;

const channels = [0, 0, 0];

/** Logarithms of light in the three channels, means over 3 x 3 pixels about a place; into `into`. */
function readLogs({ width, height, data }: Raster, u: number, v: number, into: number[]): void {
  channels.fill(0);
  const column = Math.max(1, Math.min(width - 2, Math.round(u)));
  const row = Math.max(1, Math.min(height - 2, Math.round(v)));
  for (let dv = -1; dv <= 1; dv++) {
    for (let du = -1; du <= 1; du++) {
      const at = 4 * ((row + dv) * width + column + du);
      for (let c = 0; c < 3; c++) channels[c]! += LINEAR_FROM_SRGB[data[at + c]!]! / 9;
    }
  }
  for (let c = 0; c < 3; c++) into[c] = Math.log(channels[c]! + DARK_FLOOR);
}

const lightOf = (logs: readonly number[]): number => (logs[0]! + logs[1]! + logs[2]!) / 3;

/**
 * Whether an opening's edge follows the top edge where its wall shows: then the wall's foot is seen inside it, one
 * wall's width away, or is lost between a dark wall and its shadow. Where the wall looks like the face the edge seen
 * is the foot, and inside it is nothing but table: not dark, since the light that falls on such a wall falls on the
 * table before it. `openTable`: the table's light in the open (`openTableLight`).
 */
export function followsTop(
  photo: Raster,
  camera: Camera,
  edge: Contour,
  thicknessMm: number,
  openTable: number,
): boolean {
  const normals = outwardNormals(edge, NORMAL_REACH);
  const view = viewWalls(camera, { ...edge, normalU: normals.u, normalV: normals.v }, thicknessMm);
  let walls = 0;
  let footless = 0;
  const [before, beyond] = [
    [0, 0, 0],
    [0, 0, 0],
  ];
  for (let i = 0; i < edge.u.length; i++) {
    const leanPx = view.leanPx[i]!;
    if (view.facing[i]! < LEAST_FACING || view.facing[i]! * leanPx < LEAST_WALL_PX) continue;
    walls++;
    const [awayU, awayV] = [-view.leanU[i]! / leanPx, -view.leanV[i]! / leanPx];
    let step = 0;
    for (let off = -SEARCH_PX; off <= SEARCH_PX; off++) {
      const [near, far] = [leanPx + off - LEVEL_PX, leanPx + off + LEVEL_PX];
      readLogs(photo, edge.u[i]! + near * awayU, edge.v[i]! + near * awayV, before);
      readLogs(photo, edge.u[i]! + far * awayU, edge.v[i]! + far * awayV, beyond);
      for (let c = 0; c < 3; c++) step = Math.max(step, Math.abs(beyond[c]! - before[c]!));
    }
    if (step >= STEP) continue;
    readLogs(photo, edge.u[i]! - BEHIND_PX * awayU, edge.v[i]! - BEHIND_PX * awayV, before);
    readLogs(photo, edge.u[i]! + 0.5 * leanPx * awayU, edge.v[i]! + 0.5 * leanPx * awayV, beyond);
    if (lightOf(beyond) > Math.min(lightOf(before), openTable) - DARKER) footless++;
  }
  return walls < LEAST_SAMPLES || footless <= FOOTLESS_SHARE * walls;
}
