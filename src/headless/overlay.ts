import sharp from 'sharp';
import { type Camera, planeToImage } from '../capture/camera.ts';
import type { Capture } from '../capture/types.ts';
import { flattenPath } from '../geometry/measure.ts';
import type { Path } from '../geometry/path.ts';
import type { ImagePoint } from '../geometry/point.ts';
import type { TraceResult } from '../trace/types.ts';
import type { Raster } from '../vision/raster.ts';

const LONGEST_SIDE_PX = 3000;
/** Okabe-Ito vermillion and blue; each line has a white one under it, so that it shows on any ground. */
const PIECE_COLOR = '#d55e00';
const CARD_COLOR = '#0072b2';

/** The photo with the measured outlines and the cards drawn on it, as JPEG. */
export async function overlayJpeg(
  photo: Raster,
  capture: Capture,
  trace: Pick<TraceResult, 'pieces' | 'looseLines'>,
): Promise<Uint8Array> {
  const { width, height, data } = photo;
  const scale = Math.min(1, LONGEST_SIDE_PX / Math.max(width, height));
  const [drawnWidth, drawnHeight] = [Math.round(width * scale), Math.round(height * scale)];
  const svg = overlaySvg(capture, trace, drawnWidth, drawnHeight, scale);
  return sharp(data, { raw: { width, height, channels: 4 }, limitInputPixels: false })
    .removeAlpha()
    .resize(drawnWidth, drawnHeight, { fit: 'fill' })
    .composite([{ input: Buffer.from(svg) }])
    .jpeg({ quality: 88 })
    .toBuffer();
}

function overlaySvg(
  capture: Capture,
  { pieces, looseLines = [] }: Pick<TraceResult, 'pieces' | 'looseLines'>,
  width: number,
  height: number,
  scale: number,
): string {
  // Pixel (0, 0) is the middle of the first pixel; a drawing counts from its corner.
  const drawn = ({ u, v }: ImagePoint) =>
    `${((u + 0.5) * scale).toFixed(2)} ${((v + 0.5) * scale).toFixed(2)}`;
  const line = (points: readonly ImagePoint[], closed: boolean) =>
    `M${points.map(drawn).join('L')}${closed ? 'Z' : ''}`;
  const polygon = (points: readonly ImagePoint[]) => line(points, true);
  const outlines = [
    ...pieces.flatMap(({ outer, holes, innerLines = [] }) => [outer, ...holes, ...innerLines]),
    ...looseLines,
  ].map(({ path }) => line(inPhoto(capture.camera, path, capture.thicknessMm), path.closed));
  const cards = [...capture.cards, ...(capture.references ?? [])]
    .filter(({ used }) => used)
    .map(({ cornersPx }) => polygon(cornersPx));
  const pen = (color: string, widthPx: number, paths: readonly string[]) =>
    `<path d="${paths.join('')}" fill="none" stroke="${color}" stroke-width="${widthPx}"/>`;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}">`,
    pen('#ffffff', 4, [...outlines, ...cards]),
    pen(PIECE_COLOR, 1.6, outlines),
    pen(CARD_COLOR, 1.6, cards),
    '</svg>',
  ].join('');
}

/** The outline as the photo shows it, at the height of the piece's top face. */
function inPhoto(camera: Camera, path: Path, heightMm: number): ImagePoint[] {
  return flattenPath(path, 0.05).map((point) => planeToImage(camera, point, heightMm));
}
