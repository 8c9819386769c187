import type { Build } from '../types.ts';
import type { Stamp } from './arguments.ts';

export interface FreshBuild {
  readonly build: Build;
  /** The new photo id by the former one. */
  readonly photoIds: ReadonlyMap<string, string>;
}

/** The same build under an id of its own, its photos too; what it holds inside keeps its ids. */
export function withFreshIds(build: Build, stamp: Stamp): FreshBuild {
  const photoIds = new Map<string, string>();
  for (const { photoId } of build.captures) {
    if (!photoIds.has(photoId)) photoIds.set(photoId, `${stamp.id}-photo-${photoIds.size + 1}`);
  }
  const captures = build.captures.map((record) => ({ ...record, photoId: photoIds.get(record.photoId)! }));
  return { build: { ...build, id: stamp.id, changedAt: stamp.when, captures }, photoIds };
}
