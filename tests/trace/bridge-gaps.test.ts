import { describe, expect, it } from 'vitest';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { bridgeGaps } from '../../src/trace/bridge-gaps.ts';

/** A circle of radius 14 mm with points 0.4 mm apart, without those whose angle is `isLost`. */
function circle(isLost: (angle: number) => boolean): PlanePoint[] {
  const count = Math.round((2 * Math.PI * 14) / 0.4);
  return Array.from({ length: count }, (_, i) => (2 * Math.PI * i) / count)
    .filter((angle) => !isLost(angle))
    .map((angle) => ({ x: 14 * Math.cos(angle), y: 14 * Math.sin(angle) }));
}

function bridgedLine(points: readonly PlanePoint[]): { line: PlanePoint[]; inserted: number } {
  const line: PlanePoint[] = [];
  let inserted = 0;
  bridgeGaps(
    points,
    (i) => line.push(points[i]!),
    (point) => {
      inserted++;
      line.push(point);
    },
  );
  return { line, inserted };
}

const offCircle = (line: readonly PlanePoint[]): number =>
  Math.max(...line.map(({ x, y }) => Math.abs(Math.hypot(x, y) - 14)));

describe('gaps in a measured line', () => {
  it('are bridged along a round opening: a straight cut over 6 mm would lie 0.3 mm inside it', () => {
    const { line, inserted } = bridgedLine(circle((angle) => angle > 1 && angle < 1.43));
    expect(inserted).toBeGreaterThan(10);
    expect(offCircle(line)).toBeLessThan(0.03);
    const steps = line.map((point, i) => {
      const next = line[(i + 1) % line.length]!;
      return Math.hypot(next.x - point.x, next.y - point.y);
    });
    expect(Math.max(...steps)).toBeLessThan(0.8);
  });

  it('are bridged over the start of the line too', () => {
    const { line, inserted } = bridgedLine(circle((angle) => angle > 6.1 || angle < 0.2));
    expect(inserted).toBeGreaterThan(8);
    expect(offCircle(line)).toBeLessThan(0.03);
  });

  it('stay straight where nothing is known: over a long gap, and where the line turns a corner', () => {
    expect(bridgedLine(circle((angle) => angle > 1 && angle < 2.2)).inserted).toBe(0);
    const corner: PlanePoint[] = [];
    for (let k = 0; k < 40; k++) corner.push({ x: 0.4 * k, y: 0 });
    for (let k = 6; k < 40; k++) corner.push({ x: 16, y: 0.4 * k });
    for (let k = 1; k < 40; k++) corner.push({ x: 16 - 0.4 * k, y: 16 - 0.4 * k });
    expect(bridgedLine(corner).inserted).toBe(0);
  });

  it('leave a line without gaps as it is', () => {
    const whole = circle(() => false);
    expect(bridgedLine(whole).line).toEqual(whole);
  });
});
