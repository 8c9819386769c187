import { describe, expect, it, vi } from 'vitest';
import { renameBuild } from '../../src/build/commands/build-setup.ts';
import { addCapture, removeCapture } from '../../src/build/commands/captures.ts';
import { newBuild } from '../../src/build/commands/new-build.ts';
import { createBuildStore } from '../../src/build/store.ts';
import type { Build } from '../../src/build/types.ts';
import { startAutosave, type SavingState } from '../../src/ui/storage/autosave.ts';
import { type BuildStorage, createBuildStorage } from '../../src/ui/storage/build-storage.ts';
import { MemoryShelf } from './memory-shelf.ts';
import { sampleBuild, stamp } from './sample-build.ts';

const DAY_MS = 24 * 3600e3;

function storageOn(shelf: MemoryShelf, now = () => 0): BuildStorage {
  return createBuildStorage({ shelf, now, askToPersist: () => Promise.resolve() });
}

const named = (build: Build, name: string) => renameBuild(build, { name });
const photo = () => new Blob([new Uint8Array([7, 8, 9])], { type: 'image/jpeg' });
const withPhoto = (id: string, photoId: string) =>
  addCapture(newBuild({ stamp: stamp(id) }), { stamp: stamp('c'), photoId, photoName: 'p' });

describe('builds kept in the browser', () => {
  it('come back as they were saved, listed with what the list shows, latest first', async () => {
    const storage = storageOn(new MemoryShelf());
    const older = { ...newBuild({ stamp: stamp('older') }), changedAt: '2031-01-01T00:00:00Z' };
    await storage.save(older);
    await storage.save(sampleBuild(), new Uint8Array([1, 2]).buffer);
    expect(await storage.load('build')).toEqual({ ok: true, value: sampleBuild() });
    const list = await storage.list();
    expect(list.ok && list.value.map(({ id }) => id)).toEqual(['build', 'older']);
    expect(list.ok && list.value[0]).toMatchObject({ name: 'Marsh Heron Warden', pieceCount: 2 });
  });

  it('keep their picture when they are saved without a new one, from another page too', async () => {
    const shelf = new MemoryShelf();
    await storageOn(shelf).save(sampleBuild(), new Uint8Array([1, 2]).buffer);
    const page = storageOn(shelf);
    await page.load('build');
    await page.save(named(sampleBuild(), 'Heron'));
    const list = await page.list();
    expect(list.ok && new Uint8Array(list.value[0]!.thumbnail!)).toEqual(new Uint8Array([1, 2]));
  });

  it('are never overwritten by a page that has not seen the latest change', async () => {
    const shelf = new MemoryShelf();
    const [first, second] = [storageOn(shelf), storageOn(shelf)];
    await first.save(sampleBuild());
    await second.load('build');
    await first.save(named(sampleBuild(), 'First'));
    expect(await second.save(named(sampleBuild(), 'Second'))).toMatchObject({
      problem: { code: 'changed-elsewhere' },
    });
    const kept = await first.load('build');
    expect(kept.ok && kept.value.name).toBe('First');
    await second.load('build');
    expect((await second.save(named(sampleBuild(), 'Second'))).ok).toBe(true);
    expect((await first.save(named(sampleBuild(), 'Again'))).ok).toBe(false);
  });

  it('saved twice at once by one page are no conflict', async () => {
    const storage = storageOn(new MemoryShelf());
    const saves = ['A', 'B', 'C'].map((name) => storage.save(named(sampleBuild(), name)));
    expect((await Promise.all(saves)).every(({ ok }) => ok)).toBe(true);
    const kept = await storage.load('build');
    expect(kept.ok && kept.value.name).toBe('C');
  });

  it('are refused in words when they are damaged, gone, or there is no room', async () => {
    const shelf = new MemoryShelf();
    const storage = storageOn(shelf);
    expect(await storage.load('build')).toMatchObject({ problem: { code: 'not-kept' } });
    shelf.builds.set('build', { id: 'build', build: { formatVersion: 1 }, savedBy: 'x' });
    expect(await storage.load('build')).toMatchObject({ problem: { code: 'damaged' } });
    shelf.fullAfter = 0;
    const outcome = await storage.save(newBuild({ stamp: stamp('new') }));
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'storage-full' } });
    expect(!outcome.ok && outcome.problem.message).toContain('Save the build to a file');
  });
});

