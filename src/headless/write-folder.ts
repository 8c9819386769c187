import { mkdir, mkdtemp, rename, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { Unusable } from './command-line.ts';

/**
 * Writes files into a folder, all or none: they are written beside it first and then moved in, so that whoever
 * looks in meanwhile, or after a failure, sees no half of them.
 */
export async function writeFolder(
  folder: string,
  files: Readonly<Record<string, string | Uint8Array>>,
): Promise<void> {
  const target = resolve(folder);
  const parent = dirname(target);
  let draft: string | undefined;
  try {
    await mkdir(parent, { recursive: true });
    draft = await mkdtemp(join(parent, `.${basename(target)}-`));
    for (const [name, content] of Object.entries(files)) await writeFile(join(draft, name), content);
    await mkdir(target, { recursive: true });
    for (const name of Object.keys(files)) await rename(join(draft, name), join(target, name));
  } catch (thrown) {
    const words = thrown instanceof Error ? thrown.message : String(thrown);
    throw new Unusable(`The results cannot be written to "${folder}" (${words}).`);
  } finally {
    if (draft !== undefined) await rm(draft, { recursive: true, force: true });
  }
}
