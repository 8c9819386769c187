import { describe, expect, it } from 'vitest';
import { addCapture, setCapture } from '../../src/build/commands/captures.ts';
import { setReferences } from '../../src/build/commands/references.ts';
import { newBuild } from '../../src/build/commands/new-build.ts';
import { captureOptionsFor, isCaptureCurrent } from '../../src/build/lookups.ts';
import { buildSchema } from '../../src/build/schema.ts';
import type { Reference } from '../../src/capture/types.ts';
import { sampleCapture, stamp } from './sample-build.ts';

const corners = [
  { u: 10, v: 10 },
  { u: 90, v: 12 },
  { u: 91, v: 60 },
  { u: 11, v: 61 },
];
const ALL: readonly Reference[] = [
  { kind: 'cards' },
  { kind: 'bank-card', nearPx: corners },
  { kind: 'sheet', sheet: 'A4', measuredMm: { shortMm: 209.6, longMm: 297.3 } },
  { kind: 'two-points', fromPx: { u: 5, v: 5 }, toPx: { u: 300, v: 9 }, distanceMm: 240 },
];

function withPhoto() {
  const build = newBuild({ stamp: stamp('build') });
  return addCapture(build, { stamp: stamp('photo'), photoId: 'p', photoName: 'mock-up.jpg' });
}

describe('what a photo is measured by', () => {
  it('goes into the options of its capture, and the file reads it back', () => {
    const build = setReferences(withPhoto(), { captureId: 'photo', references: ALL });
    expect(captureOptionsFor(build, build.captures[0]!, {}).references).toEqual(ALL);
    expect(buildSchema.parse(JSON.parse(JSON.stringify(build))).captures[0]!.references).toEqual(ALL);
  });

  it('puts a capture out of date, until it is solved anew', () => {
    let build = withPhoto();
    const options = captureOptionsFor(build, build.captures[0]!, {});
    build = setCapture(build, { captureId: 'photo', capture: sampleCapture(), options });
    expect(isCaptureCurrent(build, build.captures[0]!)).toBe(true);
    for (const references of [ALL, ALL.slice(1), ALL.slice(0, 2)]) {
      const changed = setReferences(build, { captureId: 'photo', references });
      expect(isCaptureCurrent(changed, changed.captures[0]!)).toBe(false);
    }
    const back = setReferences(build, { captureId: 'photo', references: [{ kind: 'cards' }] });
    expect(isCaptureCurrent(back, back.captures[0]!)).toBe(true);
    expect(back.captures[0]).not.toHaveProperty('references');
  });

  it('refuses none at all, and figures outside the limits', () => {
    const put = (references: readonly Reference[]) => () =>
      setReferences(withPhoto(), { captureId: 'photo', references });
    expect(put([])).toThrow(RangeError);
    expect(put([{ ...ALL[3], distanceMm: 0 } as Reference])).toThrow(RangeError);
    expect(put([{ kind: 'sheet', sheet: 'A4', measuredMm: { shortMm: 20, longMm: 297 } }])).toThrow(
      RangeError,
    );
  });
});
