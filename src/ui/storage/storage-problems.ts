import { failure, type Outcome } from '../../outcome.ts';

export type StorageProblemCode = 'storage-full' | 'storage-off' | 'changed-elsewhere' | 'not-kept';

type StorageFailure = Outcome<never, StorageProblemCode>;

/** What the browser's refusal means for the maker's work. */
export function storageProblem(thrown: unknown): StorageFailure {
  const name = thrown instanceof Error ? thrown.name : '';
  if (name === 'QuotaExceededError') {
    return failure(
      'storage-full',
      'This browser has no room left, so the last changes are not kept here. Save the build to a file now, then remove builds or photos that you no longer need.',
    );
  }
  return failure(
    'storage-off',
    `This browser does not let the app keep anything (${thrown instanceof Error ? thrown.message || name : String(thrown)}); private windows often do not. You can go on, but save the build to a file before you leave.`,
  );
}

export const CHANGED_ELSEWHERE: StorageFailure = failure(
  'changed-elsewhere',
  "This build has been changed in another tab, so the changes made here are not kept. Load this page again to go on with the other tab's; to keep both, save this one to a file first.",
);

export const NOT_KEPT: StorageFailure = failure(
  'not-kept',
  'This build is no longer kept in this browser. If you saved it to a file, open that.',
);
