/** Levenberg-Marquardt on the solve's equations. */
import { choleskyFactor, choleskySolve } from './linear-algebra.ts';
import { type Equations, equationsAt } from './solve-equations.ts';
import { withLeverage } from './solve-rows.ts';
import { type SolveProblem, type SolveState, steppedState, unknownCount } from './solve-state.ts';

/** What is descended on: one photo's solve, or several photos' together. */
export interface System<State> {
  readonly unknowns: number;
  /** Undefined where the state is impossible. */
  equationsAt(state: State): Equations | undefined;
  stepped(state: State, step: Float64Array): State;
}

export interface Descent<State = SolveState> {
  readonly state: State;
  readonly equations: Equations;
  /** Damping with which the next step would be tried; undefined where no step leads further down. */
  readonly damping: number | undefined;
}

/** A step promising less than this share of a sigma squared is none ... */
const SETTLED = 1e-7;
/** ... nor is one that promised less than this and did not keep it: the cost's own rounding is about that. */
const NOTHING = 1e-5;
/** Most starts lie where the solve is nearly square: they pay for damping, and the few others soon have it. */
const FIRST_DAMPING = 1e-5;
const BEST_EASING = 1 / 30;
const LEAST_DAMPING = 1e-9;
const MOST_DAMPING = 1e4;

interface Step {
  readonly by: Float64Array;
  /** How much the cost falls if it is as square as the equations say. */
  readonly promise: number;
}

function dampedStep(equations: Equations, n: number, damping: number): Step | undefined {
  const { data, prior, right } = equations;
  // Bring the diagonal to one: the unknowns' units differ by many powers of ten.
  const scale = new Float64Array(n);
  for (let i = 0; i < n; i++) scale[i] = 1 / Math.sqrt(data[i * n + i]! + prior[i * n + i]! || 1);
  const matrix = new Float64Array(n * n);
  const scaledRight = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      matrix[i * n + j] = (data[i * n + j]! + prior[i * n + j]!) * scale[i]! * scale[j]!;
    }
    matrix[i * n + i]! += damping;
    scaledRight[i] = right[i]! * scale[i]!;
  }
  const factor = choleskyFactor(matrix, n);
  if (!factor) return undefined;
  const by = choleskySolve(factor, n, scaledRight);
  let promise = 0;
  for (let i = 0; i < n; i++) {
    promise += by[i]! * (damping * by[i]! + scaledRight[i]!);
    by[i]! *= scale[i]!;
  }
  return { by, promise };
}

/**
 * Steps on for at most `rounds` rounds. The damping follows Nielsen's rule, by how much of its promise each step keeps
 * (Madsen, Nielsen & Tingleff, "Methods for Non-Linear Least Squares Problems", DTU 2004, section 3.2; from memory),
 * but eased faster: the solve is nearly square long before it is near.
 */
export function descendFurther<State>(
  system: System<State>,
  from: Descent<State>,
  rounds: number,
): Descent<State> {
  let { state, equations, damping } = from;
  let raise = 2;
  for (let round = 0; round < rounds && damping !== undefined; round++) {
    const settled = SETTLED * (1 + equations.cost);
    const step = dampedStep(equations, system.unknowns, damping);
    if (step && step.promise < settled) return { state, equations, damping: undefined };
    const next = step && system.stepped(state, step.by);
    const nextEquations = next && system.equationsAt(next);
    const gain = nextEquations ? equations.cost - nextEquations.cost : 0;
    if (step && next && nextEquations && gain > 0) {
      const kept = gain / step.promise;
      state = next;
      equations = nextEquations;
      damping = Math.max(LEAST_DAMPING, damping * Math.max(BEST_EASING, 1 - (2 * kept - 1) ** 3));
      raise = 2;
      if (gain < settled) damping = undefined;
    } else if (step && step.promise < NOTHING * (1 + equations.cost)) damping = undefined;
    else {
      damping = damping * raise > MOST_DAMPING ? undefined : damping * raise;
      raise *= 2;
    }
  }
  return { state, equations, damping };
}

/** Steps down a system from a state for at most `rounds` rounds; undefined when the start is impossible. */
export function descendOn<State>(
  system: System<State>,
  state: State,
  rounds: number,
): Descent<State> | undefined {
  const equations = system.equationsAt(state);
  return equations && descendFurther(system, { state, equations, damping: FIRST_DAMPING }, rounds);
}

/**
 * One photo's solve as a system about a state. What lifted paper can do is part of the noise there, and noise that
 * changed with the unknowns would be fitted too: a camera near the table gives paper more leverage, so the lowest cost
 * would lie too near. It is held while a descent lasts and renewed with the next (iteratively reweighted least squares).
 */
export function systemOf(problem: SolveProblem, about: SolveState): System<SolveState> {
  const held = withLeverage(problem, about);
  return {
    unknowns: unknownCount(problem),
    equationsAt: (state) => equationsAt(held, state),
    stepped: steppedState,
  };
}

/** Steps down one photo's solve from a state for at most `rounds` rounds; undefined when the start is impossible. */
export function descend(problem: SolveProblem, start: SolveState, rounds: number): Descent | undefined {
  return descendOn(systemOf(problem, start), start, rounds);
}
