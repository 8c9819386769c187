/**
 * A decoded photo: RGBA, 8 bits a channel, sRGB, upright (EXIF orientation already applied),
 * row by row from the top. `data.length === width * height * 4`.
 */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray | Uint8Array;
}

/** sRGB byte to linear light in 0..1 (IEC 61966-2-1). */
export const LINEAR_FROM_SRGB: Float32Array = Float32Array.from({ length: 256 }, (_, value) => {
  const c = value / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
});
