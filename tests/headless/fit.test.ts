import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, it } from 'vitest';
import { newBuild } from '../../src/build/commands/new-build.ts';
import { addPiece, setWrap } from '../../src/build/commands/pieces.ts';
import { goRoundTogether } from '../../src/build/commands/rounds.ts';
import { changeFoam, changeWearer } from '../../src/build/commands/wearers-and-foams.ts';
import { openBuildFile, packBuildFile } from '../../src/build/file-format.ts';
import { lastRevision } from '../../src/build/lookups.ts';
import type { Build } from '../../src/build/types.ts';
import { radiansOf } from '../../src/fit/coverage.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { runCompare } from '../../src/headless/compare-command.ts';
import { readCommandLine, Unusable } from '../../src/headless/command-line.ts';
import { runFit } from '../../src/headless/fit-command.ts';
import { inFolder, runHeadless } from './run-headless.ts';

const strip = (name: string, longMm: number, wideMm = 40) => ({
  name,
  outer: [
    [0, 0],
    [longMm, 0],
    [longMm, wideMm],
    [0, wideMm],
  ],
  holes: [
    [
      [20, 10],
      [20, 20],
      [30, 20],
      [30, 10],
    ],
  ],
});

/** The command's own reading of its words, so that the tests say what a maker types. */
async function fit(folder: string, file: string, ...words: readonly string[]) {
  const out = join(folder, 'out');
  const request = readCommandLine(['fit', file, '--out', out, ...words]);
  if (request.command !== 'fit') throw new Error('not a fit');
  const printed = await runFit(request);
  const read = (name: string) => readFileSync(join(out, name));
  return { printed, report: JSON.parse(read('fit.json').toString()), read };
}

function captureFile(folder: string, ...pieces: readonly ReturnType<typeof strip>[]): string {
  const file = join(folder, 'capture.json');
  writeFileSync(file, JSON.stringify({ pieces, lines: [] }));
  return file;
}

