import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { STATED_SIGMAS, STATED_WORDS, statedTolerance } from '../src/stated-tolerance.ts';
import { seededNormal } from './capture/card-renderer.ts';

const SOURCE = fileURLToPath(new URL('../src', import.meta.url));

function sourceFiles(): string[] {
  return readdirSync(SOURCE, { recursive: true, encoding: 'utf8' }).filter((file) => /\.tsx?$/u.test(file));
}

describe('the stated tolerance', () => {
  it('holds as often as its words say: normal errors, two sigma', () => {
    const normal = seededNormal(7);
    const draws = 20_000;
    let inside = 0;
    for (let k = 0; k < draws; k++) if (Math.abs(0.3 * normal()) <= statedTolerance(0.3)) inside++;
    // 95.45 %, "68-95-99.7 rule" of the normal distribution.
    expect(inside / draws).toBeGreaterThan(0.95);
    expect(inside / draws).toBeLessThan(0.96);
    expect(STATED_SIGMAS).toBe(2);
    expect(STATED_WORDS).toBe('95 times in 100');
  });

  it('is what stands behind every figure with a plus-minus', () => {
    const writers = sourceFiles().filter((file) =>
      /±[ ]?\$\{/u.test(readFileSync(join(SOURCE, file), 'utf8')),
    );
    expect(writers.length).toBeGreaterThan(4);
    for (const file of writers) {
      expect(readFileSync(join(SOURCE, file), 'utf8'), file).toMatch(
        /stated-tolerance\.ts'|ToleranceField|as stated/u,
      );
    }
  });
});
