import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { MARK_CENTRES } from '../../src/capture/card.ts';
import type { SeenCard } from '../../src/capture/card-points.ts';
import { solveWithoutStrays } from '../../src/capture/misfit.ts';
import { focalPriors, printPriors } from '../../src/capture/priors.ts';
import { captureOf } from '../../src/capture/solved-capture.ts';
import { solveTapes } from '../../src/capture/tapes.ts';
import type { Capture, CaptureOptions } from '../../src/capture/types.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { project } from '../simulator/lens.ts';
import { photograph } from '../simulator/photograph.ts';
import type { Scene } from '../simulator/scene.ts';
import { seeded } from '../simulator/seeded.ts';
import { hourglassPoints } from '../simulator/truth.ts';

/**
 * Noise of the hourglass points that the fast mode adds to their true image places, px RMS per axis. Not the
 * solver's own figure: twice what the pixel mode of this bench measures (0.004-0.006 at 12 MP).
 */
const POINT_NOISE_PX = 0.01;

/** The marks' true image places plus noise, as the engine would see them in a picture. */
export function seenCards({ camera, cards, seed }: Scene): readonly SeenCard[] {
  const random = seeded(seed + 4711);
  return cards.map((card): SeenCard => {
    const places = hourglassPoints(card).map(({ x, y, z }) => project(camera, x, y, z));
    const pxPerMm = Math.hypot(places[0]!.u - places[2]!.u, places[0]!.v - places[2]!.v) / (66 * Math.SQRT2);
    return {
      id: card.id,
      faults: [],
      isCutOff: false,
      pxPerMm,
      blurPx: 1,
      inkShare: 0.05,
      points: places.map(({ u, v }, index) => ({
        kind: 'hourglass' as const,
        index,
        at: MARK_CENTRES[index]!,
        seen: { u: u + random.normal(POINT_NOISE_PX), v: v + random.normal(POINT_NOISE_PX) },
        // As seeCard states it: fit, lens model and print.
        sigmaPx: Math.hypot(POINT_NOISE_PX, 0.04, 0.03 * pxPerMm),
      })),
    };
  });
}

/** The fast way: the engine's own solve of the marks that would be seen; no picture is rendered. */
export function captureFromPoints(scene: Scene, options: CaptureOptions): Capture | undefined {
  const { camera } = scene;
  const cards = seenCards(scene);
  const tapes = solveTapes(options.tapes ?? [], cards);
  const solved = solveWithoutStrays({
    cards,
    tapes,
    widthPx: camera.widthPx,
    heightPx: camera.heightPx,
    focals: focalPriors(options.facts, camera.widthPx, camera.heightPx),
    print: printPriors(options.printer, tapes.length > 0),
  });
  return solved && captureOf(solved, cards, options);
}

/** The slow way: a rendered photo through the whole capture stage. */
export async function captureFromPixels(
  vision: Vision,
  scene: Scene,
  options: CaptureOptions,
): Promise<Capture | undefined> {
  const outcome = capturePhoto(vision, await photograph(scene), options);
  return outcome.ok ? outcome.value : undefined;
}