describe('headless fit', () => {
  it('writes figures and the sized pieces, from a shell', async () => {
    await inFolder(async (folder) => {
      const file = captureFile(folder, strip('Band', 580));
      const out = join(folder, 'sized');
      const words = ['--girth', '580', '--foam', '10', '--ease', '0', '--out', out];
      const run = await runHeadless('fit', file, ...words);
      expect(run).toMatchObject({ exitCode: 0, stderr: '' });
      expect(run.stdout).toContain('wanted 611.4 mm, pattern 580.0 mm');
      const report = JSON.parse(readFileSync(join(out, 'fit.json'), 'utf8'));
      // FACTS section 3: 580 mm round, 10 mm foam.
      expect(report.wantedWrapMm).toBeCloseTo(611.42, 2);
      expect(report.patternWrapMm).toBeCloseTo(580, 4);
      expect(report.scaleAlongWrap).toBeCloseTo(611.4159 / 580, 5);
      // Foam left out costs 31.4 mm (FACTS section 3), and nothing is open afterwards.
      expect(report.openRoundHeadMm.before).toBeCloseTo(31.4, 1);
      expect(report.openRoundHeadMm.after).toBeCloseTo(0, 1);
    });
  });

  // FACTS section 3, closed band of 580 mm.
  it.each([
    ['6', 598.85],
    ['8', 605.13],
    ['10', 611.42],
  ])(
    'in %s mm foam a closed band is %d mm long, in the figures and in the drawing',
    async (foam, wantedMm) => {
      await inFolder(async (folder) => {
        const file = captureFile(folder, strip('Band', 590));
        const { report, read } = await fit(folder, file, '--girth', '580', '--foam', foam);
        expect(report.wantedWrapMm).toBeCloseTo(wantedMm, 2);
        expect(report.closedBandMm).toBeCloseTo(wantedMm, 2);
        // The drawing, measured by another library: two long and two short sides; 40 mm across stay 40 mm.
        const [, data] = /<g id="cut"[^]*?<path d="([^"]+)"/u.exec(read('pieces.svg').toString())!;
        expect(new svgPathProperties(data!).getTotalLength()).toBeCloseTo(2 * (wantedMm + 40), 1);
        expect(report.pieces[0].after.acrossMm).toBeCloseTo(40, 4);
      });
    },
  );

  it('gives outlines that it, fold-check and compare read again, and that then fit', async () => {
    await inFolder(async (folder) => {
      const first = await fit(
        folder,
        captureFile(folder, strip('Band', 300)),
        '--girth',
        '580',
        '--foam',
        '5',
        '--coverage',
        'half',
        '--resize',
        'whole',
      );
      expect(first.report.pieces[0].after.acrossMm).toBeCloseTo(40 * first.report.scaleAlongWrap, 3);
      const sized = join(folder, 'sized.json');
      writeFileSync(sized, first.read('sized.json'));
      const second = await fit(folder, sized, '--girth', '580', '--foam', '5', '--coverage', '180');
      expect(second.report.scaleAlongWrap).toBeCloseTo(1, 5);
      const same = await runCompare({ command: 'compare', old: sized, fresh: sized, turnedOver: false });
      expect(JSON.parse(same).pieces[0].maxMm).toBeLessThan(0.001);
    });
  });

  it('shares the way round among several pieces by their lengths, or takes the ones named', async () => {
    await inFolder(async (folder) => {
      const file = captureFile(folder, strip('Front', 200), strip('Back', 400), strip('Crest', 120, 90));
      const two = ['--piece', 'Front', '--piece', 'Back'];
      const { report } = await fit(folder, file, '--girth', '580', '--foam', '8', ...two);
      expect(report.pieces.map(({ name }: { name: string }) => name)).toEqual(['Front', 'Back']);
      expect(report.pieces[0].coverageDeg).toBeCloseTo(120, 3);
      expect(report.wantedWrapMm).toBeCloseTo(605.13, 2);
      expect(report.pieces[0].scale).toBeCloseTo(report.scaleAlongWrap, 5);
      const refused = fit(folder, file, '--girth', '580', '--foam', '8', '--piece', 'Visor');
      await expect(refused).rejects.toThrow('no piece "Visor"');
    });
  });

  it('counts ease, lining and K, and says when a pattern hardly goes all round', async () => {
    await inFolder(async (folder) => {
      const file = captureFile(folder, strip('Band', 310));
      const words = ['--girth', '580', '--foam', '10', '--ease', '-20', '--under', '3', '--neutral-k', '0.6'];
      const { report, printed } = await fit(folder, file, ...words, '--hold', 'tension');
      expect(report.wantedWrapMm).toBeCloseTo(560 + 2 * Math.PI * (3 + 6), 3);
      const notes = report.notes.join(' ');
      expect(notes).toContain('--coverage half');
      expect(notes).toContain('headache');
      expect(notes).toContain('tighter than foam should sit');
      expect(notes).not.toContain('common practice, not measured');
      expect(printed).toContain('Note: The wrap of 310.0 mm was taken to go all round');
    });
  });
});

const WHEN = '2031-05-06T07:08:09Z';
const stamp = (id: string) => ({ id, when: WHEN });

/** A front and a back that go round together in 6 mm foam, the front covering 200 degrees. */
function savedBuild(folder: string): { file: string; build: Build } {
  let build = newBuild({ stamp: stamp('heron'), name: 'Marsh Heron Warden' });
  build = changeWearer(build, { wearerId: 'wearer', girthMm: 560, headLengthMm: 190 });
  build = changeFoam(build, { foamId: 'foam-5', neutralK: 0.48, doubtK: 0.02 });
  for (const [id, longMm, degrees] of [
    ['front', 330, 200],
    ['back', 240, 160],
  ] as const) {
    const { outer } = strip(id, longMm);
    const path = polylinePath(
      outer.map(([x, y]) => ({ x: x!, y: y! })),
      true,
    );
    build = addPiece(build, {
      stamp: stamp(id),
      name: id,
      lines: [{ id: `${id}-cut`, kind: 'cut', path }],
      why: 'drawn',
    });
    const line = { from: { x: 0, y: 20 }, to: { x: longMm, y: 20 }, along: 'straight' } as const;
    build = setWrap(build, { pieceId: id, wrap: { coverageRad: radiansOf(degrees), easeMm: 6, line } });
  }
  build = goRoundTogether(build, { stamp: stamp('round'), pieceIds: ['front', 'back'] });
  const packed = packBuildFile(build, new Map());
  if (!packed.ok) throw new Error(packed.problem.message);
  const file = join(folder, 'heron.foamwright');
  writeFileSync(file, packed.value);
  return { file, build };
}

