import type { PlanePoint } from '../../src/geometry/point.ts';
import { factsOf } from './captures.ts';
import { project, type SimCamera } from './lens.ts';
import { cameraAt, cardCorners, cardsAround, distanceToShow, plainLens } from './poses.ts';
import { emptyScene, flatCard, PHONE_PICTURE, ROOM_LIGHT, table } from './presets.ts';
import type { Rgb, Scene, SimPiece, Table } from './scene.ts';
import { type Random, seeded } from './seeded.ts';
import { roundedRectangle } from './shapes.ts';

/** What a thick piece and its table look like: reflectances in linear light. */
export interface Tones {
  readonly name: string;
  readonly table: Table;
  readonly face: Rgb;
  readonly wall: Rgb;
}

const pale: Table = { kind: 'plain', dark: [0.5, 0.48, 0.44], bright: [0.58, 0.56, 0.52], turnRad: 0 };
const darkFoam: Rgb = [0.035, 0.036, 0.04];
const whiteFoam: Rgb = [0.78, 0.78, 0.76];
const kraft: Rgb = [0.42, 0.29, 0.17];

/** Foams and boards that makers mock up with, on tables that they have. The names stand in the bench's lines. */
export const TONES: readonly Tones[] = [
  { name: 'dark foam on wood', table: table('wood'), face: darkFoam, wall: darkFoam },
  { name: 'dark foam on cloth', table: table('cloth'), face: darkFoam, wall: darkFoam },
  { name: 'dark foam on a pale table', table: pale, face: darkFoam, wall: darkFoam },
  { name: 'white foam on a pale table', table: pale, face: whiteFoam, wall: whiteFoam },
  { name: 'white foam on wood', table: table('wood'), face: whiteFoam, wall: whiteFoam },
  { name: 'white foam on a mid grey table', table: table('plain'), face: whiteFoam, wall: whiteFoam },
  { name: 'kraft board on grey', table: table('plain'), face: kraft, wall: [0.3, 0.2, 0.12] },
  { name: 'kraft board on wood', table: table('wood'), face: kraft, wall: [0.3, 0.2, 0.12] },
  { name: 'blue foam on grey', table: table('plain'), face: [0.05, 0.13, 0.4], wall: [0.05, 0.13, 0.4] },
  { name: 'grey foam on squares', table: table('grid'), face: [0.3, 0.3, 0.31], wall: [0.3, 0.3, 0.31] },
  { name: 'black-faced board, white core, on wood', table: table('wood'), face: darkFoam, wall: whiteFoam },
];

export interface ThickCase {
  readonly seed: number;
  readonly thicknessMm: number;
  readonly tiltDeg: number;
  readonly tones: Tones;
  readonly megapixels: number;
}

/** A crest front: arched top with three points, V-notches in the foot edge, an eye, a slot and a round opening. */
function crestPiece(thicknessMm: number, tones: Tones): SimPiece {
  const outer: PlanePoint[] = [];
  const line = (x: number, y: number) => outer.push({ x, y });
  const arc = (
    from: number,
    to: number,
    cx: number,
    cy: number,
    rx: number,
    ry: number,
    steps = 60,
  ): void => {
    for (let i = 0; i <= steps; i++) {
      const a = from + ((to - from) * i) / steps;
      line(cx + rx * Math.cos(a), cy + ry * Math.sin(a));
    }
  };
  line(-100, -55);
  line(-34, -62);
  line(-30, -46);
  line(-26, -62);
  line(26, -62);
  line(30, -50);
  line(34, -62);
  line(100, -55);
  // Right flank bulges, the points stand between hollows.
  arc(-0.9, 1.1, 60, -10, 58, 50);
  line(70, 62);
  arc(-0.2, -2.6, 36, 62, 26, 24);
  line(0, 78);
  arc(-0.54, -2.94, -36, 62, 26, 24);
  line(-70, 62);
  arc(2.04, 4.04, -60, -10, 58, 50);
  const eye: PlanePoint[] = [];
  for (let i = 0; i < 40; i++) eye.push({ x: -62 + i, y: 2 + 9 * Math.sin((Math.PI * i) / 40) });
  for (let i = 0; i < 40; i++) eye.push({ x: -22 - i, y: 2 - 6 * Math.sin((Math.PI * i) / 40) });
  const round = Array.from({ length: 120 }, (_, i) => {
    const a = (2 * Math.PI * i) / 120;
    return { x: 46 + 14 * Math.cos(a), y: 4 + 14 * Math.sin(a) };
  });
  const slot = roundedRectangle(44, 9, 4.5).map(({ x, y }) => ({ x: x + 2, y: y - 34 }));
  return { outer, holes: [eye, round, slot], thicknessMm, color: tones.face, wallColor: tones.wall };
}

