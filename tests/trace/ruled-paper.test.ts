/** Drawings on paper whose printed squares are as dark as the pencil. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { DEFAULT_DRAWN_OPTIONS } from '../../src/trace/drawn/drawn-types.ts';
import { findRulings } from '../../src/trace/drawn/find-ruling.ts';
import { traceDrawn } from '../../src/trace/drawn/trace-drawn.ts';
import type { TraceResult } from '../../src/trace/types.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { photograph } from '../simulator/photograph.ts';
import type { SimLine } from '../simulator/scene.ts';
import { seeded } from '../simulator/seeded.ts';
import {
  cameraOf,
  drawn,
  drawnScene,
  guardOutline,
  p95Mm,
  PAPER_TOP_MM,
  scoreLine,
  onSheet,
} from './drawn-scene.ts';
import { knownCapture } from './known-capture.ts';

const SQUARE_MM = 5;

let vision: Vision;
beforeAll(async () => {
  vision = await loadVisionInNode();
});

async function trace(lines: readonly SimLine[], graphInk: number): Promise<TraceResult> {
  const scene = drawnScene(21, lines, { graphMm: SQUARE_MM, graphInk });
  const capture = knownCapture(cameraOf(scene), [], PAPER_TOP_MM);
  return traceDrawn(vision, await photograph(scene), capture, DEFAULT_DRAWN_OPTIONS);
}

const straight = (a: PlanePoint, b: PlanePoint): PlanePoint[] =>
  Array.from({ length: 41 }, (_, i) => ({
    x: a.x + ((b.x - a.x) * i) / 40,
    y: a.y + ((b.y - a.y) * i) / 40,
  }));

describe('squares as dark as the pencil', () => {
  it('are no lines: the outline and its inner line are found through them, and nothing else', async () => {
    const [outline, inner] = [guardOutline(), scoreLine()];
    const lines = [drawn(outline, true, 'pencil', 0.7, 0.8), drawn(inner, false, 'pencil', 0.7, 0.8)];
    const { pieces, looseLines } = await trace(lines, 0.8);
    expect(pieces).toHaveLength(1);
    expect(looseLines).toEqual([]);
    // The issue allows 0.4 mm.
    expect(p95Mm(pieces[0]!.outer.path, outline)).toBeLessThan(0.3);
    expect(pieces[0]!.innerLines).toHaveLength(1);
    expect(p95Mm(pieces[0]!.innerLines![0]!.path, inner)).toBeLessThan(0.4);
  });

  it('leave a drawing of lines along them whole: between two printed lines, and on one', async () => {
    const corners = [onSheet(-52.5, 2.5), onSheet(31.2, 2.5), onSheet(31.2, 48.5), onSheet(-52.5, 48.5)];
    const box = corners.flatMap((corner, i) => straight(corner, corners[(i + 1) % 4]!).slice(0, -1));
    const onLine = straight(onSheet(-40, 4 * SQUARE_MM), onSheet(20, 4 * SQUARE_MM));
    const between = straight(onSheet(-40, 6.5 * SQUARE_MM), onSheet(20, 6.5 * SQUARE_MM));
    const lines = [box, onLine, between].map((points, i) => drawn(points, i === 0, 'pencil', 0.7, 0.8));
    const { pieces, looseLines } = await trace(lines, 0.6);
    expect(pieces).toHaveLength(1);
    expect(looseLines).toEqual([]);
    const [{ outer, innerLines = [] }] = pieces as [TraceResult['pieces'][0]];
    expect(p95Mm(outer.path, box)).toBeLessThan(0.1);
    expect(innerLines).toHaveLength(2);
    for (const truth of [onLine, between]) {
      expect(Math.min(...innerLines.map(({ path }) => p95Mm(path, truth)))).toBeLessThan(0.1);
    }
  });
});

describe('findRulings', () => {
  const PER_MM = 3;
  const printed = (periodMm: number, turnRad: number, lines: number, lengthMm: number): PlanePoint[] => {
    const random = seeded(5);
    const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
    return Array.from({ length: lines * lengthMm * PER_MM }, (_, i) => {
      const across = (i % lines) * periodMm + 0.1 * random.normal();
      const along = Math.floor(i / lines) / PER_MM;
      return { x: 30 + c * across - s * along, y: -12 + s * across + c * along };
    });
  };

  // Line spacings of the trade: 8 mm exercise books, 7.1 mm college ruled, 5 mm squares (from memory).
  it.each([8, 7.1, 5])(
    'gives the period of lines %d mm apart to a hundredth, and their direction',
    (periodMm) => {
      const [ruling, ...more] = findRulings(printed(periodMm, 0.4, 25, 180), PER_MM);
      expect(more).toEqual([]);
      expect(ruling!.periodMm).toBeCloseTo(periodMm, 2);
      expect(Math.abs(Math.atan2(ruling!.normal.y, ruling!.normal.x) - 0.4)).toBeLessThan(1e-3);
    },
  );

  it('takes no hatching of a few short lines for one, nor a drawn outline', () => {
    expect(findRulings(printed(5, 0.4, 5, 180), PER_MM)).toEqual([]);
    expect(findRulings(printed(5, 0.4, 12, 30), PER_MM)).toEqual([]);
    const outline = guardOutline().flatMap((a, i, all) => straight(a, all[(i + 1) % all.length]!));
    expect(findRulings(outline, PER_MM)).toEqual([]);
  });
});
