import { LINEAR_FROM_SRGB, type Raster } from './raster.ts';

/** A photo reduced by whole blocks, in linear light: three planes of `width * height` values in 0..1. */
export interface ReducedPhoto {
  readonly width: number;
  readonly height: number;
  /** Photo pixels along one side of a reduced pixel. */
  readonly block: number;
  readonly red: Float32Array;
  readonly green: Float32Array;
  readonly blue: Float32Array;
}

/** Longest side of the reduced photo that is aimed at, px: coarse enough to be quick, fine enough for 3 mm slots. */
const AIM_PX = 1150;

/** Place along u or v in photo pixels of a place in reduced pixels; in both, 0 is a pixel's centre. */
export function photoFromReduced(place: number, block: number): number {
  return (place + 0.5) * block - 0.5;
}

/** The other way round. */
export function reducedFromPhoto(place: number, block: number): number {
  return (place + 0.5) / block - 0.5;
}

/** Means of whole blocks in linear light; a last partial column or row of blocks is left out. */
export function reducePhoto(photo: Raster): ReducedPhoto {
  const block = Math.max(1, Math.round(Math.max(photo.width, photo.height) / AIM_PX));
  const width = Math.floor(photo.width / block);
  const height = Math.floor(photo.height / block);
  const red = new Float32Array(width * height);
  const green = new Float32Array(width * height);
  const blue = new Float32Array(width * height);
  const { data } = photo;
  const linear = LINEAR_FROM_SRGB;
  const share = 1 / (block * block);
  for (let row = 0; row < height * block; row++) {
    let at = row * photo.width * 4;
    let to = Math.floor(row / block) * width;
    for (let column = 0; column < width; column++, to++) {
      let r = 0;
      let g = 0;
      let b = 0;
      for (let i = 0; i < block; i++, at += 4) {
        r += linear[data[at]!]!;
        g += linear[data[at + 1]!]!;
        b += linear[data[at + 2]!]!;
      }
      red[to] = red[to]! + r * share;
      green[to] = green[to]! + g * share;
      blue[to] = blue[to]! + b * share;
    }
  }
  return { width, height, block, red, green, blue };
}
