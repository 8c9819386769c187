import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { choleskyFactor, choleskySolve } from '../../src/capture/linear-algebra.ts';
import { addEntry, factorEnvelope, newEnvelope, solveEnvelope } from '../../src/trace/envelope.ts';

/** Where rows of a band that closes into a ring begin: the last ones at the very first column. */
function ringEnvelope(size: number, reach: number): Int32Array {
  return Int32Array.from({ length: size }, (_, row) => (row >= size - reach ? 0 : Math.max(0, row - reach)));
}

describe('a matrix kept from each row’s first entry on', () => {
  it('is solved as the dense Cholesky factor solves it', () => {
    const systems = fc
      .record({ size: fc.integer({ min: 1, max: 24 }), reach: fc.integer({ min: 0, max: 5 }) })
      .chain(({ size, reach }) =>
        fc.record({
          first: fc.constant(ringEnvelope(size, Math.min(reach, size - 1))),
          values: fc.array(fc.double({ min: -1, max: 1, noNaN: true }), {
            minLength: size * size,
            maxLength: size * size,
          }),
          right: fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: size, maxLength: size }),
        }),
      );
    fc.assert(
      fc.property(systems, ({ first, values, right }) => {
        const size = first.length;
        const envelope = newEnvelope(first);
        const dense = new Float64Array(size * size);
        for (let row = 0; row < size; row++) {
          for (let column = first[row]!; column <= row; column++) {
            // A diagonal that outweighs its row keeps the matrix positive definite (Gershgorin).
            const value = row === column ? 2 * size : values[row * size + column]!;
            dense[row * size + column] = value;
            if ((row + column) % 2 === 0) addEntry(envelope, row, column, value);
            else addEntry(envelope, column, row, value);
          }
        }
        expect(factorEnvelope(envelope)).toBe(true);
        const expected = choleskySolve(choleskyFactor(dense, size)!, size, right);
        for (const [i, value] of solveEnvelope(envelope, right).entries()) {
          expect(value).toBeCloseTo(expected[i]!, 10);
        }
      }),
    );
  });

  it('is refused when it is not positive definite', () => {
    const envelope = newEnvelope(Int32Array.of(0, 0));
    addEntry(envelope, 0, 0, 1);
    addEntry(envelope, 0, 1, 2);
    addEntry(envelope, 1, 1, 1);
    expect(factorEnvelope(envelope)).toBe(false);
  });
});
