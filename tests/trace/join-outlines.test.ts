import { describe, expect, it } from 'vitest';
import { indexEdges } from '../../src/geometry/edge-index.ts';
import { polygonAreaMm2, polylineLengthMm } from '../../src/geometry/measure.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { joinOutlines } from '../../src/trace/join-outlines.ts';
import type { PartialOutline } from '../../src/trace/join-runs.ts';
import { seededNormal } from '../capture/card-renderer.ts';

const PX_PER_MM = 4;
const HEIGHT_MM = 400;

/** A band 900 mm long with rounded ends, points 0.5 mm apart, counter-clockwise. */
const BAND: readonly PlanePoint[] = evenly([
  ...Array.from({ length: 901 }, (_, i) => ({ x: i - 450, y: -40 + 15 * Math.sin((i - 450) / 90) })),
  { x: 455, y: 0 },
  ...Array.from({ length: 901 }, (_, i) => ({ x: 450 - i, y: 40 + 8 * Math.sin((450 - i) / 40) })),
  { x: -455, y: 0 },
]);

function evenly(points: readonly PlanePoint[]): PlanePoint[] {
  return points.flatMap((a, i) => {
    const b = points[(i + 1) % points.length]!;
    const count = Math.max(1, Math.round(Math.hypot(b.x - a.x, b.y - a.y) / 0.5));
    return Array.from({ length: count }, (_, k) => ({
      x: a.x + (k / count) * (b.x - a.x),
      y: a.y + (k / count) * (b.y - a.y),
    }));
  });
}

/** What a photo of the table from minX to maxX traces: cut off along its border, moved, with noise. */
function seenIn(
  photo: number,
  minX: number,
  maxX: number,
  line = BAND,
  moved: PlanePoint = { x: 0, y: 0 },
): PartialOutline {
  const normal = seededNormal(photo + 1);
  const clipped = line.map(({ x, y }) => ({
    x: Math.min(maxX, Math.max(minX, x)),
    y,
    isCut: x < minX || x > maxX,
  }));
  const points = clipped.map(({ x, y, isCut }) =>
    isCut ? { x, y } : { x: x + moved.x + 0.03 * normal(), y: y + moved.y + 0.03 * normal() },
  );
  return {
    points,
    seenPx: clipped.map(({ x, y }) => ({ u: (x - minX) * PX_PER_MM, v: (HEIGHT_MM / 2 - y) * PX_PER_MM })),
    photo,
    widthPx: (maxX - minX) * PX_PER_MM + 1,
    heightPx: HEIGHT_MM * PX_PER_MM + 1,
    aslant: 0.1,
  };
}

/** Farthest that points lie from a line, mm. */
function farthest(points: readonly PlanePoint[], line: readonly PlanePoint[]): number {
  const index = indexEdges([{ points: line, closed: true }]);
  return Math.max(...points.map(({ x, y }) => index.nearest(x, y)!.distanceMm));
}

describe('outlines from several photos', () => {
  it.each([
    ['two', [seenIn(0, -500, 60), seenIn(1, -60, 500)]],
    ['two, the right one first', [seenIn(0, -60, 500), seenIn(1, -500, 60)]],
    [
      'three, the middle one without an end',
      [seenIn(0, -500, -130), seenIn(1, -200, 200), seenIn(2, 130, 500)],
    ],
  ])('become one closed line: %s', (_, outlines) => {
    const { loops, overlap, gapMm } = joinOutlines(outlines);
    expect(gapMm).toBeUndefined();
    expect(loops).toHaveLength(1);
    const [{ points, photos, seenPx }] = loops as [(typeof loops)[number]];
    expect(farthest(points, BAND)).toBeLessThan(0.15);
    expect(farthest(BAND, points)).toBeLessThan(0.6);
    expect(polygonAreaMm2(points) / polygonAreaMm2(BAND)).toBeCloseTo(1, 3);
    // No stretch twice, none out of order: noise of 0.03 mm every half millimetre lengthens it by under 2 %.
    expect(polylineLengthMm(points, true) / polylineLengthMm(BAND, true)).toBeGreaterThan(0.999);
    expect(polylineLengthMm(points, true) / polylineLengthMm(BAND, true)).toBeLessThan(1.02);
    expect(new Set(photos).size).toBe(outlines.length);
    expect(seenPx).toHaveLength(points.length);
    expect(overlap.lengthMm).toBeGreaterThan(150);
    expect(overlap.maxMm).toBeLessThan(0.2);
  });

  it('go over from one photo to the other by degrees, and say how far apart they are', () => {
    const { loops, overlap } = joinOutlines([
      seenIn(0, -500, 60),
      seenIn(1, -60, 500, BAND, { x: 0, y: 0.8 }),
    ]);
    expect(overlap.maxMm).toBeGreaterThan(0.75);
    expect(overlap.maxMm).toBeLessThan(0.95);
    expect(overlap.meanMm).toBeGreaterThan(0.7);
    const [{ points }] = loops as [(typeof loops)[number]];
    // No jump where one photo takes over: neighbours stay neighbours.
    points.forEach((a, i) => {
      const b = points[(i + 1) % points.length]!;
      expect(Math.hypot(b.x - a.x, b.y - a.y)).toBeLessThan(1.1);
    });
  });

  it('keep an opening that only one photo saw, and once the one that both saw', () => {
    const ring = (x: number): PlanePoint[] =>
      evenly(
        Array.from({ length: 120 }, (_, i) => ({
          x: x + 12 * Math.cos((-i * Math.PI) / 60),
          y: 12 * Math.sin((-i * Math.PI) / 60),
        })),
      );
    const { loops, openingOverlap } = joinOutlines([
      seenIn(0, -500, 60),
      seenIn(0, -500, 60, ring(0)),
      seenIn(0, -500, 60, ring(-300)),
      seenIn(1, -60, 500),
      seenIn(1, -60, 500, ring(0)),
    ]);
    const areas = loops.map(({ points }) => polygonAreaMm2(points)).sort((a, b) => a - b);
    expect(areas).toHaveLength(3);
    expect(areas[0]).toBeCloseTo(-Math.PI * 144, -1);
    expect(areas[1]).toBeCloseTo(-Math.PI * 144, -1);
    expect(openingOverlap.lengthMm).toBeGreaterThan(70);
    expect(openingOverlap.maxMm).toBeLessThan(0.2);
  });

  it('put together an opening that the border of both photos cuts', () => {
    const slot = evenly([
      { x: -100, y: 5 },
      { x: 100, y: 5 },
      { x: 100, y: -5 },
      { x: -100, y: -5 },
    ]);
    // The tracer sees such an opening as part of the outline; its runs come in one pool with it.
    const { loops } = joinOutlines([
      seenIn(0, -500, 60),
      seenIn(0, -500, 60, slot),
      seenIn(1, -60, 500),
      seenIn(1, -60, 500, slot),
    ]);
    expect(loops).toHaveLength(2);
    expect(Math.min(...loops.map(({ points }) => polygonAreaMm2(points)))).toBeCloseTo(-2000, -2);
  });

  it('say how much is missing when no photo saw it', () => {
    const { gapMm, loops } = joinOutlines([seenIn(0, -500, -40), seenIn(1, 40, 500)]);
    expect(loops).toHaveLength(0);
    // The border's own stretch, 4 mm, and 5 mm beside it are left out on both sides.
    expect(gapMm).toBeGreaterThan(80);
    expect(gapMm).toBeLessThan(105);
  });
});
