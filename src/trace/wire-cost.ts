import type { ImagePoint } from '../geometry/point.ts';
import { LINEAR_FROM_SRGB, type Raster } from '../vision/raster.ts';

/** Part of a photo at reduced size: how strong the edge is in each cell, and which way it runs. */
export interface EdgeWindow {
  /** The photo's pixel at the window's top left corner, and pixels on a cell's side. */
  readonly leftPx: number;
  readonly topPx: number;
  readonly blockPx: number;
  readonly columns: number;
  readonly rows: number;
  /** Slope of light, or of its logarithm, of the channel where it is steepest; its direction is a unit vector across the edge. */
  readonly slope: Float32Array;
  readonly acrossU: Float32Array;
  readonly acrossV: Float32Array;
  /** 1 where that slope is steepest across the edge. */
  readonly isRidge: Uint8Array;
  /** Logarithm of the light of red, green and blue. */
  readonly light: readonly Float32Array[];
}

/** A window has no more cells than this: searched in well under half a second. */
const MOST_CELLS = 360_000;
/** Photo kept round the two ends: this share of the way between them, and at least so many pixels. */
const ROOM_SHARE = 0.5;
const LEAST_ROOM_PX = 60;

/** Mean linear light of the blocks, a plane for each channel. */
function reduce(
  photo: Raster,
  leftPx: number,
  topPx: number,
  blockPx: number,
  columns: number,
  rows: number,
) {
  const planes = [0, 1, 2].map(() => new Float32Array(columns * rows));
  const share = 1 / (blockPx * blockPx);
  for (let row = 0; row < rows * blockPx; row++) {
    const cells = Math.floor(row / blockPx) * columns;
    let at = 4 * ((topPx + row) * photo.width + leftPx);
    for (let column = 0; column < columns * blockPx; column++, at += 4) {
      const cell = cells + Math.floor(column / blockPx);
      for (let channel = 0; channel < 3; channel++)
        planes[channel]![cell]! += share * LINEAR_FROM_SRGB[photo.data[at + channel]!]!;
    }
  }
  return planes;
}

/** Slopes by Scharr's operator (weights 3, 10, 3), which favours no direction. */
function takeSlopes(planes: readonly Float32Array[], columns: number, rows: number) {
  const [slope, acrossU, acrossV] = [0, 1, 2].map(() => new Float32Array(columns * rows));
  for (let row = 1; row < rows - 1; row++) {
    for (let column = 1; column < columns - 1; column++) {
      const at = row * columns + column;
      for (const plane of planes) {
        const [nw, n, ne] = [plane[at - columns - 1]!, plane[at - columns]!, plane[at - columns + 1]!];
        const [w, e] = [plane[at - 1]!, plane[at + 1]!];
        const [sw, s, se] = [plane[at + columns - 1]!, plane[at + columns]!, plane[at + columns + 1]!];
        const u = (3 * (ne + se - nw - sw) + 10 * (e - w)) / 32;
        const v = (3 * (sw + se - nw - ne) + 10 * (s - n)) / 32;
        const steep = Math.hypot(u, v);
        if (steep <= slope![at]!) continue;
        slope![at] = steep;
        acrossU![at] = u / steep;
        acrossV![at] = v / steep;
      }
    }
  }
  return { slope: slope!, acrossU: acrossU!, acrossV: acrossV! };
}

/** Cells that are no less steep than both neighbours across the edge. */
function markRidges(slope: Float32Array, acrossU: Float32Array, acrossV: Float32Array, columns: number) {
  return Uint8Array.from(slope, (steep, at) => {
    if (steep === 0) return 0;
    const ahead = Math.round(acrossV[at]!) * columns + Math.round(acrossU[at]!);
    return steep >= (slope[at + ahead] ?? 0) && steep > (slope[at - ahead] ?? 0) ? 1 : 0;
  });
}

/** Added to light before its logarithm is taken, so that noise in the dark stays small. */
const DARK_FLOOR = 0.01;

