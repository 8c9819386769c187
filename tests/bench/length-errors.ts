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

export interface LengthError {
  readonly errorMm: number;
  /** As the engine states it; NaN when not asked for (it costs more than the solve). */
  readonly sigmaMm: number;
}

export interface LengthQuestion {
  readonly region: RegionSize;
  readonly count: number;
  /** Each end stands off the paper's own face by this much, mm RMS. */
  readonly liftMm: number;
  /** True: only ever above it, as paper on a table does, so that part of the lift is shared with the cards. */
  readonly upwards?: boolean;
  /** Which tolerance is asked for, if any. */
  readonly of?: ToleranceOf;
}

/** Errors of lengths inside a region: true ends seen by the true camera, carried to the plane by the solved one. */
export function lengthErrors(scene: Scene, capture: Capture, question: LengthQuestion): LengthError[] {
  const random: Random = seeded(scene.seed + 90210);
  return lengthsIn(question.region, question.count, random).map(([a, b]) => {
    const [pa, pb] = [a, b].map(({ x, y }) => {
      const lift = random.normal(question.liftMm);
      const z = PAPER_FACE_MM + (question.upwards ? Math.abs(lift) : lift);
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
