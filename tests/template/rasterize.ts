/** PDF pages drawn by poppler, and lines measured on the picture. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { programOnPath } from '../setup/find-chromium.ts';
import type { Raster } from '../../src/vision/raster.ts';

export interface PagePicture extends Raster {
  readonly pixelsPerMm: number;
}

/** Draws every page at `dpi` with pdftoppm. */
export async function rasterizePdf(bytes: Uint8Array, dpi: number): Promise<PagePicture[]> {
  const folder = mkdtempSync(join(tmpdir(), 'foamwright-pages-'));
  try {
    writeFileSync(join(folder, 'file.pdf'), bytes);
    execFileSync(programOnPath('pdftoppm')!, [
      '-r',
      String(dpi),
      '-png',
      join(folder, 'file.pdf'),
      join(folder, 'page'),
    ]);
    const names = readdirSync(folder)
      .filter((name) => name.endsWith('.png'))
      .sort();
    return await Promise.all(names.map((name) => readPicture(join(folder, name), dpi)));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

async function readPicture(file: string, dpi: number): Promise<PagePicture> {
  const { data, info } = await sharp(file).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, data, pixelsPerMm: dpi / 25.4 };
}

/** Darkness 0..1 of the pixel at (column, row). */
function darkness({ width, data }: Raster, column: number, row: number): number {
  return 1 - data[(row * width + column) * 4]! / 255;
}

/**
 * Centres of the dark lines met on the way across the page at `heightMm` over its lower edge, mm from its left edge;
 * each is the centroid of a dark run.
 */
export function linesAcross(picture: PagePicture, heightMm: number, fromMm: number, toMm: number): number[] {
  const row = Math.round(picture.height - heightMm * picture.pixelsPerMm - 0.5);
  return runs(picture, fromMm, toMm, (i) => darkness(picture, i, row));
}

/** The same up the page at `acrossMm` from its left edge; mm over its lower edge, from the lowest up. */
export function linesUp(picture: PagePicture, acrossMm: number, fromMm: number, toMm: number): number[] {
  const column = Math.round(acrossMm * picture.pixelsPerMm - 0.5);
  return runs(picture, fromMm, toMm, (i) => darkness(picture, column, picture.height - 1 - i));
}

function runs(
  { pixelsPerMm }: PagePicture,
  fromMm: number,
  toMm: number,
  darknessAt: (index: number) => number,
): number[] {
  const centres: number[] = [];
  let [weight, moment] = [0, 0];
  for (let i = Math.ceil(fromMm * pixelsPerMm); i < toMm * pixelsPerMm; i++) {
    const dark = darknessAt(i);
    if (dark > 0.05) {
      weight += dark;
      moment += dark * (i + 0.5);
    } else if (weight > 0) {
      if (weight > 0.5) centres.push(moment / weight / pixelsPerMm);
      [weight, moment] = [0, 0];
    }
  }
  return centres;
}
