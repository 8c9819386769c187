import { createBuildStorage } from './storage/build-storage.ts';

/** This browser's storage. */
export const storage = createBuildStorage();
