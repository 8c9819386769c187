/** Derivatives of what is seen by what is unknown: sparse rows of the solve's Jacobian. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { type Camera, imageToPlane, principalPoint } from './camera.ts';
import { K1, K2, LN_ACROSS, LN_ALONG, LN_FOCAL, OFFSET_U, OFFSET_V } from './camera-parameters.ts';
import { placeIndex, slackIndex, type SolveProblem, type SolveState } from './solve-state.ts';
import { faceHeightOf, type SeenSide, sideBasis } from './solve-target.ts';

/** A sparse row of the Jacobian: indices and derivatives. */
export class Row {
  readonly index: number[] = [];
  readonly value: number[] = [];

  add(index: number, value: number): void {
    if (index < 0) return;
    this.index.push(index);
    this.value.push(value);
  }
}

/** A place on the table with its derivatives by unknowns: [index, dx, dy]. */
interface Placed {
  readonly x: number;
  readonly y: number;
  readonly by: readonly (readonly [index: number, dx: number, dy: number])[];
}

/** Where a nominal point of a target lies on the table, with derivatives by its place and by the print. */
export function placePoint(
  { targets }: SolveProblem,
  state: SolveState,
  target: number,
  at: PlanePoint,
): Placed {
  const place = state.places[target]!;
  const isPrinted = targets[target]!.isPrinted ?? true;
  const [c, s] = [Math.cos(place.turnRad), Math.sin(place.turnRad)];
  const x = isPrinted ? Math.exp(state.lnAcross) * at.x : at.x;
  const y = isPrinted ? Math.exp(state.lnAlong) * at.y : at.y;
  const first = placeIndex(target);
  return {
    x: place.x + c * x - s * y,
    y: place.y + s * x + c * y,
    by: [
      ...(first < 0
        ? []
        : ([
            [first, 1, 0],
            [first + 1, 0, 1],
            [first + 2, -s * x - c * y, c * x - s * y],
          ] as const)),
      ...(isPrinted
        ? ([
            [LN_ACROSS, c * x, s * x],
            [LN_ALONG, -s * y, c * y],
          ] as const)
        : []),
    ],
  };
}

/** Where a point of the table shows in the picture, and the derivatives of that. */
class Shown {
  readonly at: ImagePoint;
  readonly #camera: Camera;
  readonly #placed: Placed;
  /** The point in camera axes, mm: right, down, depth. */
  readonly #point: readonly [number, number, number];
  /** Its normalised place, the square of how far that lies out, and what the lens makes of it. */
  readonly #x: number;
  readonly #y: number;
  readonly #r2: number;
  readonly #bend: number;

