import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Camera } from '../../src/capture/camera.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';

export interface TrueCard {
  readonly id: number;
  readonly centre: PlanePoint;
  readonly turnRad: number;
}

export interface TruePiece {
  readonly outer: readonly PlanePoint[];
  readonly holes: readonly (readonly PlanePoint[])[];
  readonly thicknessMm: number;
}

export interface Truth {
  readonly photoFile: string;
  readonly camera: Camera;
  readonly cards: readonly TrueCard[];
  readonly pieces: readonly TruePiece[];
}

export type PracticePhoto = 'brow-band' | 'guards-and-crest' | 'crown-front';

interface TruthFile {
  image: [number, number];
  camera: {
    f: number;
    cx: number;
    cy: number;
    k1: number;
    k2: number;
    R: number[][];
    C: [number, number, number];
  };
  cards: { id: number; x: number; y: number; deg: number }[];
  pieces: { outer: [number, number][]; holes: [number, number][][]; thickness: number }[];
}

const toPoints = (pairs: readonly [number, number][]): PlanePoint[] => pairs.map(([x, y]) => ({ x, y }));

/** A practice photo (rendered, path-traced light; it serves as demo photo too) and the truth it was rendered from. */
export function readTruth(name: PracticePhoto): Truth {
  const file = JSON.parse(
    readFileSync(new URL(`../truth/${name}.json`, import.meta.url), 'utf8'),
  ) as TruthFile;
  const { camera } = file;
  return {
    photoFile: fileURLToPath(new URL(`../../public/demo/${name}.jpg`, import.meta.url)),
    camera: {
      widthPx: file.image[0],
      heightPx: file.image[1],
      focalPx: camera.f,
      // The truth's offsets count from width/2 with (0, 0) at the corner of the first pixel: the same place as ours.
      offsetUPx: camera.cx,
      offsetVPx: camera.cy,
      k1: camera.k1,
      k2: camera.k2,
      rotation: camera.R.flat(),
      centreMm: camera.C,
    },
    cards: file.cards.map(({ id, x, y, deg }) => ({ id, centre: { x, y }, turnRad: (deg * Math.PI) / 180 })),
    pieces: file.pieces.map((piece) => ({
      outer: toPoints(piece.outer),
      holes: piece.holes.map(toPoints),
      thicknessMm: piece.thickness,
    })),
  };
}
