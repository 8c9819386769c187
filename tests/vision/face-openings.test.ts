import { beforeAll, describe, expect, it } from 'vitest';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { BOX_MARGIN_PX, openingsInFace } from '../../src/vision/face-openings.ts';
import { cropLogarithms, cropPlane, logarithms } from '../../src/vision/log-photo.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import type { ReducedPhoto } from '../../src/vision/reduce.ts';
import { seeded } from '../simulator/seeded.ts';

const SIDE = 200;
const OPTIONS = { reachPx: 40, thinPx: 1.5, wideEnoughPx: 3, smallestHolePx: 100 };

/** A rectangle on the face (px, both ends in) and how bright it is. */
interface Patch {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
  readonly light: number;
  readonly isTable?: boolean;
}

/** A grey face with patches, lit from one side, with a little noise; the table round it is bright. */
function facePhoto(patches: readonly Patch[]): {
  photo: ReducedPhoto;
  filled: Uint8Array;
  piece: Uint8Array;
  tableLike: Uint8Array;
} {
  const random = seeded(7);
  const plane = new Float32Array(SIDE * SIDE);
  const filled = new Uint8Array(plane.length);
  const tableLike = new Uint8Array(plane.length);
  for (let at = 0; at < plane.length; at++) {
    const [u, v] = [at % SIDE, Math.floor(at / SIDE)];
    const onPiece = u >= 20 && u < 180 && v >= 20 && v < 180;
    filled[at] = onPiece ? 1 : 0;
    let light = onPiece ? 0.2 * (1 + 0.002 * u) : 0.7;
    for (const { from, to, light: own, isTable } of patches) {
      if (u < from[0] || u > to[0] || v < from[1] || v > to[1]) continue;
      light = own;
      if (isTable) tableLike[at] = 1;
    }
    plane[at] = light * (1 + 0.02 * random.normal(1));
  }
  const photo = { width: SIDE, height: SIDE, block: 1, red: plane, green: plane, blue: plane };
  return { photo, filled, piece: filled, tableLike };
}

describe('openings by what is unlike the face of a thick piece', () => {
  let vision: Vision;
  const found = (patches: readonly Patch[]) => {
    const { photo, filled, piece, tableLike } = facePhoto(patches);
    return openingsInFace(vision, logarithms(vision, photo), filled, piece, tableLike, OPTIONS);
  };

  beforeAll(async () => {
    vision = await loadVisionInNode();
  });

  it('take in the dark wall beside the table that shows', () => {
    const openings = found([
      { from: [60, 60], to: [99, 69], light: 0.08 },
      { from: [60, 70], to: [99, 89], light: 0.7, isTable: true },
    ]);
    expect(openings).toHaveLength(1);
    const [opening] = openings;
    expect(opening!.showsTable).toBe(true);
    const v = opening!.places.map((place) => place.v);
    expect(Math.abs(Math.min(...v) - 59.5)).toBeLessThanOrEqual(1.5);
    expect(Math.abs(Math.max(...v) - 89.5)).toBeLessThanOrEqual(1.5);
  });

  it('are found where only a dark inside shows, and said to be so', () => {
    const openings = found([{ from: [60, 60], to: [110, 69], light: 0.06 }]);
    expect(openings.map(({ showsTable }) => showsTable)).toEqual([false]);
  });

  it('are no drawn lines, no bright tape and no light shading', () => {
    expect(found([{ from: [40, 100], to: [160, 102], light: 0.04 }])).toEqual([]);
    expect(found([{ from: [60, 60], to: [120, 80], light: 0.5 }])).toEqual([]);
    expect(found([{ from: [60, 60], to: [120, 80], light: 0.17 }])).toEqual([]);
  });

  it('do not swallow a line that is drawn up to one', () => {
    const openings = found([
      { from: [60, 60], to: [99, 89], light: 0.7, isTable: true },
      { from: [99, 74], to: [150, 75], light: 0.04 },
    ]);
    expect(openings).toHaveLength(1);
    expect(Math.max(...openings[0]!.places.map(({ u }) => u))).toBeLessThan(104);
  });

  it('are the same in a box about the piece as in the whole photo', () => {
    const patches = [
      { from: [60, 60], to: [99, 69], light: 0.08 },
      { from: [60, 70], to: [99, 89], light: 0.7, isTable: true },
      { from: [23, 110], to: [140, 125], light: 0.06 },
    ] as const;
    const { photo, filled, piece, tableLike } = facePhoto(patches);
    const left = 20 - BOX_MARGIN_PX;
    const box = { left, top: left, width: 180 + BOX_MARGIN_PX - left, height: 180 + BOX_MARGIN_PX - left };
    const whole = openingsInFace(vision, logarithms(vision, photo), filled, piece, tableLike, OPTIONS);
    const boxed = openingsInFace(
      vision,
      cropLogarithms(logarithms(vision, photo), box),
      cropPlane(filled, SIDE, box),
      cropPlane(piece, SIDE, box),
      cropPlane(tableLike, SIDE, box),
      OPTIONS,
    );
    expect(whole).toHaveLength(2);
    const put = boxed.map((opening) => ({
      ...opening,
      places: opening.places.map(({ u, v }) => ({ u: u + left, v: v + left })),
    }));
    expect(put).toEqual(whole);
  });

  it('do not reach the edge of the piece: a notch is none', () => {
    expect(found([{ from: [60, 20], to: [80, 60], light: 0.7, isTable: true }])).toEqual([]);
  });
});
