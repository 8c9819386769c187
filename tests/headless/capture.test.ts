import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { describe, expect, it } from 'vitest';
import { polygonAreaMm2, polylineLengthMm } from '../../src/geometry/measure.ts';
import type { CaptureReport } from '../../src/headless/capture-report.ts';
import { type PracticePhoto, readTruth, type TruePiece } from '../setup/truth.ts';
import { photograph } from '../simulator/photograph.ts';
import { referenceScene } from '../simulator/reference-captures.ts';
import { inFolder, runHeadless } from './run-headless.ts';

const FILES = ['capture.json', 'overlay.jpg', 'pieces.svg', 'template.pdf'];

const inOrder = (a: number, b: number) => a - b;
const points = (pairs: readonly (readonly [number, number])[]) => pairs.map(([x, y]) => ({ x, y }));

// The cards in the photos were printed true; bars said to be 1 % short make everything 1 % smaller.
describe.each<[PracticePhoto, string[], number]>([
  ['brow-band', [], 1],
  ['guards-and-crest', ['--bar-across', '148.5', '--bar-along', '198'], 0.99],
  ['crown-front', [], 1],
])('headless capture of %s', (name, options, scale) => {
  it('writes the four files, true to the pieces that were photographed', async () => {
    const truth = readTruth(name);
    const thickness = truth.pieces[0]!.thicknessMm;
    await inFolder(async (folder) => {
      const out = join(folder, 'new', 'results');
      const args = ['capture', truth.photoFile, '--out', out, '--thickness', String(thickness), ...options];
      const run = await runHeadless(...args);
      expect(run, run.stderr).toMatchObject({ exitCode: 0, stderr: '' });
      expect(readdirSync(out).sort()).toEqual(FILES);
      expect(readdirSync(join(folder, 'new'))).toEqual(['results']);

      const report = JSON.parse(readFileSync(join(out, 'capture.json'), 'utf8')) as CaptureReport;
      expect(report.pieces).toHaveLength(truth.pieces.length);
      // Pieces are paired with their truth by area, which differs from piece to piece or not at all (mirrored pairs).
      const byArea = <T>(items: readonly T[], areaOf: (item: T) => number) =>
        items.toSorted((a, b) => areaOf(a) - areaOf(b));
      const areaOf = ({ outer, holes }: Pick<TruePiece, 'outer' | 'holes'>) =>
        [outer, ...holes].map((line) => Math.abs(polygonAreaMm2(line))).reduce((rest, hole) => rest - hole);
      const measured = byArea(report.pieces, ({ areaMm2 }) => areaMm2);
      byArea(truth.pieces, areaOf).forEach((piece, index) => {
        const found = measured[index]!;
        const length = polylineLengthMm(points(found.outer), true);
        expect(length).toBeCloseTo(found.lengthMm, 1);
        expect(found.holes).toHaveLength(piece.holes.length);
        const trueLength = polylineLengthMm(piece.outer, true);
        expect(Math.abs(found.lengthMm / scale / trueLength - 1)).toBeLessThan(0.001);
        expect(Math.abs(found.areaMm2 / scale ** 2 / areaOf(piece) - 1)).toBeLessThan(0.0015);
        // Two sigma, mostly that of a printer nobody measured.
        expect(found.toleranceMm).toBeGreaterThan(0.1);
        expect(found.toleranceMm).toBeLessThan(6);
        expect(run.stdout).toContain(`± ${found.toleranceMm.toFixed(1)} mm`);
      });
      expect(report.cards.map(({ id }) => id).sort(inOrder)).toEqual(
        truth.cards.map(({ id }) => id).sort(inOrder),
      );
      for (const { residualMm } of report.cards) expect(residualMm).toBeLessThan(0.3);
      expect(Object.keys(report.timings)).toEqual([
        'open',
        'capture',
        'trace',
        'template',
        'overlay',
        'total',
      ]);

      const { format, width, height } = await sharp(join(out, 'overlay.jpg')).metadata();
      expect([format, Math.max(width, height)]).toEqual(['jpeg', 3000]);
      expect(readFileSync(join(out, 'pieces.svg'), 'utf8')).toContain('id="cut"');
      const data = new Uint8Array(readFileSync(join(out, 'template.pdf')));
      const pdf = await getDocument({ data, verbosity: 0 }).promise;
      expect(pdf.numPages).toBeGreaterThan(1);
    });
  });
});

