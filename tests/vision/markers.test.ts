import { createRequire } from 'node:module';
import { beforeAll, describe, expect, it } from 'vitest';
import { planeToImage } from '../../src/capture/camera.ts';
import { CARD_COUNT, CARD_FACE_HEIGHT_MM, SQUARE_CORNERS } from '../../src/capture/card.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { readPhotoFile } from '../../src/headless/read-photo.ts';
import { findMarkers } from '../../src/vision/markers.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import type { Raster } from '../../src/vision/raster.ts';
import { cameraOver, onTable, renderCards } from '../capture/card-renderer.ts';
import { type PracticePhoto, readTruth } from '../setup/truth.ts';

/** js-aruco2 ships no types. It reads markers with neither OpenCV's code nor ours. */
const { AR } = createRequire(import.meta.url)('js-aruco2') as {
  AR: {
    Detector: new (config: {
      dictionaryName: string;
    }) => {
      detectImage(width: number, height: number, data: ArrayLike<number>): { id: number }[];
    };
  };
};

let vision: Vision;
beforeAll(async () => {
  vision = await loadVisionInNode();
});

/** Every pixel of a picture repeated twice across and down. */
function doubled(photo: Raster): Raster {
  const from = new Uint32Array(photo.data.buffer, photo.data.byteOffset, photo.width * photo.height);
  const width = photo.width * 2;
  const to = new Uint32Array(width * photo.height * 2);
  for (let v = 0; v < photo.height * 2; v++) {
    for (let u = 0; u < width; u++) to[v * width + u] = from[(v >> 1) * photo.width + (u >> 1)]!;
  }
  return { width, height: photo.height * 2, data: new Uint8Array(to.buffer) };
}

describe('markers in the practice photos', () => {
  it.each<PracticePhoto>(['brow-band', 'guards-and-crest', 'crown-front'])(
    '%s: every card is found once, each corner within 5 px of the truth, in the order printed',
    async (name) => {
      const truth = readTruth(name);
      const { raster } = await readPhotoFile(truth.photoFile);
      const markers = findMarkers(vision, raster, CARD_COUNT);
      expect(markers.map(({ id }) => id)).toEqual(truth.cards.map(({ id }) => id));
      for (const card of truth.cards) {
        const { cornersPx } = markers.find(({ id }) => id === card.id)!;
        SQUARE_CORNERS.forEach((corner, i) => {
          const seen = planeToImage(truth.camera, onTable(card, corner), CARD_FACE_HEIGHT_MM);
          expect(Math.hypot(cornersPx[i]!.u - seen.u, cornersPx[i]!.v - seen.v)).toBeLessThan(5);
        });
      }
    },
  );

  it('are read the same by js-aruco2, which shares no code with OpenCV', async () => {
    const { raster } = await readPhotoFile(readTruth('guards-and-crest').photoFile);
    const detector = new AR.Detector({ dictionaryName: 'ARUCO_MIP_36h12' });
    const theirs = detector.detectImage(raster.width, raster.height, raster.data).map(({ id }) => id);
    const cards = [...new Set(theirs)].filter((id) => id < CARD_COUNT).sort((a, b) => a - b);
    const ours = findMarkers(vision, raster, CARD_COUNT).map(({ id }) => id);
    expect(cards).toEqual(ours);
  });

  it('are found in 48 megapixels within the engine heap, again and again', async () => {
    const { raster } = await readPhotoFile(readTruth('brow-band').photoFile);
    const large = doubled(raster);
    expect(large.width * large.height).toBeGreaterThan(48e6);
    const rough = findMarkers(vision, raster, CARD_COUNT);
    for (let round = 0; round < 3; round++) {
      const markers = findMarkers(vision, large, CARD_COUNT);
      expect(markers.map(({ id }) => id)).toEqual([0, 1, 2, 3]);
      // A pixel's centre k lies at 2 k + 1/2 after doubling.
      const [near, far] = [rough[0]!.cornersPx[0], markers[0]!.cornersPx[0]];
      expect(Math.hypot(far.u - 2 * near.u - 0.5, far.v - 2 * near.v - 0.5)).toBeLessThan(6);
    }
  });
});

describe('markers in rendered photos', () => {
  it('are looked for a second time at full size when few are found: a card 50 px wide in 12 MP', () => {
    const camera = cameraOver({
      widthPx: 4000,
      heightPx: 3000,
      focalPx: 2900,
      distanceMm: 3500,
      tiltRad: 0.2,
    });
    const cards = [
      { id: 4, centre: { x: -300, y: 200 }, turnRad: 0.3 },
      { id: 9, centre: { x: 500, y: -100 }, turnRad: 2 },
    ];
    const photo = renderCards({ camera, cards, blurPx: 0.8, noise: 1.5, seed: 3 });
    expect(findMarkers(vision, photo, CARD_COUNT).map(({ id }) => id)).toEqual([4, 9]);
  });

  it('with ids that no card has are ignored, and so is a picture without any', () => {
    const camera = cameraOver({ widthPx: 900, heightPx: 700, focalPx: 800, distanceMm: 400, tiltRad: 0.1 });
    const cards = [
      { id: 3, centre: { x: -60, y: 20 }, turnRad: 0.3 },
      { id: 7, centre: { x: 70, y: -30 }, turnRad: -1 },
    ];
    const photo = renderCards({ camera, cards, blurPx: 0.8, noise: 1.5, seed: 3 });
    expect(findMarkers(vision, photo, CARD_COUNT).map(({ id }) => id)).toEqual([3, 7]);
    expect(findMarkers(vision, photo, 5).map(({ id }) => id)).toEqual([3]);
    const blank = renderCards({ camera, cards: [], blurPx: 0, noise: 3, seed: 1 });
    expect(findMarkers(vision, blank, CARD_COUNT)).toEqual([]);
  });

  it('with the same id are both reported', () => {
    const camera = cameraOver({ widthPx: 900, heightPx: 700, focalPx: 800, distanceMm: 400, tiltRad: 0.1 });
    const cards = [-60, 70].map((x) => ({ id: 6, centre: { x, y: 0 }, turnRad: x }));
    const photo = renderCards({ camera, cards, blurPx: 0.8, noise: 1.5, seed: 3 });
    expect(findMarkers(vision, photo, CARD_COUNT).map(({ id }) => id)).toEqual([6, 6]);
  });
});
