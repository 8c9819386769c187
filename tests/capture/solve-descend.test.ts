import { describe, expect, it } from 'vitest';
import { LN_FOCAL } from '../../src/capture/camera-parameters.ts';
import { focalPriors, printPriors } from '../../src/capture/priors.ts';
import { solve } from '../../src/capture/solve.ts';
import { descend, descendOn, type System } from '../../src/capture/solve-descend.ts';
import { unknownCount } from '../../src/capture/solve-state.ts';
import { seenCards } from '../bench/seen-captures.ts';
import { captureScene } from '../simulator/captures.ts';

/** Least squares of residuals m_i - f_i(x), their derivatives by differences. */
function leastSquares(unknowns: number, residuals: (x: readonly number[]) => number[]): System<number[]> {
  return {
    unknowns,
    stepped: (x, step) => x.map((value, i) => value + step[i]!),
    equationsAt: (x) => {
      const left = residuals(x);
      const slopes = x.map((value, j) => {
        const h = 1e-6 * Math.max(1, Math.abs(value));
        const moved = (by: number): number[] => residuals(x.map((each, i) => (i === j ? each + by : each)));
        const [up, down] = [moved(h), moved(-h)];
        return left.map((_, i) => (down[i]! - up[i]!) / (2 * h));
      });
      const sum = (a: readonly number[], b: readonly number[]): number =>
        a.reduce((total, value, i) => total + value * b[i]!, 0);
      const cost = sum(left, left);
      return {
        cost,
        data: Float64Array.from(slopes.flatMap((a) => slopes.map((b) => sum(a, b)))),
        prior: new Float64Array(unknowns ** 2),
        right: Float64Array.from(slopes, (slope) => sum(slope, left)),
        dataCost: cost,
        dataCount: left.length,
      };
    },
  };
}

const BARD = [0.14, 0.18, 0.22, 0.25, 0.29, 0.32, 0.35, 0.39, 0.37, 0.58, 0.73, 0.96, 1.34, 2.1, 4.39];
const KOWALIK_U = [4, 2, 1, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625];
const KOWALIK_Y = [0.1957, 0.1947, 0.1735, 0.16, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246];

describe('the descent', () => {
  // More, Garbow & Hillstrom, "Testing Unconstrained Optimization Software", ACM TOMS 7, 1981: problems 1, 8, 15 with
  // their standard starts and lowest sums of squares (from memory).
  it.each([
    ['Rosenbrock', [-1.2, 1], 0, ([x, y]: readonly number[]) => [10 * (y! - x! ** 2), 1 - x!]],
    [
      'Bard',
      [1, 1, 1],
      8.21487e-3,
      ([a, b, c]: readonly number[]) =>
        BARD.map((y, i) => {
          const [u, v] = [i + 1, 15 - i];
          return y - (a! + u / (v * b! + Math.min(u, v) * c!));
        }),
    ],
    [
      'Kowalik and Osborne',
      [0.25, 0.39, 0.415, 0.39],
      3.07505e-4,
      ([a, b, c, d]: readonly number[]) =>
        KOWALIK_Y.map((y, i) => {
          const u = KOWALIK_U[i]!;
          return y - (a! * (u * u + u * b!)) / (u * u + u * c! + d!);
        }),
    ],
  ] as const)('finds the published lowest sum of squares of %s', (_, start, lowest, residuals) => {
    // In units of its noise, as the solve's own costs are: the descent stops at parts of a sigma squared.
    const noise = 1e-4;
    const system = leastSquares(start.length, (x) => residuals(x).map((value) => value / noise));
    const { equations, damping } = descendOn(system, [...start], 200)!;
    expect(equations.cost * noise ** 2).toBeCloseTo(lowest, 7);
    // It stopped because it was done, not because the rounds were.
    expect(damping).toBeUndefined();
  });

  it('says that nothing is to be had from an impossible start', () => {
    const system = { ...leastSquares(1, (x) => [...x]), equationsAt: () => undefined };
    expect(descendOn(system, [1], 10)).toBeUndefined();
  });
});

describe('a solve with paper that does not lie flat', () => {
  it.each([3, 5, 8, 525])('ends where nothing lower lies about it (seed %i)', (seed) => {
    const scene = captureScene(seed, {
      cardCount: 6,
      region: 'A4',
      megapixels: 12,
      tiltDeg: (seed * 7) % 30,
      unmodelled: true,
    });
    const { widthPx, heightPx } = scene.camera;
    const { problem, state, covariance } = solve({
      cards: seenCards(scene),
      tapes: [],
      widthPx,
      heightPx,
      focals: focalPriors(scene.facts, widthPx, heightPx),
      print: printPriors(undefined, false),
    })!;
    const n = unknownCount(problem);
    const sigma = Math.sqrt(covariance[LN_FOCAL * n + LN_FOCAL]!);
    // Two sigmas off in focal length and height over the table, either way, the same place is found again.
    for (const off of [-2 * sigma, 2 * sigma]) {
      const { camera } = state;
      const [x, y, z] = camera.centreMm;
      const start = {
        ...state,
        camera: {
          ...camera,
          focalPx: camera.focalPx * Math.exp(off),
          centreMm: [x, y, z * Math.exp(off)] as const,
        },
      };
      const near = descend(problem, start, 80)!;
      const end = descend(problem, near.state, 80)!;
      expect(Math.abs(Math.log(end.state.camera.focalPx / camera.focalPx)) / sigma).toBeLessThan(0.02);
    }
  });
});