describe('photos kept in the browser', () => {
  it('come back byte for byte, with their type', async () => {
    const storage = storageOn(new MemoryShelf());
    await storage.keepPhoto('p', photo());
    const kept = await storage.photo('p');
    const blob = kept.ok ? kept.value : undefined;
    expect(blob?.type).toBe('image/jpeg');
    expect(new Uint8Array(await blob!.arrayBuffer())).toEqual(new Uint8Array([7, 8, 9]));
    expect(await storage.photo('q')).toEqual({ ok: true, value: undefined });
  });

  it('go with the last build that refers to them', async () => {
    const shelf = new MemoryShelf();
    const storage = storageOn(shelf);
    await storage.keepPhoto('p', photo());
    await storage.save(withPhoto('a', 'p'));
    await storage.save(withPhoto('b', 'p'));
    await storage.remove('a');
    expect([...shelf.photos.keys()]).toEqual(['p']);
    await storage.remove('b');
    expect([...shelf.photos.keys()]).toEqual([]);
  });

  it('that no build refers to are tidied away, but not young ones', async () => {
    const shelf = new MemoryShelf();
    let now = 0;
    const storage = storageOn(shelf, () => now);
    for (const id of ['used', 'dropped']) await storage.keepPhoto(id, photo());
    const both = addCapture(withPhoto('a', 'used'), {
      stamp: stamp('d'),
      photoId: 'dropped',
      photoName: 'p',
    });
    await storage.save(both);
    await storage.save(removeCapture(both, { captureId: 'd' }));
    await storage.tidy();
    expect([...shelf.photos.keys()]).toEqual(['used', 'dropped']);
    now = 2 * DAY_MS;
    await storage.keepPhoto('young', photo());
    await storage.tidy();
    expect([...shelf.photos.keys()]).toEqual(['used', 'young']);
  });
});

describe('saving by itself', () => {
  function watched(build: Build) {
    const shelf = new MemoryShelf();
    const storage = storageOn(shelf);
    const save = vi.spyOn(storage, 'save');
    const store = createBuildStore(build);
    const states: SavingState['kind'][] = [];
    const autosave = startAutosave({ store, storage, restMs: 5, onState: ({ kind }) => states.push(kind) });
    const rename = (name: string) => store.run('Rename', (present) => named(present, name));
    return { shelf, storage, save, store, states, autosave, rename };
  }
  const rest = () => new Promise((resolve) => setTimeout(resolve, 25));

  it('follows every change, taking quick ones together', async () => {
    const { store, save, states, rename, storage, autosave } = watched(sampleBuild());
    await rest();
    for (const name of ['A', 'B', 'C']) rename(name);
    await rest();
    expect(save.mock.calls.map(([build]) => build.name)).toEqual(['Marsh Heron Warden', 'C']);
    store.undo();
    await rest();
    const kept = await storage.load('build');
    expect(kept.ok && kept.value.name).toBe('B');
    expect(states).toEqual(['saving', 'kept', 'saving', 'kept', 'saving', 'kept']);
    await autosave.stop();
  });

  it('saves neither an untouched new build, nor one just opened, nor a drag that is not finished', async () => {
    const { storage, store, save, autosave } = watched(newBuild({ stamp: stamp('empty') }));
    await storage.save(sampleBuild());
    const loaded = await storage.load('build');
    if (!loaded.ok) throw new Error(loaded.problem.message);
    save.mockClear();
    store.open(loaded.value);
    await rest();
    store.beginGesture('Rename');
    store.updateGesture((build) => named(build, 'Half'));
    await rest();
    expect(save).not.toHaveBeenCalled();
    store.commitGesture();
    await rest();
    expect(save).toHaveBeenCalledOnce();
    await autosave.stop();
  });

  it('saves what is left before another build takes its place, and at the end', async () => {
    const { storage, store, rename, autosave } = watched(sampleBuild());
    rename('Left in a hurry');
    store.open(withPhoto('other', 'p'));
    rename('Other');
    await autosave.stop();
    const kept = [await storage.load('build'), await storage.load('other')];
    expect(kept.map((outcome) => outcome.ok && outcome.value.name)).toEqual(['Left in a hurry', 'Other']);
  });

  it('tells when it failed, and tries again with the next change', async () => {
    const { shelf, states, rename, autosave } = watched(sampleBuild());
    await rest();
    shelf.fullAfter = 0;
    rename('No room');
    await rest();
    expect(states.at(-1)).toBe('failed');
    shelf.fullAfter = Infinity;
    rename('Room');
    await rest();
    expect(states.at(-1)).toBe('kept');
    await autosave.stop();
  });
});