const turned = (points: readonly PlanePoint[], angle: number, by: PlanePoint): PlanePoint[] =>
  points.map(({ x, y }) => ({
    x: by.x + Math.cos(angle) * x - Math.sin(angle) * y,
    y: by.y + Math.sin(angle) * x + Math.cos(angle) * y,
  }));

function laidPiece(how: ThickCase, random: Random): SimPiece {
  const piece = crestPiece(how.thicknessMm, how.tones);
  const angle = random.normal(0.3);
  const by = { x: random.normal(8), y: random.normal(8) };
  return {
    ...piece,
    outer: turned(piece.outer, angle, by),
    holes: piece.holes.map((hole) => turned(hole, angle, by)),
  };
}

/** A photo of the crest front between four cards round an A4 region, as the seed draws it. */
export function thickScene(how: ThickCase): Scene {
  const random = seeded(how.seed * 6151 + 29);
  const lens = { ...plainLens(how.megapixels), k1: random.normal(0.02), k2: random.normal(0.006) };
  const piece = laidPiece(how, random);
  const spots = cardsAround('A4', 4, random);
  const pose = {
    tiltRad: (how.tiltDeg * Math.PI) / 180,
    azimuthRad: random.between(0, 2 * Math.PI),
    rollRad: random.normal(0.05),
    target: { x: random.normal(8), y: random.normal(8) },
  };
  const shown = spots.flatMap(cardCorners);
  const camera = cameraAt(lens, {
    ...pose,
    distanceMm: distanceToShow(lens, pose, shown) * random.between(1, 1.1),
  });
  const light = {
    ...ROOM_LIGHT,
    color: [1, random.between(0.92, 1), random.between(0.8, 1)] as const,
    centre: { x: random.between(-300, 300), y: random.between(-300, 300) },
    halfAtMm: random.between(900, 3000),
    towards: { x: random.between(-0.7, 0.7), y: random.between(-0.7, 0.7) },
    penumbra: random.between(0.2, 0.5),
  };
  return emptyScene(camera, {
    seed: how.seed,
    picture: { ...PHONE_PICTURE, blurSigmaPx: random.between(0.7, 1.3), sharpen: random.between(0, 0.8) },
    light,
    table: how.tones.table,
    cards: spots.map((spot) => flatCard(spot)),
    pieces: [piece],
    facts: factsOf(camera, 'diagonal'),
  });
}

/** The part of the picture that shows a scene's pieces, with a margin of table: the same rays, fewer pixels, no cards. */
export function croppedToPieces(scene: Scene, marginMm: number): Scene {
  const { camera } = scene;
  const places = scene.pieces.flatMap(({ outer, thicknessMm }) =>
    outer.flatMap(({ x, y }) =>
      [-marginMm, marginMm].flatMap((m) => [
        project(camera, x + m, y, 0),
        project(camera, x, y + m, thicknessMm),
      ]),
    ),
  );
  const even = (value: number, most: number) => 2 * Math.round(Math.min(most, Math.max(0, value)) / 2);
  const left = even(Math.min(...places.map(({ u }) => u)), camera.widthPx);
  const right = even(Math.max(...places.map(({ u }) => u)), camera.widthPx);
  const top = even(Math.min(...places.map(({ v }) => v)), camera.heightPx);
  const bottom = even(Math.max(...places.map(({ v }) => v)), camera.heightPx);
  const cropped: SimCamera = {
    ...camera,
    widthPx: right - left,
    heightPx: bottom - top,
    offsetUPx: camera.offsetUPx + camera.widthPx / 2 - (left + right) / 2,
    offsetVPx: camera.offsetVPx + camera.heightPx / 2 - (top + bottom) / 2,
  };
  return { ...scene, camera: cropped, cards: [] };
}
