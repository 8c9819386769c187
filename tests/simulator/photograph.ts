import sharp from 'sharp';
import type { Raster } from '../../src/vision/raster.ts';
import { renderScene } from './render.ts';
import type { Scene } from './scene.ts';

/** The photo of a scene as a phone would hand it over: rendered, then through JPEG when the scene says so. */
export async function photograph(scene: Scene): Promise<Raster> {
  const raster = renderScene(scene);
  const quality = scene.picture.jpegQuality;
  if (quality === undefined) return raster;
  const jpeg = await encodeJpeg(raster, quality);
  const { data, info } = await sharp(jpeg, { limitInputPixels: 60e6 })
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, data };
}

/** A raster as JPEG bytes, chroma at half size as cameras write it. */
export function encodeJpeg(raster: Raster, quality: number): Promise<Buffer> {
  return sharp(raster.data, { raw: { width: raster.width, height: raster.height, channels: 4 } })
    .removeAlpha()
    .jpeg({ quality, chromaSubsampling: '4:2:0' })
    .toBuffer();
}
