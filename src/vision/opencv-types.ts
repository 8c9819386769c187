/**
 * The part of opencv.js that this project calls. The package's own types declare functions that do not
 * exist and omit the aruco classes, so each name here is checked against the real module by
 * tests/vision/opencv-surface.test.ts. Add to both when you use more.
 */
export interface Handle extends Disposable {
  delete(): void;
}

export interface Mat extends Handle {
  readonly rows: number;
  readonly cols: number;
  readonly data: Uint8Array;
  readonly data16U: Uint16Array;
  readonly data32S: Int32Array;
  readonly data32F: Float32Array;
  readonly data64F: Float64Array;
  type(): number;
}

export interface MatVector extends Handle {
  size(): number;
  /** A new handle: delete it. */
  get(index: number): Mat;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

export interface ArucoDetectorParameters extends Handle {
  adaptiveThreshWinSizeMin: number;
  adaptiveThreshWinSizeMax: number;
}

export interface ArucoDetector extends Handle {
  detectMarkers(image: Mat, corners: MatVector, ids: Mat, rejected?: MatVector): void;
}

export interface OpenCv {
  readonly CV_8UC1: number;
  readonly CV_16UC1: number;
  readonly CV_8UC4: number;
  readonly CV_32FC1: number;
  readonly CV_32SC1: number;
  readonly COLOR_RGBA2GRAY: number;
  readonly INTER_AREA: number;
  readonly MORPH_RECT: number;
  readonly MORPH_ELLIPSE: number;
  readonly DIST_L2: number;
  readonly DICT_ARUCO_MIP_36h12: number;
  readonly Mat: new (rows?: number, cols?: number, type?: number) => Mat;
  readonly MatVector: new () => MatVector;
  readonly aruco_ArucoDetector: new (
    dictionary: Handle,
    parameters: ArucoDetectorParameters,
    refine: Handle,
  ) => ArucoDetector;
  readonly aruco_DetectorParameters: new () => ArucoDetectorParameters;
  readonly aruco_RefineParameters: new (
    minRepDistance: number,
    errorCorrectionRate: number,
    checkAllOrders: boolean,
  ) => Handle;
  getPredefinedDictionary(name: number): Handle;
  cvtColor(source: Mat, target: Mat, code: number): void;
  resize(source: Mat, target: Mat, size: Size, fx: number, fy: number, interpolation: number): void;
  medianBlur(source: Mat, target: Mat, kernelSide: number): void;
  getStructuringElement(shape: number, size: Size): Mat;
  erode(source: Mat, target: Mat, kernel: Mat): void;
  dilate(source: Mat, target: Mat, kernel: Mat): void;
  GaussianBlur(source: Mat, target: Mat, size: Size, sigmaX: number): void;
  distanceTransform(source: Mat, target: Mat, distanceType: number, maskSize: number): void;
  connectedComponents(source: Mat, labels: Mat, connectivity: number): number;
  exceptionFromPtr(pointer: number): { readonly msg: string };
}
