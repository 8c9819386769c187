import type { Page } from 'playwright-core';
import { packBuildFile } from '../../src/build/file-format.ts';
import type { Build } from '../../src/build/types.ts';

/** Bytes of a build file without photos. */
export function fileOf(build: Build): Buffer {
  const packed = packBuildFile(build, new Map());
  if (!packed.ok) throw new Error(packed.problem.message);
  return Buffer.from(packed.value);
}

/** Opens a build file as a maker does, from the start screen of a fresh page, and waits for its stages. */
export async function openBuild(page: Page, origin: string, buffer: Buffer): Promise<void> {
  await page.goto(origin);
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'Open a build file' }).click();
  await (await chooser).setFiles({ name: 'heron.foamwright', mimeType: 'application/zip', buffer });
  await page.getByRole('navigation', { name: 'Stages' }).waitFor();
}
