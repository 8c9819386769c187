import type { Camera } from '../../src/capture/camera.ts';
import { imageToPlane, planeToImage } from '../../src/capture/camera.ts';
import type { Capture } from '../../src/capture/types.ts';
import { addCapture, setCapture } from '../../src/build/commands/captures.ts';
import type { Stamp } from '../../src/build/commands/arguments.ts';
import { newBuild } from '../../src/build/commands/new-build.ts';
import { replaceTracedPieces } from '../../src/build/commands/traced-pieces.ts';
import { captureOptionsFor } from '../../src/build/lookups.ts';
import type { Build } from '../../src/build/types.ts';
import { boundsOf } from '../../src/geometry/measure.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import type { TracedEdge, TracedPiece, TraceResult } from '../../src/trace/types.ts';

const WHEN = '2031-05-02T10:00:00.000Z';

export function stamp(id: string): Stamp {
  return { id, when: WHEN };
}

/** Looks straight down from 700 mm above (150, 100). */
export const CAMERA: Camera = {
  widthPx: 4000,
  heightPx: 3000,
  focalPx: 3000,
  offsetUPx: 0,
  offsetVPx: 0,
  k1: 0.01,
  k2: 0,
  rotation: [1, 0, 0, 0, -1, 0, 0, 0, -1],
  centreMm: [150, 100, 700],
};

export function sampleCapture(thicknessMm = 0): Capture {
  return {
    camera: CAMERA,
    cards: [],
    unreadCards: [
      {
        id: 7,
        cornersPx: [
          { u: -60, v: 900 },
          { u: 400, v: 910 },
          { u: 390, v: 1370 },
          { u: -70, v: 1360 },
        ],
        isCutOff: true,
      },
    ],
    thicknessMm,
    thicknessDoubtMm: 0.5,
    printScale: { across: 1, along: 1 },
    rmsPx: 0.1,
    covariance: [1e-4],
    parameters: ['focalPx'],
    warnings: [{ code: 'print-scale-unmeasured', message: 'The printer was not measured.' }],
  };
}

/** What a box on the table (mm, as seen at z = 0) traces to when it is said to lie `heightMm` high. */
function edge(corners: readonly PlanePoint[], heightMm: number): TracedEdge {
  const seenPx = corners.map((corner) => planeToImage(CAMERA, corner));
  const measured = seenPx.map((seen) => imageToPlane(CAMERA, seen, heightMm));
  return {
    path: polylinePath(measured, true),
    measured,
    seenPx,
    movedMaxMm: 0,
    movedMeanMm: 0,
    footShare: 0,
  };
}

export function tracedBox(x: number, y: number, w: number, h: number, heightMm = 0): TracedPiece {
  const corners = [
    { x, y },
    { x: x + w, y },
    { x: x + w, y: y + h },
    { x, y: y + h },
  ];
  const hole = corners.map((corner) => ({
    x: x + w / 2 + (corner.x - x - w / 2) / 4,
    y: y + h / 2 + (corner.y - y - h / 2) / 4,
  }));
  const bounds = boundsOf(corners);
  return {
    outer: edge(corners, heightMm),
    holes: [edge(hole.reverse(), heightMm)],
    lengthMm: 2 * (w + h),
    areaMm2: (bounds.maxX - bounds.minX) * (bounds.maxY - bounds.minY),
    color: '#eeeeee',
    toleranceMm: 0.3,
    warnings: [],
  };
}

export function traceOf(...pieces: TracedPiece[]): TraceResult {
  return { pieces, warnings: [] };
}

/** A build with one photo, captured, and two pieces traced from it. */
export function sampleBuild(): Build {
  let build = newBuild({ stamp: stamp('build'), name: 'Marsh Heron Warden' });
  build = addCapture(build, { stamp: stamp('photo-1'), photoId: 'bytes-1', photoName: 'crown.jpg' });
  const options = captureOptionsFor(build, build.captures[0]!, { focalLength35Mm: 26 });
  build = setCapture(build, { captureId: 'photo-1', capture: sampleCapture(), options });
  return replaceTracedPieces(build, {
    captureId: 'photo-1',
    trace: traceOf(tracedBox(0, 0, 120, 80), tracedBox(160, 20, 90, 140)),
    stamp: stamp('trace-1'),
  });
}
