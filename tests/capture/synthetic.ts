/** Cards' points straight from a known camera, without a picture: for tests of the solve alone. */
import type { Camera } from '../../src/capture/camera.ts';
import { MARK_CENTRES } from '../../src/capture/card.ts';
import type { SeenCard } from '../../src/capture/card-points.ts';
import { focalPriors, printPriors } from '../../src/capture/priors.ts';
import type { SolveInput } from '../../src/capture/solve.ts';
import type { PhotoFacts, PrinterCheck } from '../../src/capture/types.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { type RenderedCard, seenAt } from './card-renderer.ts';

/** The marks of a card as a camera sees them, moved by `noisePx` times the given normal numbers. */
export function sightingOf(
  camera: Camera,
  card: RenderedCard,
  noisePx: number,
  normal: () => number,
  sigmaPx = Math.max(noisePx, 0.02),
): SeenCard {
  return {
    id: card.id,
    points: MARK_CENTRES.map((at, index) => {
      const { u, v } = seenAt(camera, card, at);
      return {
        kind: 'hourglass',
        index,
        at,
        seen: { u: u + noisePx * normal(), v: v + noisePx * normal() },
        sigmaPx,
      };
    }),
    faults: [],
    isCutOff: false,
    pxPerMm: 5,
    blurPx: 1,
    inkShare: 0.05,
  };
}

/** The solve's input for sightings. */
export function inputOf(
  camera: Camera,
  cards: readonly SeenCard[],
  facts: PhotoFacts,
  printer?: PrinterCheck,
): SolveInput {
  return {
    cards,
    tapes: [],
    widthPx: camera.widthPx,
    heightPx: camera.heightPx,
    focals: focalPriors(facts, camera.widthPx, camera.heightPx),
    print: printPriors(printer, false),
  };
}

/** An even grid of points over ±halfX, ±halfY mm. */
export function gridOf(halfX: number, halfY: number): PlanePoint[] {
  return [-1, -0.5, 0, 0.5, 1].flatMap((x) => [-1, 0, 1].map((y) => ({ x: x * halfX, y: y * halfY })));
}

/** RMS difference of all pairwise distances between two lists of the same points, mm. */
export function distanceRms(truth: readonly PlanePoint[], measured: readonly PlanePoint[]): number {
  let [squares, count] = [0, 0];
  for (let i = 0; i < truth.length; i++) {
    for (let j = 0; j < i; j++) {
      const should = Math.hypot(truth[i]!.x - truth[j]!.x, truth[i]!.y - truth[j]!.y);
      const is = Math.hypot(measured[i]!.x - measured[j]!.x, measured[i]!.y - measured[j]!.y);
      squares += (is - should) ** 2;
      count++;
    }
  }
  return Math.sqrt(squares / count);
}
