import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { packBuildFile } from '../../src/build/file-format.ts';
import { newBuild } from '../../src/build/commands/new-build.ts';
import type { Build } from '../../src/build/types.ts';
import { flattenPath } from '../../src/geometry/measure.ts';
import { movePath } from '../../src/geometry/motion.ts';
import type { Path } from '../../src/geometry/path.ts';
import { runCompare } from '../../src/headless/compare-command.ts';
import { readCommandLine, Unusable } from '../../src/headless/command-line.ts';
import { runFoldCheck } from '../../src/headless/fold-check-command.ts';
import { EYES, VISOR, withBumps } from '../mirror/outlines.ts';
import { ELSEWHERE, pieceLine, trimmed } from '../refit/mock-ups.ts';
import { inFolder, runHeadless } from './run-headless.ts';

const pairs = (path: Path) => flattenPath(path, 0.01).map(({ x, y }) => [x, y]);

function capture(pieces: readonly { name: string; outer: Path; holes?: readonly Path[] }[]): string {
  return JSON.stringify({
    pieces: pieces.map(({ name, outer, holes = [] }) => ({
      name,
      outer: pairs(outer),
      holes: holes.map(pairs),
    })),
    lines: [],
  });
}

describe('headless fold-check', () => {
  it('prints axis, figures and stretches of every piece of a capture', async () => {
    await inFolder(async (folder) => {
      const file = join(folder, 'capture.json');
      const { path, middles } = withBumps(VISOR, [{ near: { x: 100, y: 55 }, heightMm: 3, widthMm: 30 }]);
      writeFileSync(
        file,
        capture([
          { name: 'Even', outer: VISOR, holes: EYES },
          { name: 'Bumped', outer: path },
        ]),
      );
      const run = await runHeadless('fold-check', file, '--limit', '1');
      expect(run).toMatchObject({ exitCode: 0, stderr: '' });
      const { limitMm, pieces } = JSON.parse(run.stdout);
      expect(limitMm).toBe(1);
      expect(pieces.map(({ name }: { name: string }) => name)).toEqual(['Even', 'Bumped']);
      expect(pieces[0]).toMatchObject({ axis: { rule: 'free' }, stretches: [] });
      expect(pieces[0].maxMm).toBeLessThan(0.1);
      expect(pieces[0].axis.angleRad).toBeCloseTo(Math.PI / 2, 3);
      expect(pieces[0].axis.point[0]).toBeCloseTo(0, 1);
      const [stretch] = pieces[1].stretches;
      expect(pieces[1].stretches).toHaveLength(1);
      expect(Math.abs(stretch.peakMm - 3)).toBeLessThan(0.25);
      expect(Math.hypot(stretch.at[0] - middles[0]!.x, stretch.at[1] - middles[0]!.y)).toBeLessThan(5);
      expect(stretch.to).toBeGreaterThan(stretch.from);
      expect(Object.keys(pieces[1]).sort()).toEqual(
        ['name', 'axis', 'maxMm', 'maxAt', 'p95Mm', 'meanMm', 'areaDifferencePct', 'stretches'].sort(),
      );
    });
  });

  it('reads a saved build, with its own axis and limit', async () => {
    await inFolder(async (folder) => {
      const empty = newBuild({ stamp: { id: 'b', when: '2031-05-06T07:08:09Z' } });
      const build: Build = {
        ...empty,
        foldLimitMm: 1.5,
        pieces: [
          {
            id: 'p',
            name: 'Visor',
            foamId: empty.foams[0]!.id,
            count: 1,
            mirroredCount: 0,
            included: true,
            revisions: [
              {
                id: 'r',
                when: '2031-05-06T07:08:09Z',
                why: 'drawn',
                lines: [pieceLine('outline', 'cut', VISOR)],
              },
            ],
            axis: { point: { x: 1, y: 0 }, angleRad: Math.PI / 2, rule: 'by-hand' },
          },
        ],
      };
      const packed = packBuildFile(build, new Map());
      if (!packed.ok) throw new Error(packed.problem.message);
      const file = join(folder, 'heron.foamwright');
      writeFileSync(file, packed.value);
      const { limitMm, pieces } = JSON.parse(await runFoldCheck({ command: 'fold-check', file }));
      expect(limitMm).toBe(1.5);
      expect(pieces[0]).toMatchObject({ name: 'Visor', axis: { point: [1, 0], rule: 'by-hand' } });
      // The axis stands 1 mm aside, so the ends lie 2 mm apart.
      expect(pieces[0].maxMm).toBeCloseTo(2, 1);

      // The right end is uneven on purpose: told by its name, and no longer the largest difference.
      const excused = [
        { id: 'e', name: 'feather', from: { x: 120, y: -36 }, via: { x: 150, y: 0 }, to: { x: 120, y: 45 } },
      ];
      const kept = packBuildFile({ ...build, pieces: [{ ...build.pieces[0]!, excused }] }, new Map());
      if (!kept.ok) throw new Error(kept.problem.message);
      writeFileSync(file, kept.value);
      const again = JSON.parse(await runFoldCheck({ command: 'fold-check', file })).pieces[0];
      expect(again.excused).toHaveLength(1);
      expect(again.excused[0]).toMatchObject({ name: 'feather' });
      expect(Math.abs(again.excused[0].peakMm)).toBeCloseTo(2, 1);
      expect(again.maxMm).toBeLessThan(1.95);
    });
  });

  it('answers what cannot be used with exit code 2 and one sentence', async () => {
    await inFolder(async (folder) => {
      const run = await runHeadless('fold-check', join(folder, 'none.json'));
      expect(run).toMatchObject({ exitCode: 2, stdout: '' });
      expect(run.stderr).toMatch(/^There is no file [^\n]*\.\n$/u);
      const refusals: [string, string][] = [
        ['Buy more foam.', 'neither a capture.json'],
        ['{"pieces": []}', 'neither a capture.json'],
        ['{"pieces": [{"name": "a", "outer": [[0, 0], [1, 1e9], [2, 2]], "holes": []}]}', 'outer'],
        ['{"pieces": [{"name": "a", "outer": [[0, 0], [1, 1], [2, 2]], "holes": []}]}', 'encloses nothing'],
        ['PK and no more', 'not a build'],
      ];
      for (const [text, words] of refusals) {
        const file = join(folder, 'capture.json');
        writeFileSync(file, text);
        const refused = runFoldCheck({ command: 'fold-check', file });
        await expect(refused).rejects.toThrow(words);
        await expect(refused).rejects.toBeInstanceOf(Unusable);
      }
    });
  });
});

