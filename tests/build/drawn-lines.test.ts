import { expect, test } from 'vitest';
import {
  allowRefusedGaps,
  changeDrawnOptions,
  keepLooseLines,
  refuseGap,
  refuseLooseLine,
  traceDrawnLines,
} from '../../src/build/commands/drawn-lines.ts';
import { buildSchema } from '../../src/build/schema.ts';
import { createBuildStore } from '../../src/build/store.ts';
import { sampleBuild } from './sample-build.ts';

const captureId = sampleBuild().captures[0]!.id;

test('tracing drawn lines, its settings and refused gaps are steps that undo takes back, and files keep them', () => {
  const store = createBuildStore(sampleBuild());
  const before = store.getState().build.captures;
  store.run('Trace drawn lines', (build) => traceDrawnLines(build, { captureId, isDrawn: true }));
  store.run('Gap', (build) =>
    changeDrawnOptions(build, { captureId, changes: { largestGapMm: 2, strokeEdge: 'outer' } }),
  );
  store.run('Open', (build) => refuseGap(build, { captureId, middlePx: { u: 3, v: 4 } }));
  const { build } = store.getState();
  expect(build.captures[0]!.drawn).toMatchObject({
    largestGapMm: 2,
    strokeEdge: 'outer',
    refusedGaps: [{ u: 3, v: 4 }],
  });
  expect(buildSchema.parse(build).captures[0]!.drawn).toEqual(build.captures[0]!.drawn);
  expect(allowRefusedGaps(build, { captureId }).captures[0]!.drawn!.refusedGaps).toEqual([]);
  for (let i = 0; i < 3; i++) store.undo();
  expect(store.getState().build.captures).toEqual(before);
});

test('keeping lines outside the outlines, and saying no to one, are kept in files and taken back by undo', () => {
  const store = createBuildStore(traceDrawnLines(sampleBuild(), { captureId, isDrawn: true }));
  const before = store.getState().build;
  store.run('Keep', (build) => keepLooseLines(build, { captureId, areKept: true }));
  store.run('No', (build) => refuseLooseLine(build, { captureId, middlePx: { u: 5, v: 6 } }));
  const { build } = store.getState();
  expect(build.captures[0]!.drawn!.keptLoose).toEqual({ refused: [{ u: 5, v: 6 }] });
  expect(buildSchema.parse(build).captures[0]!.drawn).toEqual(build.captures[0]!.drawn);
  const out = keepLooseLines(build, { captureId, areKept: false });
  expect(out.captures[0]!.drawn!.keptLoose).toBeUndefined();
  store.undo();
  store.undo();
  expect(store.getState().build).toEqual(before);
});

test('settings outside their limits, and settings of a photo of cut pieces, are programming errors', () => {
  const drawn = traceDrawnLines(sampleBuild(), { captureId, isDrawn: true });
  expect(() => changeDrawnOptions(drawn, { captureId, changes: { largestGapMm: 99 } })).toThrow(RangeError);
  expect(() => refuseGap(sampleBuild(), { captureId, middlePx: { u: 0, v: 0 } })).toThrow('No drawn lines');
});
