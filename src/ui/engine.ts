/** The measuring engine of this page, and the photos that are open in it. */
import { type Outcome, success } from '../outcome.ts';
import { createEngine } from '../worker/engine-client.ts';
import type { OpenedPhoto } from '../worker/protocol.ts';

/** Its worker starts with the first request. */
export const engine = createEngine();

type PhotoInEngine = Omit<OpenedPhoto, 'preview'>;

/** Photos open in the engine, oldest first; each costs it only the photo's bytes. */
const open = new Map<string, PhotoInEngine>();
const KEPT_OPEN = 6;

/** Opens a kept photo in the engine, or finds it open already. */
export async function photoInEngine(
  photoId: string,
  blob: Blob,
  signal: AbortSignal,
): Promise<Outcome<PhotoInEngine>> {
  const found = open.get(photoId);
  if (found) return success(found);
  // The screen decodes its own picture (photos.ts): it need not wait while the engine is at work on another.
  const outcome = await engine.openPhoto(blob, { signal, previewPx: 16 });
  if (!outcome.ok) return outcome;
  const { preview, ...photo } = outcome.value;
  preview.close();
  open.set(photoId, photo);
  const [oldestId, oldest] = open.entries().next().value!;
  if (open.size > KEPT_OPEN) {
    open.delete(oldestId);
    engine.closePhoto(oldest.photoKey);
  }
  return success(photo);
}
