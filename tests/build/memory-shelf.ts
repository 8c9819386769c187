import type { Cover, KeptBuild, KeptPhoto, Shelf } from '../../src/ui/storage/shelf.ts';

/** A shelf in memory, which copies what crosses it as IndexedDB does. `fullAfter` counts the puts that still fit. */
export class MemoryShelf implements Shelf {
  readonly builds = new Map<string, KeptBuild>();
  readonly photos = new Map<string, KeptPhoto>();
  readonly #covers = new Map<string, Cover>();
  fullAfter = Infinity;

  #store<T extends { readonly id: string }>(into: Map<string, T>, item: T): void {
    if (this.fullAfter-- <= 0) throw new DOMException('no room', 'QuotaExceededError');
    into.set(item.id, structuredClone(item));
  }

  async covers(): Promise<readonly Cover[]> {
    return structuredClone([...this.#covers.values()]);
  }

  async build(id: string): Promise<KeptBuild | undefined> {
    return structuredClone(this.builds.get(id));
  }

  async putBuild(
    kept: KeptBuild,
    cover: Cover,
    mayReplace: (present: KeptBuild | undefined) => boolean,
  ): Promise<boolean> {
    if (!mayReplace(this.builds.get(kept.id))) return false;
    this.#store(this.builds, kept);
    this.#covers.set(cover.id, structuredClone(cover));
    return true;
  }

  async removeBuild(id: string): Promise<void> {
    this.builds.delete(id);
    this.#covers.delete(id);
  }

  async photo(id: string): Promise<KeptPhoto | undefined> {
    return structuredClone(this.photos.get(id));
  }

  async putPhoto(photo: KeptPhoto): Promise<void> {
    this.#store(this.photos, photo);
  }

  async removePhotos(ids: readonly string[]): Promise<void> {
    for (const id of ids) this.photos.delete(id);
  }

  async photosKeptBefore(moment: number): Promise<readonly string[]> {
    return [...this.photos.values()].filter(({ keptAt }) => keptAt < moment).map(({ id }) => id);
  }
}
