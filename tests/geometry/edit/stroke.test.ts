import { describe, expect, it } from 'vitest';
import { strokeOf } from '../../../src/geometry/edit/stroke.ts';
import { pathLengthMm } from '../../../src/geometry/measure.ts';
import { nearestOnPath } from '../../../src/geometry/nearest.ts';
import { point } from '../drawn.ts';

/** As a screen tells a hand: whole pixels, three to the millimetre. */
const onScreen = (x: number, y: number) => point(Math.round(3 * x) / 3, Math.round(3 * y) / 3);
const TOLERANCE_MM = 0.25;

describe('a stroke of the hand', () => {
  it('along a circle loses the steps of the pixels, not its place', () => {
    const track = Array.from({ length: 120 }, (_, i) =>
      onScreen(30 * Math.cos(i / 24), 30 * Math.sin(i / 24)),
    );
    const stroke = strokeOf(track, TOLERANCE_MM);
    expect(stroke.segments.length).toBeLessThanOrEqual(8);
    expect(stroke.segments.slice(0, -1).every(({ joint }) => joint === 'smooth')).toBe(true);
    // The arc of 119/24 rad; the steps of the pixels would make it a good tenth longer.
    expect(Math.abs(pathLengthMm(stroke) - (30 * 119) / 24)).toBeLessThan(1.5);
    for (const at of track) expect(nearestOnPath(stroke, at).distanceMm).toBeLessThan(1.5 * TOLERANCE_MM);
  });

  it('keeps its corners, also where it goes back', () => {
    const there = Array.from({ length: 41 }, (_, i) => onScreen(i, 0.2 * i));
    for (const [x, y] of [
      [40, 48],
      [0, 9],
    ] as const) {
      const back = Array.from({ length: 40 }, (_, i) =>
        onScreen(40 + ((x - 40) * (i + 1)) / 40, 8 + ((y - 8) * (i + 1)) / 40),
      );
      const stroke = strokeOf([...there, ...back], TOLERANCE_MM);
      const corners = stroke.segments.slice(0, -1).filter(({ joint }) => joint === 'corner');
      expect(corners).toHaveLength(1);
      expect(Math.hypot(corners[0]!.to.x - 40, corners[0]!.to.y - 8)).toBeLessThan(1);
    }
  });

  it('of a few places is taken as it is, and one that stood still is a dab', () => {
    expect(strokeOf([point(0, 0), point(5, 1), point(9, 9)], TOLERANCE_MM).segments).toHaveLength(2);
    expect(strokeOf([point(2, 2), point(2, 2)], TOLERANCE_MM)).toMatchObject({
      start: point(2, 2),
      segments: [],
    });
  });
});
