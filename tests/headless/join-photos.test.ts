import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { JoinedReport } from '../../src/headless/join-report.ts';
import { boundsOf } from '../../src/geometry/measure.ts';
import { bandScene } from '../simulator/long-band.ts';
import { encodeJpeg } from '../simulator/photograph.ts';
import { renderScene } from '../simulator/render.ts';
import { inFolder, runHeadless } from './run-headless.ts';

const inOrder = (a: number, b: number) => a - b;
const COMMON = { megapixels: 2, thicknessMm: 0.8 } as const;
let left: Buffer;
let right: Buffer;

const jpegOf = (half: 'left' | 'right', cardIds: readonly number[]): Promise<Buffer> =>
  encodeJpeg(renderScene(bandScene({ ...COMMON, half, cardIds })), 92);

beforeAll(async () => {
  left = await jpegOf('left', [0, 1, 2, 3]);
  right = await jpegOf('right', [2, 3, 4, 5]);
});

describe('headless capture of two photos of one long piece', () => {
  it('writes one piece, 700 mm long, and an overlay for each photo', async () => {
    await inFolder(async (folder) => {
      const photos = [join(folder, 'left.jpg'), join(folder, 'right.jpg')];
      writeFileSync(photos[0]!, left);
      writeFileSync(photos[1]!, right);
      const out = join(folder, 'results');
      const bars = ['--bar-across', '150', '--bar-along', '200'];
      const run = await runHeadless('capture', ...photos, '--out', out, '--thickness', '0.8', ...bars);
      expect(run, run.stderr).toMatchObject({ exitCode: 0, stderr: '' });
      expect(readdirSync(out).sort()).toEqual([
        'capture.json',
        'overlay-2.jpg',
        'overlay.jpg',
        'pieces.svg',
        'template.pdf',
      ]);
      const report = JSON.parse(readFileSync(join(out, 'capture.json'), 'utf8')) as JoinedReport;
      expect(report.pieces).toHaveLength(1);
      const [piece] = report.pieces;
      // The photos carry no EXIF: the focal length is found from the cards alone.
      const outline = piece!.outer.map(([x, y]) => ({ x, y }));
      expect(Math.abs(piece!.lengthMm - 1551.4)).toBeLessThan(1.5 * piece!.toleranceMm);
      const { minX, maxX } = boundsOf(outline);
      expect(maxX - minX).toBeGreaterThan(695);
      expect(piece!.holes).toHaveLength(2);
      expect(piece!.photos).toEqual([0, 1]);
      expect(piece!.overlap.lengthMm).toBeGreaterThan(250);
      expect(report.photos.map(({ name }) => name)).toEqual(['left.jpg', 'right.jpg']);
      expect(report.photos[1]!.cards.map(({ id }) => id).sort(inOrder)).toEqual([2, 3, 4, 5]);
      expect(report.sharedCards.map(({ cardId }) => cardId).sort(inOrder)).toEqual([2, 3]);
      expect(run.stdout).toContain('2 photos joined through card');
      expect(run.stdout).toContain(`± ${piece!.toleranceMm.toFixed(1)} mm`);
    });
  });

  it('says in words that photos share no card, and writes nothing', async () => {
    const alone = await jpegOf('right', [4, 5]);
    await inFolder(async (folder) => {
      const photos = [join(folder, 'left.jpg'), join(folder, 'right.jpg')];
      writeFileSync(photos[0]!, left);
      writeFileSync(photos[1]!, alone);
      const run = await runHeadless('capture', ...photos, '--out', join(folder, 'results'));
      expect(run.exitCode).toBe(2);
      expect(run.stderr).toContain('Photo 2 shares no scale card with the rest');
      expect(readdirSync(folder).sort()).toEqual(['left.jpg', 'right.jpg']);
    });
  });
});
