import { describe, expect, it } from 'vitest';
import { calibrate, PAPER_READINGS } from '../bench/calibration.ts';
import { shareInside } from '../bench/length-errors.ts';

/** Captures in each of six cells; `npx tsx tests/bench/accuracy.ts calibration` runs 200 in each. */
const CAPTURES = 12;

describe('stated tolerances of simulated captures', () => {
  it.each(['same-printer', 'true-mm'] as const)(
    'hold as often as stated, with terms in lens, paper and ink that the solve does not model: %s',
    (of) => {
      const calibrated = calibrate(of, 5001, CAPTURES);
      for (const paper of PAPER_READINGS) {
        const errors = calibrated[paper].flatMap((cell) => cell.errors);
        expect(errors).toHaveLength(6 * 4 * CAPTURES);
        // Issue 3: 60-76 % inside one sigma, 90-98 % inside two.
        expect(shareInside(errors, 1), paper).toBeGreaterThan(0.6);
        expect(shareInside(errors, 1), paper).toBeLessThan(0.76);
        expect(shareInside(errors, 2), paper).toBeGreaterThan(0.9);
        expect(shareInside(errors, 2), paper).toBeLessThan(0.98);
      }
    },
    60_000,
  );
});
