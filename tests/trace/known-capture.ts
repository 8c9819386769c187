import { SHARED_COUNT } from '../../src/capture/camera-parameters.ts';
import { type Camera, planeToImage } from '../../src/capture/camera.ts';
import type { Capture } from '../../src/capture/types.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';

/** A card as it truly lies. */
interface KnownCard {
  readonly id: number;
  readonly centre: PlanePoint;
  readonly turnRad: number;
}

const CARD_SIZE_MM = 80;
/** The cards' paper lies with its face this high. */
const CARD_FACE_MM = 0.15;

function cornersPx(camera: Camera, { centre, turnRad }: KnownCard) {
  const [c, s] = [(Math.cos(turnRad) * CARD_SIZE_MM) / 2, (Math.sin(turnRad) * CARD_SIZE_MM) / 2];
  return [
    { x: centre.x - c - s, y: centre.y - s + c },
    { x: centre.x + c - s, y: centre.y + s + c },
    { x: centre.x + c + s, y: centre.y + s - c },
    { x: centre.x - c + s, y: centre.y - s - c },
  ].map((corner) => planeToImage(camera, corner, CARD_FACE_MM));
}

/** A capture with the true camera and cards and no doubt at all, so that the trace is tested by itself. */
export function knownCapture(camera: Camera, cards: readonly KnownCard[], thicknessMm: number): Capture {
  return {
    camera,
    cards: cards.map((card) => ({
      ...card,
      cornersPx: cornersPx(camera, card),
      residualMm: 0,
      points: [],
      used: true,
    })),
    thicknessMm,
    thicknessDoubtMm: 0,
    printScale: { across: 1, along: 1 },
    rmsPx: 0,
    covariance: Array.from({ length: SHARED_COUNT * SHARED_COUNT }, () => 0),
    parameters: Array.from({ length: SHARED_COUNT }, (_, i) => `unknown ${i}`),
    warnings: [],
  };
}
