import type { Camera } from '../../src/capture/camera.ts';
import { indexEdges } from '../../src/geometry/edge-index.ts';
import { flattenPath } from '../../src/geometry/measure.ts';
import type { Path } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { cameraAt, plainLens } from '../simulator/poses.ts';
import { emptyScene, PHONE_PICTURE, ROOM_LIGHT, table } from '../simulator/presets.ts';
import type { Rgb, Scene, SimLine } from '../simulator/scene.ts';

/** Line widths of the ISO 9177 / ISO 128 series, mm: pencils 0.35 to 1.0, markers 2.0. */
export const LINE_WIDTHS_MM = [0.35, 0.5, 0.7, 1, 2] as const;

/** Paper lies this high over the table in the simulator. */
export const PAPER_TOP_MM = 0.1;

const WHITE: Rgb = [0.82, 0.82, 0.8];
export const KRAFT: Rgb = [0.42, 0.3, 0.18];

/** A cheek guard in small: straight sides, a curve and four corners; counter-clockwise, mm. */
export function guardOutline(): PlanePoint[] {
  const points: PlanePoint[] = [];
  for (let i = 0; i <= 40; i++) points.push({ x: -40 + 2 * i, y: -30 + 6 * Math.sin((Math.PI * i) / 40) });
  for (let i = 1; i <= 30; i++) points.push({ x: 40 + 0.4 * i, y: -30 + 1.5 * i });
  for (let i = 1; i < 60; i++) {
    const angle = (Math.PI * i) / 60;
    points.push({ x: 52 * Math.cos(angle) - 4 * (i / 60), y: 15 + 24 * Math.sin(angle) });
  }
  for (let i = 0; i < 30; i++) points.push({ x: -56 + (16 * i) / 30, y: 15 - 1.5 * i });
  return points;
}

/** An open score line inside it. */
export function scoreLine(): PlanePoint[] {
  return Array.from({ length: 41 }, (_, i) => ({ x: -30 + 1.5 * i, y: 5 + 8 * Math.sin((i / 40) * 2.4) }));
}

export const drawn = (
  points: readonly PlanePoint[],
  closed: boolean,
  tool: SimLine['tool'],
  widthMm: number,
  darkness: number,
): SimLine => ({ points, closed, tool, widthMm, darkness });

const SHEET_CENTRE: PlanePoint = { x: 10, y: -20 };
const SHEET_TURN_RAD = 0.03;

/** A place given along the sheet's own sides from its middle, where its squares start; mm. */
export function onSheet(x: number, y: number): PlanePoint {
  const [c, s] = [Math.cos(SHEET_TURN_RAD), Math.sin(SHEET_TURN_RAD)];
  return { x: SHEET_CENTRE.x + c * x - s * y, y: SHEET_CENTRE.y + s * x + c * y };
}

/** A sheet with lines on a table, photographed by a phone from above, a little tilted; 3 megapixels, 8 px per mm. */
export function drawnScene(
  seed: number,
  lines: readonly SimLine[],
  how: {
    readonly paper?: Rgb;
    readonly graphMm?: number;
    readonly graphInk?: number;
    readonly distanceMm?: number;
  } = {},
): Scene {
  const pose = {
    tiltRad: 0.17,
    azimuthRad: 0.8,
    rollRad: 0.06,
    target: { x: 0, y: 2 },
    distanceMm: how.distanceMm ?? 190,
  };
  const camera = cameraAt(plainLens(3), pose);
  const { paper = WHITE, graphMm, graphInk } = how;
  const sheet = {
    size: 'A4',
    centre: SHEET_CENTRE,
    turnRad: SHEET_TURN_RAD,
    heightMm: 0,
    color: paper,
    ...(graphMm !== undefined && { graphMm }),
    ...(graphInk !== undefined && { graphInk }),
  } as const;
  return emptyScene(camera, {
    seed,
    picture: PHONE_PICTURE,
    light: ROOM_LIGHT,
    table: table('wood'),
    sheets: [sheet],
    lines,
  });
}

/** 95th percentile of the distances between a path and its truth, both ways, mm. */
export function p95Mm(path: Path, truth: readonly PlanePoint[]): number {
  const { closed } = path;
  const outline = flattenPath(path, 0.005);
  const distances = [...alongEvery(outline, closed, truth), ...alongEvery(truth, closed, outline)].sort(
    (a, b) => a - b,
  );
  return distances[Math.floor(0.95 * distances.length)]!;
}

function alongEvery(from: readonly PlanePoint[], closed: boolean, to: readonly PlanePoint[]): number[] {
  const index = indexEdges([{ points: to, closed }]);
  const ends = closed ? [...from, from[0]!] : from;
  return ends.slice(1).flatMap((b, i) => {
    const a = ends[i]!;
    const count = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / 0.2));
    return Array.from({ length: count }, (_, k) => {
      const share = k / count;
      return index.nearest(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y))!.distanceMm;
    });
  });
}

/** The simulator's camera as the engine's: the drawn scenes have no lens faults beyond its model. */
export function cameraOf(scene: Scene): Camera {
  const { widthPx, heightPx, focalPx, offsetUPx, offsetVPx, k1, k2, rotation, centreMm } = scene.camera;
  return { widthPx, heightPx, focalPx, offsetUPx, offsetVPx, k1, k2, rotation, centreMm };
}
