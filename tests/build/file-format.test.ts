import { readFileSync } from 'node:fs';
import { crc32 as nodeCrc32 } from 'node:zlib';
import fc from 'fast-check';
import { strFromU8, strToU8, unzipSync, type Zippable, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { checkBuild, FILE_LIMITS, openBuildFile, packBuildFile } from '../../src/build/file-format.ts';
import type { Build } from '../../src/build/types.ts';
import { crc32, zipDirectory } from '../../src/build/zip-directory.ts';
import { anyCommand, applyRandom } from './random-commands.ts';
import { sampleBuild, stamp } from './sample-build.ts';

const PHOTO = readFileSync(new URL('../../public/demo/brow-band.jpg', import.meta.url));
const photos = new Map([['bytes-1', new Uint8Array(PHOTO)]]);

function packed(build: Build, with_ = photos): Uint8Array {
  const outcome = packBuildFile(build, with_);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

const opened = (bytes: Uint8Array) => openBuildFile(bytes, stamp('opened'));
const codeOf = (bytes: Uint8Array) => {
  const outcome = opened(bytes);
  return outcome.ok ? 'opened' : outcome.problem.code;
};
const zipOf = (document: unknown, more: Zippable = {}) =>
  zipSync({ 'build.json': strToU8(JSON.stringify(document)), ...more });

/** Makes the zip's directory state another unpacked size for an entry. */
function stateSize(zip: Uint8Array, index: number, unpackedBytes: number): void {
  const view = new DataView(zip.buffer);
  let entry = view.getUint32(zip.length - 6, true);
  for (let i = 0; i < index; i++) entry += 46 + view.getUint16(entry + 28, true);
  view.setUint32(entry + 24, unpackedBytes, true);
}

describe('a build file', () => {
  it('gives back the build to the last digit, with its photos byte for byte, under ids of its own', () => {
    const outcome = opened(packed(sampleBuild()));
    if (!outcome.ok) throw new Error(outcome.problem.message);
    const { build, photos: out, missingPhotos } = outcome.value;
    expect(missingPhotos).toEqual([]);
    expect(Buffer.from(out.get(build.captures[0]!.photoId)!).equals(PHOTO)).toBe(true);
    const { photoId } = build.captures[0]!;
    expect([build.id, photoId]).not.toEqual([sampleBuild().id, 'bytes-1']);
    const captures = sampleBuild().captures.map((record) => ({ ...record, photoId }));
    expect(build).toEqual({ ...sampleBuild(), id: 'opened', changedAt: stamp('opened').when, captures });
  });

  it('holds whatever the commands can make', () => {
    fc.assert(
      fc.property(fc.array(anyCommand, { minLength: 60, maxLength: 60 }), (commands) => {
        const build = commands.reduce(applyRandom, sampleBuild());
        const outcome = opened(packed(build, new Map()));
        if (!outcome.ok) throw new Error(outcome.problem.message);
        expect(outcome.value.build.pieces).toEqual(build.pieces);
        expect(outcome.value.build.wearers).toEqual(build.wearers);
        expect(outcome.value.missingPhotos).toHaveLength(build.captures.length);
      }),
      { numRuns: 20 },
    );
  });

  it('is an ordinary zip that other programs unpack', () => {
    const files = unzipSync(packed(sampleBuild()));
    expect(Object.keys(files)).toEqual(['build.json', 'photos/bytes-1']);
    expect(JSON.parse(strFromU8(files['build.json']!))).toEqual(sampleBuild());
  });

  it('opens without a photo that it lacks, and says which', () => {
    const outcome = opened(packed(sampleBuild(), new Map()));
    expect(outcome).toMatchObject({ ok: true, value: { missingPhotos: ['crown.jpg'] } });
  });
});

describe('a file from outside', () => {
  it('never throws, however it is cut off or garbled, and never gives a changed build', () => {
    const small = packed(sampleBuild(), new Map([['bytes-1', new Uint8Array(PHOTO.subarray(0, 300))]]));
    const whole = opened(small);
    const bytes = fc.oneof(
      fc.nat(small.length - 1).map((length) => small.slice(0, length)),
      fc
        .array(fc.tuple(fc.nat(small.length - 1), fc.nat(255)), { minLength: 1, maxLength: 8 })
        .map((changes) => {
          const copy = small.slice();
          for (const [at, value] of changes) copy[at] = value;
          return copy;
        }),
      fc.uint8Array({ maxLength: 400 }),
    );
    fc.assert(
      fc.property(bytes, (garbled) => {
        const outcome = opened(garbled);
        if (!outcome.ok) expect(outcome.problem.message).toMatch(/^[A-Z].+\.$/u);
        else expect(outcome.value.build).toEqual(whole.ok && whole.value.build);
      }),
      { numRuns: 1500 },
    );
  });

  it('is refused before it is unpacked when it would unpack to more than a build may hold', () => {
    const zeros = new Uint8Array(FILE_LIMITS.documentBytes + 1);
    const bomb = zipSync({ 'build.json': zeros });
    expect(bomb.length).toBeLessThan(100_000);
    expect(codeOf(bomb)).toBe('too-large');
    // The same bomb that lies about its size unpacks to what it said, no further.
    stateSize(bomb, 0, 1000);
    expect(codeOf(bomb)).toBe('damaged');
  });

  it('is refused when many photos add up to too much', () => {
    const names = ['a', 'b', 'c', 'd', 'e', 'f'].map((name) => `photos/${name}`);
    const bytes = zipOf(sampleBuild(), Object.fromEntries(names.map((name) => [name, new Uint8Array(9)])));
    names.forEach((_, index) => stateSize(bytes, index + 1, FILE_LIMITS.photoBytes));
    expect(codeOf(bytes)).toBe('too-large');
  });

  it('is refused when it is another kind of file', () => {
    expect(codeOf(new Uint8Array(PHOTO))).toBe('not-a-build');
    expect(codeOf(zipSync({ 'readme.txt': strToU8('hello') }))).toBe('not-a-build');
    expect(codeOf(new Uint8Array())).toBe('not-a-build');
    expect(codeOf(zipOf('a build, honestly'))).toBe('damaged');
  });

  it('of a newer version is refused in words of its own', () => {
    expect(codeOf(zipOf({ ...sampleBuild(), formatVersion: 2 }))).toBe('newer-format');
    expect(codeOf(zipOf({ ...sampleBuild(), formatVersion: 0 }))).toBe('damaged');
  });

  it('is refused when the build in it cannot be: a number missing, a foam that is not there, an open outline', () => {
    const build = sampleBuild();
    const [piece] = build.pieces;
    const broken: unknown[] = [
      { ...build, wearers: [{ id: 'w', name: 'W', girthMm: null }] },
      { ...build, pieces: [{ ...piece, foamId: 'gone' }] },
      { ...build, pieces: [piece, piece] },
      { ...build, pieces: [{ ...piece, revisions: [] }] },
      { ...build, captures: [{ ...build.captures[0], photoId: '../../etc/passwd' }] },
      {
        ...build,
        pieces: [
          {
            ...piece,
            revisions: [
              {
                ...piece!.revisions[0],
                lines: [
                  { id: 'l', kind: 'cut', path: { closed: true, start: { x: 0, y: 0 }, segments: [] } },
                ],
              },
            ],
          },
        ],
      },
    ];
    for (const candidate of broken)
      expect(checkBuild(candidate)).toMatchObject({ problem: { code: 'damaged' } });
    expect(checkBuild(build).ok).toBe(true);
  });

  it('drops what it does not know, so that nothing foreign is carried along', () => {
    const outcome = checkBuild(JSON.parse(JSON.stringify({ ...sampleBuild(), script: '<img onerror=x>' })));
    expect(outcome).toMatchObject({ ok: true });
    expect(outcome.ok && 'script' in outcome.value).toBe(false);
  });
});

describe('packing', () => {
  it('refuses a build that no file could bring back, rather than losing it quietly', () => {
    const build = { ...sampleBuild(), wearers: [{ id: 'w', name: 'W', girthMm: Number.NaN }] };
    expect(packBuildFile(build, photos)).toMatchObject({ ok: false, problem: { code: 'not-writable' } });
  });
});

describe('the zip directory', () => {
  it('says of each entry what fflate packed, and checks with the CRC-32 that Node has', () => {
    const bytes = zipSync({
      'a.txt': strToU8('heron '.repeat(500)),
      'photos/x': [strToU8('raw'), { level: 0 }],
    });
    const entries = zipDirectory(bytes, 10)!;
    const files = unzipSync(bytes);
    expect(entries.map(({ name }) => name)).toEqual(Object.keys(files));
    for (const entry of entries) {
      expect(entry.unpackedBytes).toBe(files[entry.name]!.length);
      expect(entry.crc32).toBe(nodeCrc32(files[entry.name]!));
    }
    expect(zipDirectory(bytes, 1)).toBeUndefined();
  });

  it('has the published check value (CRC-32 of "123456789" is cbf43926)', () => {
    expect(crc32(strToU8('123456789'))).toBe(0xcbf43926);
  });
});
