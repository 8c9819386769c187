import { beforeAll, describe, expect, it } from 'vitest';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { asError, loadVision, type Vision } from '../../src/vision/opencv.ts';
import type { Handle, Mat, MatVector, OpenCv } from '../../src/vision/opencv-types.ts';

/** Every name of opencv-types.ts: the compiler asks for it here when it is added there. */
const NAMES: Record<keyof OpenCv, 'number' | 'function'> = {
  CV_8UC1: 'number',
  CV_16UC1: 'number',
  CV_8UC4: 'number',
  CV_32FC1: 'number',
  CV_32SC1: 'number',
  COLOR_RGBA2GRAY: 'number',
  INTER_AREA: 'number',
  MORPH_RECT: 'number',
  MORPH_ELLIPSE: 'number',
  DIST_L2: 'number',
  DICT_ARUCO_MIP_36h12: 'number',
  Mat: 'function',
  MatVector: 'function',
  aruco_ArucoDetector: 'function',
  aruco_DetectorParameters: 'function',
  aruco_RefineParameters: 'function',
  getPredefinedDictionary: 'function',
  cvtColor: 'function',
  resize: 'function',
  medianBlur: 'function',
  getStructuringElement: 'function',
  erode: 'function',
  dilate: 'function',
  GaussianBlur: 'function',
  distanceTransform: 'function',
  connectedComponents: 'function',
  exceptionFromPtr: 'function',
};

const MAT_MEMBERS: Record<Exclude<keyof Mat, typeof Symbol.dispose>, 'number' | 'function' | 'object'> = {
  rows: 'number',
  cols: 'number',
  data: 'object',
  data16U: 'object',
  data32S: 'object',
  data32F: 'object',
  data64F: 'object',
  type: 'function',
  delete: 'function',
};

const VECTOR_MEMBERS: Record<Exclude<keyof MatVector, typeof Symbol.dispose>, 'function'> = {
  size: 'function',
  get: 'function',
  delete: 'function',
};

/** The kind of a member, read without the types that are under test. */
function kindOf(object: object, name: string): string {
  return typeof Reflect.get(object, name);
}

describe('the vision engine', () => {
  let vision: Vision;
  beforeAll(async () => {
    vision = await loadVisionInNode();
  });

  it.each(Object.entries(NAMES))('has %s as a %s', (name, kind) => {
    expect(kindOf(vision.cv, name)).toBe(kind);
  });

  it('gives matrices and vectors every member that the types name', () => {
    using mat = new vision.cv.Mat(2, 3, vision.cv.CV_32SC1);
    using vector = new vision.cv.MatVector();
    for (const [name, kind] of Object.entries(MAT_MEMBERS))
      expect([name, kindOf(mat, name)]).toEqual([name, kind]);
    for (const [name, kind] of Object.entries(VECTOR_MEMBERS)) {
      expect([name, kindOf(vector, name)]).toEqual([name, kind]);
    }
    expect(mat.data32S).toHaveLength(6);
  });

  it('frees every kind of handle by "using"', () => {
    const { cv } = vision;
    const handles: Handle[] = [
      new cv.Mat(),
      new cv.MatVector(),
      cv.getPredefinedDictionary(cv.DICT_ARUCO_MIP_36h12),
      new cv.aruco_DetectorParameters(),
      new cv.aruco_RefineParameters(10, 3, true),
    ];
    for (const handle of handles) {
      handle[Symbol.dispose]();
      expect(() => handle.delete()).toThrow(/deleted/i);
    }
  });

  it("turns the numbers that it throws into OpenCV's own words", () => {
    const { cv } = vision;
    using empty = new cv.Mat();
    using target = new cv.Mat();
    let thrown: unknown;
    try {
      cv.resize(empty, target, { width: 4, height: 4 }, 0, 0, cv.INTER_AREA);
    } catch (caught) {
      thrown = caught;
    }
    expect(asError(vision, thrown).message).toMatch(/resize|empty/);
  });
});

describe('loading the vision engine', () => {
  it('rejects in words when the wasm is missing, rather than hang', async () => {
    const missing = () => Promise.reject(new Error('the vision engine file was not found (404)'));
    await expect(loadVision(missing)).rejects.toThrow('the vision engine file was not found (404)');
  });

  it('rejects when the wasm is not one', async () => {
    const broken = (imports: WebAssembly.Imports) =>
      WebAssembly.instantiate(new Uint8Array([1, 2, 3, 4]), imports);
    await expect(loadVision(broken)).rejects.toThrow(/wasm|magic/i);
  });
});
