import { Check, LoaderCircle, TriangleAlert } from 'lucide-react';
import { saveBuildToFile } from '../build-files.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Notice } from '../controls/notice.tsx';
import { useSaving } from '../keeping.ts';

/** Whether the last change is kept in this browser, in a word or two. */
export function KeptWords() {
  const { kind } = useSaving();
  return (
    <span className="kept" role="status">
      {kind === 'kept' && (
        <span className="hide-on-phone kept">
          <Check size={16} aria-hidden="true" />
          kept in this browser
        </span>
      )}
      {kind === 'saving' && (
        <span className="hide-on-phone kept">
          <LoaderCircle size={16} aria-hidden="true" />
          keeping…
        </span>
      )}
      {kind === 'failed' && (
        <>
          <TriangleAlert size={16} aria-hidden="true" />
          not kept
        </>
      )}
    </span>
  );
}

/** What stands in the way of keeping, with the way out. */
export function KeepingTrouble() {
  const saving = useSaving();
  if (saving.kind !== 'failed') return null;
  return (
    <Notice tone="wrong" isNews>
      <p>{saving.problem.message}</p>
      <ActionButton onPress={() => void saveBuildToFile()}>Save the build to a file</ActionButton>
    </Notice>
  );
}