it('tells beside a lone bank card what at hand would make it surer', async () => {
  const { scene } = referenceScene(7, { kind: 'bank-card', megapixels: 3, region: 'A4', tiltDeg: 8 });
  await inFolder(async (folder) => {
    const photo = join(folder, 'bank-card.jpg');
    const { width, height, data } = await photograph(scene);
    await sharp(data, { raw: { width, height, channels: 4 } })
      .removeAlpha()
      .withExif({ IFD2: { FocalLengthIn35mmFilm: String(Math.round(scene.facts.focalLength35Mm ?? 26)) } })
      .jpeg({ quality: 92 })
      .toFile(photo);
    const run = await runHeadless('capture', photo, '--out', join(folder, 'out'), '--reference', 'bank-card');
    expect(run, run.stderr).toMatchObject({ exitCode: 0, stderr: '' });
    const { surer } = JSON.parse(readFileSync(join(folder, 'out', 'capture.json'), 'utf8')) as CaptureReport;
    expect(surer!.length).toBeGreaterThan(0);
    expect(surer!.join()).toMatch(/ beside the bank card, would bring ± [\d.]+ mm down to ± [\d.]+ mm\./u);
    for (const sentence of surer!) expect(run.stdout).toContain(`Surer: ${sentence}`);
  });
});

describe('headless capture of what cannot be used', () => {
  async function refusal(photo: string, folder: string): Promise<string> {
    const out = join(folder, 'results');
    const run = await runHeadless('capture', photo, '--out', out);
    expect(run).toMatchObject({ exitCode: 2, stdout: '' });
    // One sentence, on one line, and nothing written.
    expect(run.stderr).toMatch(/^\p{Lu}[^\n]*\.\n$/u);
    expect(run.stderr).not.toMatch(/[.!?] \p{Lu}\p{Ll}/u);
    expect(readdirSync(folder)).not.toContain('results');
    expect(readdirSync(folder).filter((file) => file.startsWith('.'))).toEqual([]);
    return run.stderr;
  }

  it('says that a photo is not there', async () => {
    await inFolder(async (folder) => {
      expect(await refusal(join(folder, 'none.jpg'), folder)).toContain('There is no photo');
    });
  });

  it('says that a text file is no photo, and that half a photo is damaged', async () => {
    await inFolder(async (folder) => {
      const text = join(folder, 'notes.jpg');
      writeFileSync(text, 'Buy more foam. '.repeat(9));
      expect(await refusal(text, folder)).toContain('not a photo');
      const half = join(folder, 'half.jpg');
      writeFileSync(half, readFileSync(readTruth('brow-band').photoFile).subarray(0, 400_000));
      expect(await refusal(half, folder)).toContain('damaged');
    });
  });

  it('says that no card lies in the photo, and that a picture is too coarse', async () => {
    await inFolder(async (folder) => {
      const bare = join(folder, 'bare.png');
      const create = { width: 1600, height: 1200, channels: 3, background: '#a08060' } as const;
      await sharp({ create }).png().toFile(bare);
      expect(await refusal(bare, folder)).toContain('No scale card');
      const tiny = join(folder, 'tiny.png');
      await sharp({ create: { ...create, width: 60, height: 40 } })
        .png()
        .toFile(tiny);
      expect(await refusal(tiny, folder)).toContain('too coarse');
    });
  });

  it('leaves what lay in the folder alone when it fails', async () => {
    await inFolder(async (folder) => {
      const out = join(folder, 'kept');
      mkdirSync(out);
      writeFileSync(join(out, 'capture.json'), 'old');
      const run = await runHeadless('capture', join(folder, 'none.jpg'), '--out', out);
      expect(run.exitCode).toBe(2);
      expect(readFileSync(join(out, 'capture.json'), 'utf8')).toBe('old');
    });
  });

  it('answers a slip in the options with exit code 2', async () => {
    const run = await runHeadless('capture', 'photo.jpg', '--out', 'x', '--thickness', '-3');
    expect(run).toMatchObject({ exitCode: 2, stdout: '' });
    expect(run.stderr).toContain('--thickness must be a number');
  });
});

describe('headless cards', () => {
  it('writes both pages of scale cards', async () => {
    await inFolder(async (folder) => {
      const file = join(folder, 'cards.pdf');
      const run = await runHeadless('cards', '--paper', 'Letter', '--out', file);
      expect(run).toMatchObject({ exitCode: 0, stderr: '' });
      const pdf = await getDocument({ data: new Uint8Array(readFileSync(file)), verbosity: 0 }).promise;
      expect(pdf.numPages).toBe(2);
      // 8.5 x 11 in (ANSI/ASME Y14.1 A) in points.
      const { view } = await pdf.getPage(1);
      expect(view.map((side) => Math.round(side * 1000) / 1000)).toEqual([0, 0, 612, 792]);
    });
  });

  it('says that the file cannot be written', async () => {
    const run = await runHeadless('cards', '--out', '/no/such/folder/cards.pdf');
    expect(run).toMatchObject({ exitCode: 2 });
    expect(run.stderr).toContain('cannot be written');
  });
});
