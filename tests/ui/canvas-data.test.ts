import { svgPathProperties } from 'svg-path-properties';
import { expect, it } from 'vitest';
import { pathLengthMm } from '../../src/geometry/measure.ts';
import type { Path } from '../../src/geometry/path.ts';
import { canvasData, onCanvas } from '../../src/ui/worktable/plane-shapes.tsx';

const path: Path = {
  closed: true,
  start: { x: 0, y: 0 },
  segments: [
    { kind: 'line', to: { x: 120, y: 10 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 150, y: 60 }, c2: { x: 90, y: 95 }, to: { x: 40, y: 80 }, joint: 'smooth' },
    { kind: 'cubic', c1: { x: 15, y: 72 }, c2: { x: -20, y: 40 }, to: { x: 0, y: 0 }, joint: 'corner' },
  ],
};

it('draws a path with its own length, y turned down, as svg-path-properties measures it', () => {
  const drawn = new svgPathProperties(canvasData(path));
  expect(drawn.getTotalLength()).toBeCloseTo(pathLengthMm(path), 1);
  const corner = drawn.getPointAtLength(Math.hypot(120, 10));
  expect(corner.x).toBeCloseTo(120, 3);
  expect(corner.y).toBeCloseTo(onCanvas({ x: 120, y: 10 }).y, 3);
});
