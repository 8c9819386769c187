/** Levenberg-Marquardt on the solve's equations. */
import { choleskyFactor, choleskySolve } from './linear-algebra.ts';
import { type Equations, equationsAt } from './solve-equations.ts';
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
}

/** A step promising less than this share of a sigma squared is none. */
const SETTLED = 1e-7;

function dampedStep(equations: Equations, n: number, damping: number): Float64Array | undefined {
  const matrix = equations.data.map((value, at) => value + equations.prior[at]!);
  // Bring the diagonal to one: the unknowns' units differ by many powers of ten.
  const scale = Float64Array.from({ length: n }, (_, i) => 1 / Math.sqrt(matrix[i * n + i]! || 1));
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) matrix[i * n + j]! *= scale[i]! * scale[j]!;
  for (let i = 0; i < n; i++) matrix[i * n + i]! += damping;
  const factor = choleskyFactor(matrix, n);
  if (!factor) return undefined;
  return choleskySolve(
    factor,
    n,
    equations.right.map((value, i) => value * scale[i]!),
  ).map((value, i) => value * scale[i]!);
}

/** Steps down a system from a state for at most `rounds` rounds; undefined when the start is impossible. */
export function descendOn<State>(
  system: System<State>,
  start: State,
  rounds: number,
): Descent<State> | undefined {
  let state = start;
  let equations = system.equationsAt(state);
  if (!equations) return undefined;
  let damping = 1e-3;
  for (let round = 0; round < rounds; round++) {
    const step = dampedStep(equations, system.unknowns, damping);
    const next = step && system.stepped(state, step);
    const nextEquations = next && system.equationsAt(next);
    if (next && nextEquations && nextEquations.cost < equations.cost) {
      const gain = equations.cost - nextEquations.cost;
      state = next;
      equations = nextEquations;
      damping = Math.max(1e-9, damping / 8);
      if (gain < SETTLED * (1 + equations.cost)) break;
    } else {
      damping *= 10;
      if (damping > 1e4) break;
    }
  }
  return { state, equations };
}

/** Steps down one photo's solve from a state for at most `rounds` rounds; undefined when the start is impossible. */
export function descend(problem: SolveProblem, start: SolveState, rounds: number): Descent | undefined {
  const system: System<SolveState> = {
    unknowns: unknownCount(problem),
    equationsAt: (state) => equationsAt(problem, state),
    stepped: steppedState,
  };
  return descendOn(system, start, rounds);
}
