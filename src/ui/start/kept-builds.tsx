import { Trash2, Undo2 } from 'lucide-react';
import { useEffect, useMemo } from 'react';
import { Button } from 'react-aria-components';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { Notice } from '../controls/notice.tsx';
import { countWords, whenWords } from '../controls/number-words.ts';
import {
  bringBack,
  finishRemoving,
  LISTING,
  listKeptBuilds,
  OPENING,
  openKeptBuild,
  removeKeptBuild,
  useKeptBuilds,
} from '../kept-builds.ts';
import type { Cover } from '../storage/shelf.ts';

/** The builds kept in this browser, the latest first. */
export function KeptBuilds() {
  const { covers, removing } = useKeptBuilds();
  useEffect(() => {
    void listKeptBuilds();
    return () => void finishRemoving();
  }, []);
  return (
    <section className="start-part" aria-labelledby="kept-builds">
      <h2 id="kept-builds">Your builds</h2>
      <JobStatus jobKey={LISTING} onTryAgain={() => void listKeptBuilds()} />
      <JobStatus jobKey={OPENING} />
      {removing && (
        <Notice tone="plain" isNews>
          <p>“{removing.name}” is removed, with its photos.</p>
          <ActionButton icon={Undo2} onPress={bringBack}>
            Bring it back
          </ActionButton>
        </Notice>
      )}
      {covers?.length === 0 && !removing && (
        <p className="quiet">None yet. What you make is kept in this browser by itself and listed here.</p>
      )}
      <ul className="kept-list">
        {covers?.map((cover) => (
          <li key={cover.id} className="kept-build">
            <KeptBuild cover={cover} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function KeptBuild({ cover }: { readonly cover: Cover }) {
  return (
    <>
      <Button className="kept-open" onPress={() => void openKeptBuild(cover.id)}>
        <CoverPicture bytes={cover.thumbnail} />
        <span className="kept-name">{cover.name}</span>
        <span className="small quiet">
          {countWords(cover.pieceCount, 'piece')}, {whenWords(cover.changedAt)}
        </span>
      </Button>
      <ActionButton
        kind="quiet"
        icon={Trash2}
        aria-label={`Remove ${cover.name}`}
        onPress={() => void removeKeptBuild(cover)}
      >
        Remove
      </ActionButton>
    </>
  );
}

function CoverPicture({ bytes }: { readonly bytes: ArrayBuffer | undefined }) {
  const url = useMemo(
    () => (bytes ? URL.createObjectURL(new Blob([bytes], { type: 'image/jpeg' })) : undefined),
    [bytes],
  );
  useEffect(() => {
    if (url === undefined) return;
    return () => URL.revokeObjectURL(url);
  }, [url]);
  return url === undefined ? (
    <div className="kept-picture" />
  ) : (
    <img className="kept-picture" src={url} alt="" />
  );
}
