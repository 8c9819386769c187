import DiscreteHausdorffDistance from 'jsts/org/locationtech/jts/algorithm/distance/DiscreteHausdorffDistance.js';
import { beforeAll, describe, expect, it } from 'vitest';
import { flattenPath, polygonAreaMm2 } from '../../src/geometry/measure.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { readPhotoFile } from '../../src/headless/read-photo.ts';
import { tracePieces } from '../../src/trace/trace-pieces.ts';
import { DEFAULT_TRACE_OPTIONS, type TracedEdge, type TraceResult } from '../../src/trace/types.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { jstsRing } from '../geometry/drawn.ts';
import { type PracticePhoto, readTruth, type Truth } from '../setup/truth.ts';
import { designedJoints } from './designed-joints.ts';
import { knownCapture } from './known-capture.ts';
import { cornerPoints, cornersOf, dense, outlineDistance } from './outline-distance.ts';

/** Limits on cleaned outlines with the true camera, mm. */
interface Limits {
  readonly outlineP95Mm: number;
  readonly holeP95Mm: number;
  /** Hausdorff distance both ways: where the wall hides part of an outline it is only guessed. */
  readonly outlineMaxMm: number;
}

const CASES: readonly [PracticePhoto, Limits][] = [
  ['brow-band', { outlineP95Mm: 0.03, holeP95Mm: 0, outlineMaxMm: 0.12 }],
  ['guards-and-crest', { outlineP95Mm: 0.06, holeP95Mm: 0, outlineMaxMm: 0.2 }],
  ['crown-front', { outlineP95Mm: 0.06, holeP95Mm: 0.1, outlineMaxMm: 0.3 }],
];

/** The traced outline that lies nearest to a true one. */
function nearestTo(edges: readonly TracedEdge[], truth: readonly PlanePoint[]): TracedEdge {
  const [best] = [...edges].sort(
    (a, b) => outlineDistance(a.path, truth).meanMm - outlineDistance(b.path, truth).meanMm,
  );
  return best!;
}

describe.each(CASES)('the practice photo %s, traced with the true camera', (name, limits) => {
  let truth: Truth;
  let result: TraceResult;

  beforeAll(async () => {
    truth = readTruth(name);
    const vision: Vision = await loadVisionInNode();
    const { raster } = await readPhotoFile(truth.photoFile);
    const capture = knownCapture(truth.camera, truth.cards, truth.pieces[0]!.thicknessMm);
    result = tracePieces(vision, raster, capture, DEFAULT_TRACE_OPTIONS);
  });

  it('gives just the true pieces, each with its holes', () => {
    expect(result.pieces).toHaveLength(truth.pieces.length);
    expect(result.pieces.map(({ holes }) => holes.length).sort((a, b) => a - b)).toEqual(
      truth.pieces.map(({ holes }) => holes.length).sort((a, b) => a - b),
    );
    expect(result.warnings).toEqual([]);
    expect(result.pieces.flatMap(({ warnings }) => warnings)).toEqual([]);
  });

  it('lays every outline within hundredths of a millimetre of the truth', () => {
    for (const piece of truth.pieces) {
      const { path } = nearestTo(
        result.pieces.map(({ outer }) => outer),
        piece.outer,
      );
      expect(outlineDistance(path, piece.outer).p95Mm).toBeLessThan(limits.outlineP95Mm);
      // Second opinion on the worst place: jsts' discrete Hausdorff distance over points 0.2 mm apart.
      const hausdorff = DiscreteHausdorffDistance.distance(
        jstsRing(dense(flattenPath(path, 0.01))),
        jstsRing(dense(piece.outer)),
      );
      expect(hausdorff).toBeLessThan(limits.outlineMaxMm + 0.1);
    }
  });

  it('lays every hole as near', () => {
    for (const hole of truth.pieces.flatMap(({ holes }) => holes)) {
      const { path } = nearestTo(
        result.pieces.flatMap(({ holes }) => holes),
        hole,
      );
      expect(outlineDistance(path, hole).p95Mm).toBeLessThan(limits.holeP95Mm);
    }
  });

  it('keeps every true corner a corner, within 0.2 mm of its place', () => {
    for (const piece of truth.pieces) {
      const { path } = nearestTo(
        result.pieces.map(({ outer }) => outer),
        piece.outer,
      );
      const corners = cornerPoints(path);
      for (const corner of cornersOf(piece.outer, 25)) {
        const distances = corners.map(({ x, y }) => Math.hypot(x - corner.x, y - corner.y));
        expect(Math.min(...distances)).toBeLessThan(0.2);
      }
    }
  });

  it('draws each line with at most one and a half times the joints it was designed with', () => {
    const edges = result.pieces.flatMap(({ outer, holes }) => [outer, ...holes]);
    for (const line of truth.pieces.flatMap(({ outer, holes }) => [outer, ...holes])) {
      const joints = nearestTo(edges, line).path.segments.length;
      expect(joints).toBeLessThanOrEqual(1.5 * designedJoints(line));
    }
  });

  it('runs outlines counter-clockwise and holes clockwise', () => {
    for (const { outer, holes } of result.pieces) {
      expect(polygonAreaMm2(flattenPath(outer.path))).toBeGreaterThan(0);
      for (const hole of holes) expect(polygonAreaMm2(flattenPath(hole.path))).toBeLessThan(0);
    }
  });

  it('states length, area and how far cleaning moved the line as they are', () => {
    for (const piece of result.pieces) {
      // Chords cut off area: 1e-7 mm of sagitta leaves less than the compared digits.
      const flat = flattenPath(piece.outer.path, 1e-7);
      const holes = piece.holes.map(({ path }) => polygonAreaMm2(flattenPath(path, 1e-7)));
      const area = holes.reduce((sum, hole) => sum + hole, polygonAreaMm2(flat));
      expect(piece.areaMm2).toBeCloseTo(area, 3);
      expect(piece.outer.measured).toHaveLength(piece.outer.seenPx.length);
      expect(piece.outer.movedMaxMm).toBeLessThan(0.35);
      expect(piece.outer.movedMeanMm).toBeLessThan(0.02);
    }
  });
});

describe('cancelling', () => {
  it('stops where progress throws', async () => {
    const truth = readTruth('brow-band');
    const vision = await loadVisionInNode();
    const { raster } = await readPhotoFile(truth.photoFile);
    const steps: string[] = [];
    const stop = (step: string) => {
      steps.push(step);
      if (steps.length > 1) throw new Error('stopped by the maker');
    };
    const capture = knownCapture(truth.camera, truth.cards, 0.1);
    expect(() => tracePieces(vision, raster, capture, DEFAULT_TRACE_OPTIONS, stop)).toThrow(
      'stopped by the maker',
    );
    expect(steps).toHaveLength(2);
  });
});
