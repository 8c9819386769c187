import { beforeAll, describe, expect, it } from 'vitest';
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { joinPhotos } from '../../src/capture/join-photos.ts';
import type { JoinedPhotos } from '../../src/capture/join-types.ts';
import { indexEdges } from '../../src/geometry/edge-index.ts';
import { boundsOf, flattenPath, polygonAreaMm2, polylineLengthMm } from '../../src/geometry/measure.ts';
import { mover } from '../../src/geometry/motion.ts';
import { fitRigid } from '../../src/geometry/register.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { type JoinedTrace, joinTraces } from '../../src/trace/join-traces.ts';
import { tracePieces } from '../../src/trace/trace-pieces.ts';
import { DEFAULT_TRACE_OPTIONS } from '../../src/trace/types.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import type { Raster } from '../../src/vision/raster.ts';
import { BAND_CARDS, type BandPhoto, bandScene, longBand } from '../simulator/long-band.ts';
import { photograph } from '../simulator/photograph.ts';

const THICKNESS_MM = 0.8;
const COMMON = { megapixels: 3, thicknessMm: THICKNESS_MM } as const;
const LEFT: BandPhoto = { ...COMMON, half: 'left', cardIds: [0, 1, 2, 3, 6] };
const RIGHT: BandPhoto = { ...COMMON, half: 'right', cardIds: [2, 3, 4, 5, 6] };

interface Photographed {
  readonly raster: Raster;
  readonly photo: Parameters<typeof joinPhotos>[0][number];
}

let vision: Vision;
let left: Photographed;
let right: Photographed;
let both: ReturnType<typeof joinedTrace>;

async function photographed(how: BandPhoto): Promise<Photographed> {
  const scene = bandScene(how);
  const raster = await photograph(scene);
  const options = {
    facts: scene.facts,
    thicknessMm: THICKNESS_MM,
    printer: { acrossMm: 150, alongMm: 200 },
  };
  const capture = capturePhoto(vision, raster, options);
  if (!capture.ok) throw new Error(capture.problem.message);
  return { raster, photo: { capture: capture.value, options } };
}

function joinedTrace(photos: readonly Photographed[]): { joined: JoinedPhotos; trace: JoinedTrace } {
  const joined = joinPhotos(photos.map(({ photo }) => photo));
  if (!joined.ok) throw new Error(joined.problem.message);
  const traces = photos.map(({ raster }, index) =>
    tracePieces(vision, raster, joined.value.captures[index]!, DEFAULT_TRACE_OPTIONS),
  );
  return { joined: joined.value, trace: joinTraces(joined.value, traces, DEFAULT_TRACE_OPTIONS) };
}

/** From the joined frame to the scene's: by the cards, which are not part of what is judged. */
function toScene({ captures }: JoinedPhotos) {
  const found = new Map(
    captures.flatMap(({ cards }) => cards.map(({ id, centre }) => [id, centre] as const)),
  );
  const fit = fitRigid(
    BAND_CARDS.map(({ id }) => found.get(id)!),
    BAND_CARDS.map(({ centre }) => centre),
  );
  return mover(fit.motion);
}

beforeAll(async () => {
  vision = await loadVisionInNode();
  left = await photographed(LEFT);
  right = await photographed(RIGHT);
  both = joinedTrace([left, right]);
});

describe('a band 700 mm long, photographed in two halves', () => {
  it('becomes one outline, as long as the band to 0.3 mm and within 0.3 mm of its edge', () => {
    const { joined, trace } = both;
    expect(trace.warnings).toEqual([]);
    expect(trace.pieces).toHaveLength(1);
    const [band] = trace.pieces;
    const { outer, holes, overlap, photos, warnings } = band!;
    expect(warnings).toEqual([]);
    expect(photos).toEqual([0, 1]);
    const truth = longBand(THICKNESS_MM);
    const move = toScene(joined);
    const edge = indexEdges([{ points: truth.outer, closed: true }]);
    const line = flattenPath(outer.path, 0.02).map(move);
    const misses = line.map(({ x, y }) => edge.nearest(x, y)!.distanceMm).sort((a, b) => a - b);
    expect(misses[Math.floor(0.95 * misses.length)]).toBeLessThan(0.3);
    expect(misses.at(-1)).toBeLessThan(0.5);
    // Every stretch of the true edge is there, too.
    const own = indexEdges([{ points: line, closed: true }]);
    expect(Math.max(...truth.outer.map(({ x, y }) => own.nearest(x, y)!.distanceMm))).toBeLessThan(0.5);
    const { minX, maxX } = boundsOf(line);
    expect(Math.abs(maxX - minX - 700)).toBeLessThan(0.3);
    expect(Math.abs(band!.lengthMm / polylineLengthMm(truth.outer, true) - 1)).toBeLessThan(0.0005);
    expect(polygonAreaMm2(line)).toBeGreaterThan(0);
    // Both openings, the one that both photos saw only once.
    const areas = holes.map(({ measured }) => -polygonAreaMm2(measured)).sort((a, b) => a - b);
    const trueAreas = truth.holes.map((hole) => Math.abs(polygonAreaMm2(hole))).sort((a, b) => a - b);
    expect(areas).toHaveLength(2);
    areas.forEach((area, i) => expect(Math.abs(area / trueAreas[i]! - 1)).toBeLessThan(0.03));
    // 2 x 200 mm of edge are in both photos.
    expect(overlap.lengthMm).toBeGreaterThan(300);
    expect(overlap.maxMm).toBeLessThan(0.3);
    expect(overlap.meanMm).toBeLessThan(0.1);
    expect(overlap.meanMm).toBeGreaterThan(0);
    expect(band!.toleranceMm).toBeGreaterThan(Math.abs(maxX - minX - 700) / 3);
    expect(band!.toleranceMm).toBeLessThan(2);
    expect(band!.toleranceSamePrinterMm).toBeLessThan(band!.toleranceMm);
    expect(outer.photos).toHaveLength(outer.measured.length);
    expect(outer.seenPx).toHaveLength(outer.measured.length);
    expect(new Set(outer.photos)).toEqual(new Set([0, 1]));
  });

  it('is the same band whichever photo comes first', () => {
    const one = both.trace.pieces[0]!;
    const other = joinedTrace([right, left]).trace.pieces[0]!;
    expect(other.lengthMm).toBeCloseTo(one.lengthMm, 0);
    expect(other.areaMm2 / one.areaMm2).toBeCloseTo(1, 4);
    expect(other.holes).toHaveLength(2);
  });

  it('is warned of, with the millimetres, when the band was moved between the photos', async () => {
    const moved = await photographed({ ...RIGHT, pieceMoved: { x: 0.5, y: 1.8 } });
    const { trace } = joinedTrace([left, moved]);
    const [band] = trace.pieces;
    expect(band!.warnings.map(({ code }) => code)).toEqual(['photos-disagree']);
    expect(band!.overlap.maxMm).toBeGreaterThan(1.5);
    expect(band!.overlap.maxMm).toBeLessThan(2.2);
    const said = `up to ${band!.overlap.maxMm.toFixed(1)} mm apart`;
    expect(band!.warnings[0]!.message).toContain(said);
    expect(band!.warnings[0]!.message).toContain('moved or lifted between the photos');
  });
});
