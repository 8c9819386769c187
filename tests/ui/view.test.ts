import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Extent,
  fitView,
  keepInSight,
  scaleBarMm,
  toCanvas,
  type View,
  type ViewLimits,
  zoomAt,
  zoomWithin,
} from '../../src/ui/worktable/view.ts';

const extents = fc.record<Extent>({
  left: fc.double({ min: -5000, max: 5000, noNaN: true }),
  top: fc.double({ min: -5000, max: 5000, noNaN: true }),
  width: fc.double({ min: 1, max: 8000, noNaN: true }),
  height: fc.double({ min: 1, max: 8000, noNaN: true }),
});
const sizes = fc.record({
  width: fc.integer({ min: 60, max: 3000 }),
  height: fc.integer({ min: 60, max: 3000 }),
});
const points = fc.record({ x: fc.integer({ min: 0, max: 1500 }), y: fc.integer({ min: 0, max: 1500 }) });

const onScreen = (view: View, x: number, y: number) => ({
  x: view.scale * x + view.x,
  y: view.scale * y + view.y,
});

describe('the fitted view', () => {
  it('shows the whole extent with its middle in the middle', () => {
    fc.assert(
      fc.property(extents, sizes, (extent, size) => {
        const view = fitView(extent, size, 24);
        const topLeft = onScreen(view, extent.left, extent.top);
        const bottomRight = onScreen(view, extent.left + extent.width, extent.top + extent.height);
        expect(topLeft.x).toBeGreaterThanOrEqual(-1e-6);
        expect(topLeft.y).toBeGreaterThanOrEqual(-1e-6);
        expect(bottomRight.x).toBeLessThanOrEqual(size.width + 1e-6);
        expect(bottomRight.y).toBeLessThanOrEqual(size.height + 1e-6);
        expect(topLeft.x + bottomRight.x).toBeCloseTo(size.width, 4);
        expect(topLeft.y + bottomRight.y).toBeCloseTo(size.height, 4);
      }),
    );
  });

  it('keeps clear of the controls at the ends, and shows something on the lowest table', () => {
    fc.assert(
      fc.property(extents, sizes, (extent, size) => {
        const insets = { top: 56, bottom: 44 };
        const view = fitView(extent, size, 16, insets);
        const top = onScreen(view, extent.left, extent.top).y;
        const bottom = onScreen(view, extent.left, extent.top + extent.height).y;
        expect(view.scale).toBeGreaterThan(0);
        const share = Math.min(1, size.height / 200);
        expect(top).toBeGreaterThanOrEqual(56 * share - 1e-6);
        expect(bottom).toBeLessThanOrEqual(size.height - 44 * share + 1e-6);
      }),
    );
  });
});

describe('zooming', () => {
  it('keeps what lies under the finger under the finger', () => {
    fc.assert(
      fc.property(points, fc.double({ min: 0.2, max: 5, noNaN: true }), (at, factor) => {
        const view: View = { scale: 0.7, x: 31, y: -12 };
        const before = toCanvas(view, at);
        const after = toCanvas(zoomAt(view, factor, at), at);
        expect(after.x).toBeCloseTo(before.x, 6);
        expect(after.y).toBeCloseTo(before.y, 6);
      }),
    );
  });

  it('stops at its limits without sliding on past them', () => {
    const extent = { left: 0, top: 0, width: 400, height: 300 };
    const size = { width: 800, height: 600 };
    const fitted = fitView(extent, size, 20);
    const limits: ViewLimits = { extent, size, fitScale: fitted.scale, closestScale: 40 };
    const closest = zoomWithin({ ...fitted, scale: 40, x: -8000, y: -6000 }, 3, { x: 100, y: 100 }, limits);
    expect(closest).toEqual({ scale: 40, x: -8000, y: -6000 });
    expect(zoomWithin(fitted, 1e-3, { x: 0, y: 0 }, limits).scale).toBeCloseTo(fitted.scale / 2, 12);
  });
});

describe('panning', () => {
  it('never loses the piece off the edge', () => {
    const far = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(
        extents,
        sizes,
        far,
        far,
        fc.double({ min: 0.5, max: 20, noNaN: true }),
        (extent, size, x, y, zoom) => {
          const { scale } = fitView(extent, size, 24);
          const limits = { extent, size, fitScale: scale, closestScale: 40 };
          const view = keepInSight({ scale: scale * zoom, x, y }, limits);
          const topLeft = onScreen(view, extent.left, extent.top);
          const bottomRight = onScreen(view, extent.left + extent.width, extent.top + extent.height);
          const seenWidth = Math.min(bottomRight.x, size.width) - Math.max(topLeft.x, 0);
          const seenHeight = Math.min(bottomRight.y, size.height) - Math.max(topLeft.y, 0);
          expect(seenWidth).toBeGreaterThanOrEqual(
            Math.min(size.width / 3, bottomRight.x - topLeft.x) - 1e-3,
          );
          expect(seenHeight).toBeGreaterThanOrEqual(
            Math.min(size.height / 3, bottomRight.y - topLeft.y) - 1e-3,
          );
        },
      ),
    );
  });

  it('leaves a view alone that is in sight', () => {
    const extent = { left: -10, top: -10, width: 20, height: 20 };
    const size = { width: 100, height: 100 };
    const view = { scale: 2, x: 40, y: 55 };
    expect(keepInSight(view, { extent, size, fitScale: 1, closestScale: 9 })).toEqual(view);
  });
});

describe('the scale bar', () => {
  it('is the longest of 1, 2, 5 times a power of ten that fits', () => {
    expect(scaleBarMm(1, 140)).toBe(100);
    expect(scaleBarMm(1, 100)).toBe(100);
    expect(scaleBarMm(1, 99)).toBe(50);
    expect(scaleBarMm(2.5, 140)).toBe(50);
    expect(scaleBarMm(40, 140)).toBeCloseTo(2, 12);
    expect(scaleBarMm(400, 140)).toBeCloseTo(0.2, 12);
    expect(scaleBarMm(0.1, 140)).toBe(1000);
  });
});
