import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { readTruth } from '../setup/truth.ts';
import { readPictureHeader } from '../../src/worker/picture-header.ts';
import { refusalOf, unreadable } from '../../src/worker/photo-problems.ts';

const canvas = () => sharp({ create: { width: 321, height: 123, channels: 3, background: '#888' } });
const heic = new Uint8Array(40);
heic.set(new TextEncoder().encode('\0\0\0\x18ftypheic'));

describe('the header of a picture', () => {
  it('tells its kind and size as sharp (libvips) wrote it', async () => {
    const files = {
      jpeg: await canvas()
        .jpeg()
        .withExif({ IFD0: { Make: 'Lantern' } })
        .toBuffer(),
      progressive: await canvas().jpeg({ progressive: true }).toBuffer(),
      png: await canvas().png().toBuffer(),
      webp: await canvas().webp().toBuffer(),
      lossless: await canvas().webp({ lossless: true }).toBuffer(),
      extended: await canvas()
        .ensureAlpha(0.5)
        .webp()
        .withExif({ IFD0: { Make: 'Lantern' } })
        .toBuffer(),
    };
    const kinds = { progressive: 'jpeg', lossless: 'webp', extended: 'webp' } as Record<string, string>;
    for (const [name, bytes] of Object.entries(files)) {
      const header = readPictureHeader(new Uint8Array(bytes));
      expect(header, name).toEqual({ kind: kinds[name] ?? name, widthPx: 321, heightPx: 123 });
    }
  });

  it('tells the size of a phone photo as its truth has it', () => {
    const { photoFile, camera } = readTruth('brow-band');
    const bytes = readFileSync(photoFile);
    const { widthPx, heightPx } = readPictureHeader(new Uint8Array(bytes));
    expect([widthPx, heightPx]).toEqual([camera.widthPx, camera.heightPx]);
  });

  it('is calm about cut-off and foreign bytes', () => {
    expect(readPictureHeader(new Uint8Array())).toEqual({ kind: 'other' });
    expect(readPictureHeader(new Uint8Array(1000).fill(0xff))).toEqual({ kind: 'other' });
    expect(readPictureHeader(heic)).toEqual({ kind: 'heic' });
    const cut = readFileSync(new URL('../../public/demo/brow-band.jpg', import.meta.url)).subarray(0, 60);
    expect(readPictureHeader(new Uint8Array(cut)).kind).toBe('jpeg');
  });
});

describe('a photo that cannot be taken', () => {
  it('is refused in words before it is decoded: over 60 MB, over 60 megapixels', () => {
    expect(refusalOf(61e6, { kind: 'jpeg' })).toMatchObject({ problem: { code: 'photo-too-large' } });
    const header = { kind: 'png', widthPx: 10_000, heightPx: 10_000 } as const;
    expect(refusalOf(1000, header)?.problem.message).toContain('100 megapixels');
    // 50 MP of a common phone sensor: 8160 x 6144.
    expect(refusalOf(20e6, { kind: 'jpeg', widthPx: 8160, heightPx: 6144 })).toBeUndefined();
  });

  it('says what to do, by its kind', () => {
    expect(unreadable('heic').problem.message).toContain('JPEG');
    expect(unreadable('other').problem.message).toContain('not a photo');
    expect(unreadable('jpeg').problem.message).toContain('damaged');
  });
});