function logarithms(plane: Float32Array): Float32Array {
  return plane.map((light) => Math.log(light + DARK_FLOOR));
}

/**
 * The photo's edges round two places in it, px. `byRatio`: edges are as strong as the ratio of light across them, so
 * that a dark face beside its darker wall counts; they are steepest a little to the darker side then.
 */
export function edgeWindow(photo: Raster, a: ImagePoint, b: ImagePoint, byRatio: boolean): EdgeWindow {
  const room = Math.max(LEAST_ROOM_PX, ROOM_SHARE * Math.hypot(b.u - a.u, b.v - a.v));
  const within = (value: number, most: number) => Math.min(most, Math.max(0, Math.round(value)));
  const leftPx = within(Math.min(a.u, b.u) - room, photo.width - 9);
  const topPx = within(Math.min(a.v, b.v) - room, photo.height - 9);
  const widthPx = Math.max(8, within(Math.max(a.u, b.u) + room, photo.width - 1) - leftPx);
  const heightPx = Math.max(8, within(Math.max(a.v, b.v) + room, photo.height - 1) - topPx);
  const blockPx = Math.min(
    Math.max(1, Math.ceil(Math.sqrt((widthPx * heightPx) / MOST_CELLS))),
    Math.floor(Math.min(widthPx, heightPx) / 4),
  );
  const [columns, rows] = [Math.floor(widthPx / blockPx), Math.floor(heightPx / blockPx)];
  const planes = reduce(photo, leftPx, topPx, blockPx, columns, rows);
  const light = planes.map(logarithms);
  const slopes = takeSlopes(byRatio ? light : planes, columns, rows);
  const isRidge = markRidges(slopes.slope, slopes.acrossU, slopes.acrossV, columns);
  return { leftPx, topPx, blockPx, columns, rows, ...slopes, isRidge, light };
}

/** The cell that a place of the photo lies in, or the nearest one. */
export function cellAt({ leftPx, topPx, blockPx, columns, rows }: EdgeWindow, { u, v }: ImagePoint): number {
  const column = Math.floor((u + 0.5 - leftPx) / blockPx);
  const row = Math.floor((v + 0.5 - topPx) / blockPx);
  const within = (value: number, count: number) => Math.min(count - 2, Math.max(1, value));
  return within(row, rows) * columns + within(column, columns);
}

/** Middle of a cell in the photo, px. */
export function middleOfCell({ leftPx, topPx, blockPx, columns }: EdgeWindow, cell: number): ImagePoint {
  return {
    u: leftPx + blockPx * ((cell % columns) + 0.5) - 0.5,
    v: topPx + blockPx * (Math.floor(cell / columns) + 0.5) - 0.5,
  };
}

/** A cell that lies on an edge counts from this share of the steepest one near by. */
const CLEAR_SHARE = 0.5;

/** The clear edge nearest to a place within `reachPx`: its cell. */
export function nearestRidge(window: EdgeWindow, at: ImagePoint, reachPx: number): number {
  const { columns, rows, blockPx, slope, isRidge } = window;
  const own = cellAt(window, at);
  const reach = Math.max(1, Math.round(reachPx / blockPx));
  const near: { readonly cell: number; readonly far: number }[] = [];
  let steepest = 0;
  for (let row = -reach; row <= reach; row++) {
    for (let column = -reach; column <= reach; column++) {
      const far = Math.hypot(row, column);
      const [r, c] = [Math.floor(own / columns) + row, (own % columns) + column];
      if (far > reach || r < 1 || c < 1 || r > rows - 2 || c > columns - 2) continue;
      const cell = r * columns + c;
      if (!isRidge[cell]) continue;
      near.push({ cell, far });
      steepest = Math.max(steepest, slope[cell]!);
    }
  }
  const clear = near.filter(({ cell }) => slope[cell]! >= CLEAR_SHARE * steepest);
  return clear.reduce((best, one) => (one.far < best.far ? one : best), { cell: own, far: Infinity }).cell;
}
