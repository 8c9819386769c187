/** Where builds and photos lie in the browser: the verbs that storage needs, and IndexedDB behind them. */
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';

/** What the list of builds shows, kept apart so that listing reads no documents. */
export interface Cover {
  readonly id: string;
  readonly name: string;
  readonly changedAt: string;
  readonly pieceCount: number;
  readonly photoIds: readonly string[];
  /** A small JPEG. */
  readonly thumbnail?: ArrayBuffer;
}

export interface KeptBuild {
  readonly id: string;
  /** A Build, to be checked: another version of the app may have kept it. */
  readonly build: unknown;
  /** A mark of its own for every saving: the page that made it, and which one it was. */
  readonly savedBy: string;
}

export interface KeptPhoto {
  readonly id: string;
  /** Never a Blob: some browsers lose the file behind a stored one. */
  readonly bytes: ArrayBuffer;
  readonly type: string;
  /** Milliseconds since 1970. */
  readonly keptAt: number;
}

export interface Shelf {
  covers(): Promise<readonly Cover[]>;
  build(id: string): Promise<KeptBuild | undefined>;
  /** Puts build and cover together, or neither: false when `mayReplace` says no to what lies there. */
  putBuild(
    kept: KeptBuild,
    cover: Cover,
    mayReplace: (present: KeptBuild | undefined) => boolean,
  ): Promise<boolean>;
  removeBuild(id: string): Promise<void>;
  photo(id: string): Promise<KeptPhoto | undefined>;
  putPhoto(photo: KeptPhoto): Promise<void>;
  removePhotos(ids: readonly string[]): Promise<void>;
  /** Ids of the photos that were kept before this moment. */
  photosKeptBefore(moment: number): Promise<readonly string[]>;
}

interface Schema extends DBSchema {
  builds: { key: string; value: KeptBuild };
  covers: { key: string; value: Cover };
  photos: { key: string; value: KeptPhoto; indexes: { keptAt: number } };
}

/** The browser's own shelf. */
export class BrowserShelf implements Shelf {
  readonly #name: string;
  #opening: Promise<IDBPDatabase<Schema>> | undefined;

  constructor(name = 'foamwright') {
    this.#name = name;
  }

  /** The database, opened when first needed, and again after the browser closed it. */
  #open(): Promise<IDBPDatabase<Schema>> {
    if (this.#opening) return this.#opening;
    const forget = () => (this.#opening = undefined);
    const opening = openDB<Schema>(this.#name, 1, {
      upgrade(database) {
        database.createObjectStore('builds', { keyPath: 'id' });
        database.createObjectStore('covers', { keyPath: 'id' });
        database.createObjectStore('photos', { keyPath: 'id' }).createIndex('keptAt', 'keptAt');
      },
      // A newer version of the app in another tab wants to change the stores: make way.
      blocking: (_, __, event) => {
        (event.target as IDBDatabase).close();
        forget();
      },
      terminated: forget,
    });
    opening.catch(forget);
    this.#opening = opening;
    return opening;
  }

  async covers(): Promise<readonly Cover[]> {
    return (await this.#open()).getAll('covers');
  }

  async build(id: string): Promise<KeptBuild | undefined> {
    return (await this.#open()).get('builds', id);
  }

  async putBuild(
    kept: KeptBuild,
    cover: Cover,
    mayReplace: (present: KeptBuild | undefined) => boolean,
  ): Promise<boolean> {
    const transaction = (await this.#open()).transaction(['builds', 'covers'], 'readwrite');
    const builds = transaction.objectStore('builds');
    const isAllowed = mayReplace(await builds.get(kept.id));
    // Nothing else may be awaited in here: a transaction ends by itself as soon as it has nothing to do.
    if (isAllowed) await Promise.all([builds.put(kept), transaction.objectStore('covers').put(cover)]);
    await transaction.done;
    return isAllowed;
  }

  async removeBuild(id: string): Promise<void> {
    const transaction = (await this.#open()).transaction(['builds', 'covers'], 'readwrite');
    await Promise.all([
      transaction.objectStore('builds').delete(id),
      transaction.objectStore('covers').delete(id),
      transaction.done,
    ]);
  }

  async photo(id: string): Promise<KeptPhoto | undefined> {
    return (await this.#open()).get('photos', id);
  }

  async putPhoto(photo: KeptPhoto): Promise<void> {
    await (await this.#open()).put('photos', photo);
  }

  async removePhotos(ids: readonly string[]): Promise<void> {
    const transaction = (await this.#open()).transaction('photos', 'readwrite');
    await Promise.all([...ids.map((id) => transaction.store.delete(id)), transaction.done]);
  }

  async photosKeptBefore(moment: number): Promise<readonly string[]> {
    // The index gives keys alone: the photos themselves are not read.
    return (await this.#open()).getAllKeysFromIndex('photos', 'keptAt', IDBKeyRange.upperBound(moment, true));
  }
}
