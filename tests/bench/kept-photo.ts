import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import type { Raster } from '../../src/vision/raster.ts';
import { encodeJpeg } from '../simulator/photograph.ts';
import { renderScene } from '../simulator/render.ts';
import type { Scene } from '../simulator/scene.ts';

/** The JPEG photo of a scene; with a folder it is kept there under its name, and taken from there the next time. */
export async function keptPhoto(scene: Scene, folder: string | undefined, name: string): Promise<Raster> {
  const file = folder && join(folder, `${name}.jpg`);
  const kept = file && existsSync(file) ? readFileSync(file) : undefined;
  const jpeg = kept ?? (await encodeJpeg(renderScene(scene), 90));
  if (file && !kept) {
    mkdirSync(folder, { recursive: true });
    writeFileSync(file, jpeg);
  }
  const { data, info } = await sharp(jpeg).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, data };
}