describe('headless compare', () => {
  it('prints what was trimmed, and the pieces that only one file has', async () => {
    await inFolder(async (folder) => {
      const change = trimmed(VISOR, 5, 0.12, 0.2);
      const [old, fresh] = [join(folder, 'old.json'), join(folder, 'new.json')];
      writeFileSync(
        old,
        capture([
          { name: 'Piece 1', outer: VISOR },
          { name: 'Piece 2', outer: EYES[0]! },
        ]),
      );
      writeFileSync(fresh, capture([{ name: 'Piece 1', outer: movePath(change.path, ELSEWHERE) }]));
      const printed = JSON.parse(
        await runCompare({ command: 'compare', old, fresh, limitMm: 1, turnedOver: false }),
      );
      expect(printed).toMatchObject({ limitMm: 1, onlyInOld: ['Piece 2'], onlyInNew: [] });
      const [piece] = printed.pieces;
      expect(piece).toMatchObject({ old: 'Piece 1', new: 'Piece 1', turnedOver: false, added: [] });
      expect(piece.trimmed).toHaveLength(1);
      expect(piece.trimmed[0].peakMm).toBeCloseTo(5, 1);
      expect(piece.trimmed[0].areaMm2).toBeCloseTo(-piece.areaChangeMm2, -1);
      expect(piece.ambiguity).toContain('turned over or not');
    });
  });

  it('takes two files, a limit and the other face', () => {
    expect(readCommandLine(['compare', 'a', 'b', '--turned-over', '--limit', '0.5'])).toEqual({
      command: 'compare',
      old: 'a',
      fresh: 'b',
      limitMm: 0.5,
      turnedOver: true,
    });
    expect(() => readCommandLine(['compare', 'a'])).toThrow('the older one first');
    expect(() => readCommandLine(['fold-check', 'a', '--limit', '0'])).toThrow('--limit must be');
  });
});