  constructor(camera: Camera, placed: Placed, px: number, py: number, depth: number) {
    this.#camera = camera;
    this.#placed = placed;
    this.#point = [px, py, depth];
    const [x, y] = [px / depth, py / depth];
    const r2 = x * x + y * y;
    const bend = 1 + r2 * (camera.k1 + r2 * camera.k2);
    [this.#x, this.#y, this.#r2, this.#bend] = [x, y, r2, bend];
    const scale = camera.focalPx * bend;
    const centre = principalPoint(camera);
    this.at = { u: centre.u + scale * x, v: centre.v + scale * y };
  }

  /** Derivatives of du * u + dv * v by the point in camera axes. */
  #byPoint(du: number, dv: number): readonly [number, number, number] {
    const { focalPx: f, k1, k2 } = this.#camera;
    const [x, y, bend, z] = [this.#x, this.#y, this.#bend, this.#point[2]];
    const bendSlope = 2 * (k1 + 2 * this.#r2 * k2);
    // Image place by normalised place.
    const uy = f * x * y * bendSlope;
    const a = du * f * (bend + x * x * bendSlope) + dv * uy;
    const b = du * uy + dv * f * (bend + y * y * bendSlope);
    return [a / z, b / z, -(a * x + b * y) / z];
  }

  /** Derivative of du * u + dv * v by the point's height over the table. */
  byHeight(du: number, dv: number): number {
    const [gx, gy, gz] = this.#byPoint(du, dv);
    const r = this.#camera.rotation;
    return gx * r[2]! + gy * r[5]! + gz * r[8]!;
  }

  /** Derivatives of du * u + dv * v by the unknowns. */
  row(du: number, dv: number): Row {
    const { focalPx: f, rotation: r } = this.#camera;
    const [px, py, pz] = this.#point;
    const r2 = this.#r2;
    const [gx, gy, gz] = this.#byPoint(du, dv);
    const filled = new Row();
    // A turn w of the camera moves the point by w x p.
    filled.add(0, gz * py - gy * pz);
    filled.add(1, gx * pz - gz * px);
    filled.add(2, gy * px - gx * py);
    const byX = gx * r[0]! + gy * r[3]! + gz * r[6]!;
    const byY = gx * r[1]! + gy * r[4]! + gz * r[7]!;
    const byZ = gx * r[2]! + gy * r[5]! + gz * r[8]!;
    filled.add(3, -byX);
    filled.add(4, -byY);
    filled.add(5, -byZ);
    const along = du * this.#x + dv * this.#y;
    filled.add(LN_FOCAL, f * this.#bend * along);
    filled.add(K1, f * along * r2);
    filled.add(K2, f * along * r2 * r2);
    filled.add(OFFSET_U, du);
    filled.add(OFFSET_V, dv);
    for (const [index, ofX, ofY] of this.#placed.by) filled.add(index, byX * ofX + byY * ofY);
    return filled;
  }
}

/** A point of the table in the picture; undefined when it falls behind the camera. */
function show({ camera }: SolveState, placed: Placed, zMm: number): Shown | undefined {
  const r = camera.rotation;
  const [cx, cy, cz] = camera.centreMm;
  const [dx, dy, dz] = [placed.x - cx, placed.y - cy, zMm - cz];
  const z = r[6]! * dx + r[7]! * dy + r[8]! * dz;
  if (!(z > 1)) return undefined;
  const x = r[0]! * dx + r[1]! * dy + r[2]! * dz;
  const y = r[3]! * dx + r[4]! * dy + r[5]! * dz;
  return new Shown(camera, placed, x, y, z);
}

/** A target's nominal point in the picture. */
export function showPoint(
  problem: SolveProblem,
  state: SolveState,
  target: number,
  at: PlanePoint,
): Shown | undefined {
  const placed = placePoint(problem, state, target, at);
  return show(state, placed, faceHeightOf(problem.targets[target]!));
}

/** The problem with lifted paper's leverage held at a state; as it is when a point would lie behind the camera there. */
export function withLeverage(problem: SolveProblem, state: SolveState): SolveProblem {
  const leverage: (readonly [number, number])[][] = [];
  for (const [target, { points }] of problem.targets.entries()) {
    const own: (readonly [number, number])[] = [];
    for (const { at } of points) {
      const shown = showPoint(problem, state, target, at);
      if (!shown) return problem;
      own.push([shown.byHeight(1, 0), shown.byHeight(0, 1)]);
    }
    leverage.push(own);
  }
  return { ...problem, leverage };
}

/** A side's frame: middle, unit way from end to end, outward normal, half length, mm. */
function frameOf({ from, to }: SeenSide) {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const way = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
  return {
    middle: { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 },
    way,
    out: { x: -way.y, y: way.x },
    half: length / 2,
  };
}

/** How far outward of its nominal place a side is solved to lie, mm, at `share` (-1 .. 1) of half its length beyond its middle. */
export function sideShift(
  problem: SolveProblem,
  state: SolveState,
  target: number,
  side: number,
  share: number,
): number {
  const first = slackIndex(problem, target, side) - slackIndex(problem, 0, 0);
  return sideBasis(share).reduce((sum, basis, k) => sum + basis * state.slack[first + k]!, 0);
}

/** Where a side is solved to pass a place seen on it. */
export function showSide(
  problem: SolveProblem,
  state: SolveState,
  target: number,
  side: number,
  seen: ImagePoint,
): Shown | undefined {
  const { middle, way, out, half } = frameOf(problem.targets[target]!.sides![side]!);
  const zMm = faceHeightOf(problem.targets[target]!);
  const place = state.places[target]!;
  const [c, s] = [Math.cos(place.turnRad), Math.sin(place.turnRad)];
  // How far along the side it was seen; any nearby point of the side does, since its image runs along the side.
  const laid = imageToPlane(state.camera, seen, zMm);
  if (!Number.isFinite(laid.x)) return undefined;
  const [lx, ly] = [laid.x - place.x, laid.y - place.y];
  const [ox, oy] = [c * lx + s * ly - middle.x, c * ly - s * lx - middle.y];
  const share = Math.max(-1.2, Math.min(1.2, (ox * way.x + oy * way.y) / half));
  const shift = sideShift(problem, state, target, side, share);
  const placed = placePoint(problem, state, target, {
    x: middle.x + share * half * way.x + shift * out.x,
    y: middle.y + share * half * way.y + shift * out.y,
  });
  const first = slackIndex(problem, target, side);
  const [nx, ny] = [c * out.x - s * out.y, s * out.x + c * out.y];
  const own = sideBasis(share).map((basis, k) => [first + k, basis * nx, basis * ny] as const);
  return show(state, { ...placed, by: [...placed.by, ...own] }, zMm);
}
