import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import type { ArucoDetectorParameters, Handle } from '../../src/vision/opencv-types.ts';
import type { Raster } from '../../src/vision/raster.ts';
import { blackCells } from './card-face.ts';
import { cameraAt, plainLens } from './poses.ts';
import { emptyScene, flatCard } from './presets.ts';
import { renderScene } from './render.ts';

interface Detector {
  detectImage(
    width: number,
    height: number,
    data: Uint8ClampedArray,
  ): { id: number; hammingDistance: number }[];
}
const { AR } = createRequire(import.meta.url)('js-aruco2') as {
  AR: {
    DICTIONARIES: Record<string, { codeList: number[] }>;
    Detector: new (config: { dictionaryName: string; maxHammingDistance: number }) => Detector;
  };
};

/** All twelve cards on one table, each turned its own way. */
function twelveCards(): Raster {
  const lens = plainLens(3);
  const camera = cameraAt(lens, {
    tiltRad: 0.2,
    azimuthRad: 1,
    rollRad: 0,
    target: { x: 0, y: 0 },
    distanceMm: 520,
  });
  const cards = Array.from({ length: 12 }, (_, id) =>
    flatCard({
      id,
      centre: { x: -165 + 110 * (id % 4), y: 110 - 110 * Math.floor(id / 4) },
      turnRad: id * 0.5,
    }),
  );
  return renderScene(emptyScene(camera, { cards }));
}

describe('the simulated cards', () => {
  it('carry the codes of the published dictionary as js-aruco2 lists them', () => {
    for (let id = 0; id < 12; id++) {
      const bits = AR.DICTIONARIES.ARUCO_MIP_36h12!.codeList[id]!.toString(2).padStart(36, '0');
      const cells = blackCells(id);
      for (let i = 0; i < 36; i++) {
        const cell = cells[(Math.floor(i / 6) + 1) * 8 + (i % 6) + 1];
        expect(cell, `bit ${i} of ${id}`).toBe(bits[i] === '1' ? 0 : 1);
      }
    }
  });

  it('are read by js-aruco2 and by OpenCV, every id, without a wrong bit', async () => {
    const raster = twelveCards();
    const ids = Array.from({ length: 12 }, (_, id) => id);

    const detector = new AR.Detector({ dictionaryName: 'ARUCO_MIP_36h12', maxHammingDistance: 0 });
    const found = detector.detectImage(raster.width, raster.height, new Uint8ClampedArray(raster.data));
    expect(found.map(({ id }) => id).sort((a, b) => a - b)).toEqual(ids);

    const { cv } = await loadVisionInNode();
    using rgba = new cv.Mat(raster.height, raster.width, cv.CV_8UC4);
    rgba.data.set(raster.data);
    using gray = new cv.Mat();
    cv.cvtColor(rgba, gray, cv.COLOR_RGBA2GRAY);
    // The constructor wants its three parts spelled out; the untyped door is fine in a test.
    const loose = cv as unknown as {
      getPredefinedDictionary(name: number): Handle;
      aruco_DetectorParameters: new () => ArucoDetectorParameters;
      aruco_RefineParameters: new (distance: number, rate: number, check: boolean) => Handle;
    };
    using detectorCv = new cv.aruco_ArucoDetector(
      loose.getPredefinedDictionary(cv.DICT_ARUCO_MIP_36h12),
      new loose.aruco_DetectorParameters(),
      new loose.aruco_RefineParameters(10, 3, true),
    );
    using corners = new cv.MatVector();
    using cvIds = new cv.Mat();
    detectorCv.detectMarkers(gray, corners, cvIds);
    expect([...cvIds.data32S].sort((a, b) => a - b)).toEqual(ids);
  });
});