describe('headless fit of a saved build', () => {
  it('takes wearer, foam, ease and coverage from it', async () => {
    await inFolder(async (folder) => {
      const { report, printed } = await fit(folder, savedBuild(folder).file);
      expect(report).toMatchObject({ girthMm: 560, easeMm: 6, headLengthMm: 190, neutralK: 0.48 });
      expect(report.coverageFrom).toBe('as kept in the build');
      expect(report.pieces[0].coverageDeg).toBeCloseTo(200, 3);
      expect(report.wantedWrapMm).toBeCloseTo(566 + 2 * Math.PI * 0.48 * 5, 3);
      // K known to 0.02, stated as two sigma: 200 degrees of 5 mm foam.
      expect(report.pieces[0].wantedWrapToleranceMm).toBeCloseTo(2 * radiansOf(200) * 0.02 * 5, 3);
      expect(printed).toContain('95 times in 100');
      expect(report.openRoundHeadMm.after).toBeCloseTo(0, 1);
    });
  });

  it('writes the build with the fitted pieces as revisions, which opens and fits', async () => {
    await inFolder(async (folder) => {
      const { read } = await fit(folder, savedBuild(folder).file, '--girth', '600', '--foam', '10');
      const opened = openBuildFile(new Uint8Array(read('sized.foamwright')), stamp('read'));
      if (!opened.ok) throw new Error(opened.problem.message);
      const [front] = opened.value.build.pieces;
      expect(front!.revisions).toHaveLength(2);
      expect(lastRevision(front!).why).toBe('fitted to 600 mm');
      const { from, to } = front!.wrap!.line!;
      expect(Math.hypot(to.x - from.x, to.y - from.y)).toBeCloseTo(
        (200 / 360) * 606 + radiansOf(200) * 0.48 * 10,
        6,
      );
    });
  });

  it('takes other figures in place of its own', async () => {
    await inFolder(async (folder) => {
      const { file } = savedBuild(folder);
      const words = ['--girth', '580', '--foam', '6', '--ease', '0', '--neutral-k', '0.5'];
      const { report } = await fit(folder, file, ...words);
      expect(report.wantedWrapMm).toBeCloseTo(598.85, 2);
    });
  });
});

describe('what cannot be fitted', () => {
  it('is refused in a sentence, before anything is written', async () => {
    await inFolder(async (folder) => {
      const file = captureFile(folder, strip('Band', 580));
      await expect(fit(folder, file, '--foam', '5')).rejects.toThrow('--girth MM');
      await expect(fit(folder, file, '--girth', '580')).rejects.toThrow('--foam MM');
      await expect(fit(folder, file, '--girth', '310', '--foam', '5')).rejects.toBeInstanceOf(Unusable);
      const tiny = fit(folder, captureFile(folder, strip('Band', 100)), '--girth', '580', '--foam', '5');
      await expect(tiny).rejects.toThrow('another piece');
      expect(() => readFileSync(join(folder, 'out', 'fit.json'))).toThrow();
    });
  });

  it.each([
    [['fit'], 'exactly one'],
    [['fit', 'a'], '--out DIR'],
    [['fit', 'a', '--out', 'b', '--girth', '58'], '--girth must be a number from 300'],
    [['fit', 'a', '--out', 'b', '--coverage', 'most'], '--coverage must be'],
    [['fit', 'a', '--out', 'b', '--coverage', '400'], 'from 1 to 360°'],
    [['fit', 'a', '--out', 'b', '--resize', 'wide'], 'along-wrap'],
    [['fit', 'a', '--out', 'b', '--hold', 'glue'], 'cross-bar'],
    [['fit', 'a', '--out', 'b', '--neutral-k', '2'], 'from 0 to 1, not'],
  ])('%j is told what is wrong', (args, words) => {
    expect(() => readCommandLine(args)).toThrow(words);
  });
});
