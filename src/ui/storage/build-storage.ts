import { checkBuild, type FileProblemCode } from '../../build/file-format.ts';
import type { Build } from '../../build/types.ts';
import { type Outcome, success } from '../../outcome.ts';
import { BrowserShelf, type Cover, type Shelf } from './shelf.ts';
import { CHANGED_ELSEWHERE, NOT_KEPT, type StorageProblemCode, storageProblem } from './storage-problems.ts';

type Kept<T> = Promise<Outcome<T, StorageProblemCode>>;

/** The builds and photos kept in this browser. Every failure is a sentence for the maker. */
export interface BuildStorage {
  /** Latest change first. */
  list(): Kept<readonly Cover[]>;
  /** From here on this page is the one that saves the build. */
  load(id: string): Promise<Outcome<Build, StorageProblemCode | FileProblemCode>>;
  /** Saves the build, with a small JPEG for the list; without one the former stays. */
  save(build: Build, thumbnail?: ArrayBuffer): Kept<undefined>;
  /** True when this very document is the one that lies in storage. */
  isKept(build: Build): boolean;
  /** Removes the build, and the photos that no other build refers to. */
  remove(id: string): Kept<undefined>;
  keepPhoto(photoId: string, photo: Blob): Kept<undefined>;
  /** Undefined when it is not kept here. */
  photo(photoId: string): Kept<Blob | undefined>;
  /** Removes photos that no build refers to. To be called when the app starts, before anything can be undone. */
  tidy(): Kept<undefined>;
}

export interface StorageSettings {
  readonly shelf?: Shelf;
  readonly now?: () => number;
  /** Tells this page from others that may have the same build open. */
  readonly pageId?: string;
  /** Asks the browser not to clear what is kept when it needs room. */
  readonly askToPersist?: () => Promise<unknown>;
}

/** A photo this young may belong to a build that another tab is about to save. */
const YOUNG_MS = 24 * 3600e3;

export function createBuildStorage(settings: StorageSettings = {}): BuildStorage {
  const {
    shelf = new BrowserShelf(),
    now = Date.now,
    pageId = crypto.randomUUID(),
    askToPersist = askBrowserToPersist,
  } = settings;
  /** Mark of the saving that this page loaded or made last, by build: any other one was made elsewhere. */
  const lastSeen = new Map<string, string>();
  const kept = new Map<string, Build>();
  const thumbnails = new Map<string, ArrayBuffer>();
  let hasAsked = false;
  let savings = 0;
  /** Savings follow each other, so that none takes the one before it for another page's. */
  let lastSaving: Promise<unknown> = Promise.resolve();

  const saveNow = (build: Build, thumbnail: ArrayBuffer | undefined): Kept<undefined> =>
    told(async () => {
      if (!hasAsked) {
        hasAsked = true;
        // Asked for once; a refusal changes nothing for the maker.
        await askToPersist().catch(() => undefined);
      }
      if (thumbnail) thumbnails.set(build.id, thumbnail);
      const savedBy = `${pageId} ${++savings}`;
      const isSaved = await shelf.putBuild(
        { id: build.id, build, savedBy },
        coverOf(build, thumbnails.get(build.id)),
        (present) => !present || present.savedBy === lastSeen.get(build.id),
      );
      if (isSaved) {
        lastSeen.set(build.id, savedBy);
        kept.set(build.id, build);
      }
      return isSaved ? success(undefined) : CHANGED_ELSEWHERE;
    });

  const removeUnused = async (photoIds: readonly string[]) => {
    const used = new Set((await shelf.covers()).flatMap((cover) => cover.photoIds));
    await shelf.removePhotos(photoIds.filter((id) => !used.has(id)));
  };

  return {
    list: () =>
      told(async () => {
        const covers = await shelf.covers();
        return success(covers.toSorted((a, b) => b.changedAt.localeCompare(a.changedAt)));
      }),

    load: (id) =>
      told<Build, StorageProblemCode | FileProblemCode>(async () => {
        const found = await shelf.build(id);
        if (!found) return NOT_KEPT;
        const checked = checkBuild(found.build);
        if (!checked.ok) return checked;
        lastSeen.set(id, found.savedBy);
        kept.set(id, checked.value);
        const { thumbnail } = (await shelf.covers()).find((cover) => cover.id === id) ?? {};
        if (thumbnail) thumbnails.set(id, thumbnail);
        return checked;
      }),

    save(build, thumbnail) {
      const saving = lastSaving.then(() => saveNow(build, thumbnail));
      lastSaving = saving;
      return saving;
    },

    isKept: (build) => kept.get(build.id) === build,

    remove: (id) =>
      told(async () => {
        const cover = (await shelf.covers()).find((candidate) => candidate.id === id);
        await shelf.removeBuild(id);
        kept.delete(id);
        await removeUnused(cover?.photoIds ?? []);
        return success(undefined);
      }),

    keepPhoto: (photoId, photo) =>
      told(async () => {
        const bytes = await photo.arrayBuffer();
        await shelf.putPhoto({ id: photoId, bytes, type: photo.type, keptAt: now() });
        return success(undefined);
      }),

    photo: (photoId) =>
      told(async () => {
        const found = await shelf.photo(photoId);
        return success(found && new Blob([found.bytes], { type: found.type }));
      }),

    tidy: () =>
      told(async () => {
        await removeUnused(await shelf.photosKeptBefore(now() - YOUNG_MS));
        return success(undefined);
      }),
  };
}

/** Whatever the shelf throws, as a value. */
async function told<T, Code extends string>(
  work: () => Promise<Outcome<T, Code>>,
): Promise<Outcome<T, Code | StorageProblemCode>> {
  try {
    return await work();
  } catch (thrown) {
    return storageProblem(thrown);
  }
}

function coverOf(build: Build, thumbnail: ArrayBuffer | undefined): Cover {
  return {
    id: build.id,
    name: build.name,
    changedAt: build.changedAt,
    pieceCount: build.pieces.filter(({ included }) => included).length,
    photoIds: [...new Set(build.captures.map(({ photoId }) => photoId))],
    ...(thumbnail && { thumbnail }),
  };
}

async function askBrowserToPersist(): Promise<unknown> {
  // Absent where the page is not served securely.
  const { storage } = navigator as { storage?: StorageManager };
  return storage?.persist?.();
}
