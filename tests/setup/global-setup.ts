import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { BUILD_FOLDER_VARIABLE } from './build-folder.ts';
import { provideTestPrograms } from './find-chromium.ts';

/** Vitest runs this once, before any test file; what it returns, after the last. */
export default function setup(): () => void {
  provideTestPrograms();
  const folder = mkdtempSync(join(tmpdir(), 'foamwright-test-'));
  process.env[BUILD_FOLDER_VARIABLE] = folder;
  return () => rmSync(folder, { recursive: true, force: true });
}
