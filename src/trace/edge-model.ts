/**
 * A blurred edge between two sloping levels: I(d) = in + inSlope*min(d-e,0) + (out-in) Phi((d-e)/sigma) + outSlope*max(d-e,0).
 * The slopes take up soft shadow and falling light beside the edge, which would pull a half-way crossing of plain
 * means towards the shadow. The ramps are blurred like the step.
 */
export interface EdgeFit {
  /** Place of the half-way crossing along the normal, px. */
  readonly offset: number;
  /** Levels at the edge, in the fitted combination of channels. */
  readonly inside: number;
  readonly outside: number;
  /** Root mean square misfit. */
  readonly noise: number;
}

const INV_SQRT_2PI = 1 / Math.sqrt(2 * Math.PI);

/** Normal density and distribution at the last place asked for: one exponential serves both. */
let density = 0;
let distribution = 0;

/** Sets both for z; Abramowitz & Stegun 26.2.17: absolute error below 7.5e-8. */
function setNormal(z: number): void {
  const size = z < 0 ? -z : z;
  if (size > 5) {
    density = 0;
    distribution = z < 0 ? 0 : 1;
    return;
  }
  density = INV_SQRT_2PI * Math.exp(-0.5 * z * z);
  const t = 1 / (1 + 0.2316419 * size);
  const tail =
    density *
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  distribution = z < 0 ? tail : 1 - tail;
}

/** Normal distribution function. */
export function normalCdf(z: number): number {
  setNormal(z);
  return distribution;
}

/** Unknowns of the fit: inside and outside level, inside and outside slope, offset. */
const UNKNOWNS = 5;
const normalMatrix = new Float64Array(UNKNOWNS * UNKNOWNS);
const rightSide = new Float64Array(UNKNOWNS);
const row = new Float64Array(UNKNOWNS);

/** The four linear basis functions at distance x from the edge: both levels, both ramps, blurred. */
function setRow(x: number, sigmaPx: number): void {
  setNormal(x / sigmaPx);
  const ramp = sigmaPx * density;
  row[0] = 1 - distribution;
  row[1] = distribution;
  row[2] = x * (1 - distribution) - ramp;
  row[3] = x * distribution + ramp;
}

/** Adds the row's products to the normal equations. */
function addRow(unknowns: number, value: number): void {
  for (let r = 0; r < unknowns; r++) {
    const own = row[r]!;
    for (let c = 0; c <= r; c++) normalMatrix[r * UNKNOWNS + c]! += own * row[c]!;
    rightSide[r]! += own * value;
  }
}

/** Solves the small symmetric positive system in place by Cholesky; false when it is singular. */
function solveInPlace(a: Float64Array, b: Float64Array, n: number): boolean {
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= a[i * n + k]! * a[j * n + k]!;
      if (i === j) {
        if (!(sum > 1e-14)) return false;
        a[i * n + i] = Math.sqrt(sum);
      } else a[i * n + j] = sum / a[j * n + j]!;
    }
  }
  for (let i = 0; i < n; i++) {
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= a[i * n + k]! * b[k]!;
    b[i] = sum / a[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = b[i]!;
    for (let k = i + 1; k < n; k++) sum -= a[k * n + i]! * b[k]!;
    b[i] = sum / a[i * n + i]!;
  }
  return true;
}

/** Slopes are drawn towards 0 as if by this many square pixels of evidence: short sides cannot tell them. */
const SLOPE_RIDGE = 15;
const ROUNDS = 6;
const CLOSE_ENOUGH_PX = 2e-3;

/**
 * Fits the model to `count` values at signed distances (px, outward positive) by Gauss-Newton from `start`, with the
 * blur `sigmaPx` given. Undefined when the values do not draw an edge within `reachPx` of the start.
 */
export function fitEdge(
  distance: Float64Array,
  value: Float64Array,
  count: number,
  start: number,
  sigmaPx: number,
  reachPx: number,
): EdgeFit | undefined {
  let offset = start;
  let inside = 0;
  let outside = 0;
  let insideSlope = 0;
  let outsideSlope = 0;
  for (let round = 0; round < ROUNDS; round++) {
    normalMatrix.fill(0);
    rightSide.fill(0);
    // The four linear unknowns are solved afresh each round; only the offset is a step, and not in the first.
    const unknowns = round === 0 ? 4 : UNKNOWNS;
    const rise = (outside - inside) / sigmaPx;
    for (let i = 0; i < count; i++) {
      setRow(distance[i]! - offset, sigmaPx);
      row[4] = -(rise * density + insideSlope * (1 - distribution) + outsideSlope * distribution);
      addRow(unknowns, value[i]!);
    }
    normalMatrix[12]! += SLOPE_RIDGE;
    normalMatrix[18]! += SLOPE_RIDGE;
    normalMatrix[24]! += round === 0 ? 1 : 1e-9;
    if (!solveInPlace(normalMatrix, rightSide, UNKNOWNS)) return undefined;
    inside = rightSide[0]!;
    outside = rightSide[1]!;
    insideSlope = rightSide[2]!;
    outsideSlope = rightSide[3]!;
    if (round === 0) continue;
    const step = Math.max(-1, Math.min(1, rightSide[4]!));
    offset += step;
    if (!(Math.abs(offset - start) <= reachPx)) return undefined;
    if (Math.abs(step) < CLOSE_ENOUGH_PX) break;
  }
  let squares = 0;
  for (let i = 0; i < count; i++) {
    setRow(distance[i]! - offset, sigmaPx);
    const model = inside * row[0]! + outside * row[1]! + insideSlope * row[2]! + outsideSlope * row[3]!;
    squares += (value[i]! - model) ** 2;
  }
  return { offset, inside, outside, noise: Math.sqrt(squares / Math.max(1, count - UNKNOWNS)) };
}

/** The step at distance 0 between two sloping levels, blur given; 0 when there are too few pixels to say. */
export function stepAt(distance: Float64Array, value: Float64Array, count: number, sigmaPx: number): number {
  normalMatrix.fill(0);
  rightSide.fill(0);
  for (let i = 0; i < count; i++) {
    setRow(distance[i]!, sigmaPx);
    addRow(4, value[i]!);
  }
  normalMatrix[12]! += SLOPE_RIDGE;
  normalMatrix[18]! += SLOPE_RIDGE;
  normalMatrix[24] = 1;
  return solveInPlace(normalMatrix, rightSide, UNKNOWNS) ? rightSide[1]! - rightSide[0]! : 0;
}
