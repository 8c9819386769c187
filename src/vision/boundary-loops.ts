import type { PixelPlace } from './polygon-mask.ts';

/** The boundary of a labelled component, along pixel sides, the component on the right hand (v down). */
export interface BoundaryLoop {
  readonly label: number;
  /** Pixel frame of the labels: sides lie at half pixels. */
  readonly places: readonly PixelPlace[];
  /** Enclosed area, px: positive for an outer boundary, negative for a hole's. */
  readonly signedAreaPx: number;
}

/** Steps right, down, left, up; and the pixel on the right and left hand ahead of a grid corner, for each. */
const STEP_U = [1, 0, -1, 0] as const;
const STEP_V = [0, 1, 0, -1] as const;
const RIGHT_AHEAD = [
  [0, 0],
  [-1, 0],
  [-1, -1],
  [0, -1],
] as const;
const LEFT_AHEAD = [
  [0, -1],
  [0, 0],
  [-1, 0],
  [-1, -1],
] as const;

/** All boundary loops of all labels above 0; components are 4-connected, as the labels are. */
export function boundaryLoops(labels: Int32Array, width: number, height: number): BoundaryLoop[] {
  const labelAt = (u: number, v: number): number =>
    u < 0 || v < 0 || u >= width || v >= height ? 0 : labels[v * width + u]!;
  const walked = new Uint8Array(labels.length);
  const loops: BoundaryLoop[] = [];
  for (let at = 0; at < labels.length; at++) {
    const label = labels[at]!;
    if (label === 0 || walked[at] || (at >= width && labels[at - width] === label)) continue;
    const places: PixelPlace[] = [];
    let [u, v, turn, twice] = [at % width, Math.floor(at / width), 0, 0];
    const [startU, startV] = [u, v];
    do {
      if (turn === 0) walked[v * width + u] = 1;
      places.push({ u: u - 0.5, v: v - 0.5 });
      const [nextU, nextV] = [u + STEP_U[turn]!, v + STEP_V[turn]!];
      twice += u * nextV - nextU * v;
      [u, v] = [nextU, nextV];
      const right = RIGHT_AHEAD[turn]!;
      const left = LEFT_AHEAD[turn]!;
      if (labelAt(u + right[0], v + right[1]) !== label) turn = (turn + 1) % 4;
      else if (labelAt(u + left[0], v + left[1]) === label) turn = (turn + 3) % 4;
    } while (u !== startU || v !== startV || turn !== 0);
    loops.push({ label, places, signedAreaPx: twice / 2 });
  }
  return loops;
}
