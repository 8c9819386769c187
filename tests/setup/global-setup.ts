import { provideTestPrograms } from './find-chromium.ts';

/** Vitest runs this once, before any test file. */
export default function setup(): void {
  provideTestPrograms();
}
