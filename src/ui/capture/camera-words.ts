import { type Camera, tiltRad } from '../../capture/camera.ts';
import { degreeWords, mmWords } from '../controls/number-words.ts';

/** Tilts at which one part of the piece is seen much smaller than another. */
const LEANING_RAD = (12 * Math.PI) / 180;
const STEEP_RAD = (35 * Math.PI) / 180;

/** "The camera was 66 cm above the table, looking almost straight down (4° off)." */
export function cameraWords(camera: Camera): string {
  const heightCm = mmWords(camera.centreMm[2] / 10, 0);
  const tilt = tiltRad(camera);
  const off = degreeWords(tilt);
  const manner =
    tilt < LEANING_RAD
      ? `looking almost straight down (${off} off)`
      : tilt < STEEP_RAD
        ? `leaning ${off}; this is measured and taken out`
        : `leaning ${off}, which is steep: hold it more level over the piece`;
  return `The camera was ${heightCm} cm above the table, ${manner}.`;
}
