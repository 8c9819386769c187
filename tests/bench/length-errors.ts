import { imageToPlane } from '../../src/capture/camera.ts';
import { type ToleranceOf, toleranceOfLengthMm } from '../../src/capture/tolerance.ts';
import type { Capture } from '../../src/capture/types.ts';
import { lengthsIn } from '../simulator/captures.ts';
import { project } from '../simulator/lens.ts';
import type { RegionSize } from '../simulator/poses.ts';
import type { Scene } from '../simulator/scene.ts';
import { type Random, seeded } from '../simulator/seeded.ts';

/** Face of a paper piece over the table, mm. */
export const PAPER_FACE_MM = 0.1;

/** Scale of the half-normal lift of paper off a table, mm; as the simulator's cards curl. */
const TYPICAL_LIFT_MM = 0.3;
/** Standard deviation of a half-normal quantity over its scale. */
const HALF_NORMAL_SPREAD = Math.sqrt(1 - 2 / Math.PI);

/**
 * How a piece of paper may lie: flat; lifting off the table here and there, never below it; or scattering as widely
 * about a face that on the whole lies flat.
 */
export type PaperReading = 'flat' | 'only lifting' | 'uneven about its face';

export interface LengthError {
  readonly errorMm: number;
  /** As the engine states it; NaN when not asked for (it costs more than the solve). */
  readonly sigmaMm: number;
}

export interface LengthQuestion {
  readonly region: RegionSize;
  readonly count: number;
  readonly paper: PaperReading;
  /** Height of the face that is measured over the table, mm; a sheet of paper's when left out. */
  readonly faceMm?: number;
  /** Which tolerance is asked for, if any. */
  readonly of?: ToleranceOf;
}

function liftOf(paper: PaperReading, random: Random): number {
  const lift = random.normal(TYPICAL_LIFT_MM);
  if (paper === 'flat') return 0;
  return paper === 'only lifting' ? Math.abs(lift) : HALF_NORMAL_SPREAD * lift;
}

/** Errors, in true mm, of lengths inside a region: true ends seen by the true camera, carried to the plane by the solved one. */
export function lengthErrors(scene: Scene, capture: Capture, question: LengthQuestion): LengthError[] {
  const random: Random = seeded(scene.seed + 90210);
  return lengthsIn(question.region, question.count, random).map(([a, b]) => {
    const [pa, pb] = [a, b].map(({ x, y }) => {
      const z = (question.faceMm ?? PAPER_FACE_MM) + liftOf(question.paper, random);
      return imageToPlane(capture.camera, project(scene.camera, x, y, z), capture.thicknessMm);
    });
    const measured = Math.hypot(pa!.x - pb!.x, pa!.y - pb!.y);
    return {
      errorMm: measured - Math.hypot(a.x - b.x, a.y - b.y),
      sigmaMm: question.of
        ? toleranceOfLengthMm(capture, pa!, pb!, capture.thicknessMm, question.of)
        : Number.NaN,
    };
  });
}

export const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

export const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

/** Share of errors inside so many stated sigmas. */
export const shareInside = (errors: readonly LengthError[], sigmas: number): number =>
  errors.filter(({ errorMm, sigmaMm }) => Math.abs(errorMm) <= sigmas * sigmaMm).length / errors.length;
