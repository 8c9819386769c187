import { NORMAL, setNormal } from './normal-curve.ts';
import { addObservation, clearEquations, drawToZero, newEquations, solveSmall } from './small-equations.ts';

/**
 * A blurred edge between two sloping levels, along the normal d of an edge at e:
 * I(d) = in (1 - P) + out P + inSlope ((d-e)(1 - P) - sigma p) + outSlope ((d-e) P + sigma p),
 * with P and p the normal distribution and density at (d-e)/sigma. The slopes take up soft shadow and falling light
 * beside the edge, which would pull a half-way crossing of plain means towards the shadow.
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

/** Unknowns in order: inside and outside level, inside and outside slope, and the step of the offset. */
const UNKNOWNS = 5;
/** Slopes are drawn towards 0 as if by this many square pixels of evidence: short sides cannot tell them. */
const SLOPE_RIDGE = 15;
const ROUNDS = 6;
const CLOSE_ENOUGH_PX = 2e-3;

const equations = newEquations();
const { row, right } = equations;

/** The coefficients of both levels and both slopes at distance x from the edge. */
function setRow(x: number, sigmaPx: number): void {
  setNormal(x / sigmaPx);
  const { density, distribution } = NORMAL;
  row[0] = 1 - distribution;
  row[1] = distribution;
  row[2] = x * (1 - distribution) - sigmaPx * density;
  row[3] = x * distribution + sigmaPx * density;
}

function drawSlopes(): void {
  drawToZero(equations, 2, SLOPE_RIDGE);
  drawToZero(equations, 3, SLOPE_RIDGE);
}

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
    clearEquations(equations);
    // The four linear unknowns are solved afresh each round; only the offset is a step, and not in the first.
    const unknowns = round === 0 ? 4 : UNKNOWNS;
    const rise = (outside - inside) / sigmaPx;
    for (let i = 0; i < count; i++) {
      setRow(distance[i]! - offset, sigmaPx);
      row[4] = -(rise * NORMAL.density + insideSlope * row[0]! + outsideSlope * row[1]!);
      addObservation(equations, unknowns, value[i]!, 1);
    }
    drawSlopes();
    if (unknowns === UNKNOWNS) drawToZero(equations, 4, 1e-9);
    if (!solveSmall(equations, unknowns)) return undefined;
    inside = right[0]!;
    outside = right[1]!;
    insideSlope = right[2]!;
    outsideSlope = right[3]!;
    if (round === 0) continue;
    const step = Math.max(-1, Math.min(1, right[4]!));
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
