import { Images, ImagePlus, Link, Unlink } from 'lucide-react';
import { takeApart } from '../../build/commands/joins.ts';
import { joinOf } from '../../build/join-lookups.ts';
import type { JoinRecord } from '../../build/join-types.ts';
import type { CaptureRecord } from '../../build/types.ts';
import { change, useBuild } from '../bench.ts';
import { chooseFiles } from '../choose-files.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { Measure } from '../controls/measure.tsx';
import { Notice } from '../controls/notice.tsx';
import { mmWords, residualWords, toleranceWords } from '../controls/number-words.ts';
import { pickCapture } from '../desk.ts';
import { PHOTO_TYPES, takeIn } from '../intake.ts';
import { useJob } from '../jobs.ts';
import { JOINING, joinWith } from '../joining.ts';
import { PanelPart } from '../shell/stage-frame.tsx';

/** As many as the engine joins. */
const MOST_PHOTOS = 6;

/** A piece that is longer than one photo: more photos of it, joined through the cards that they share. */
export function JoinPart({ record }: { readonly record: CaptureRecord }) {
  const join = useBuild((build) => joinOf(build, record.id));
  const captures = useBuild((build) => build.captures);
  const isBusy = useJob(JOINING) !== undefined;
  const own = join?.captureIds ?? [record.id];
  const others = captures.filter(({ id, capture }) => capture && !own.includes(id));
  const add = async () => {
    const [added] = await takeIn(
      await chooseFiles({ accept: PHOTO_TYPES, isMultiple: false, usesCamera: false }),
    );
    if (added === undefined) return;
    pickCapture(record.id);
    await joinWith(record.id, added, true);
  };
  return (
    <PanelPart title="Longer than one photo" icon={Images}>
      {join ? (
        <Joined join={join} captures={captures} />
      ) : (
        <p>
          This piece is longer than one photo? Leave everything as it lies, and add another photo that shows
          some of the same cards, best three.
        </p>
      )}
      <JobStatus jobKey={JOINING} />
      {own.length < MOST_PHOTOS && (
        <>
          <ActionButton icon={ImagePlus} isDisabled={isBusy} onPress={() => void add()}>
            {join ? 'Add one more photo of it' : 'Add a photo of the rest'}
          </ActionButton>
          {others.map(({ id, photoName }) => (
            <ActionButton
              key={id}
              kind="quiet"
              icon={Link}
              isDisabled={isBusy}
              onPress={() => void joinWith(record.id, id, false)}
            >
              {`Join with ${photoName}`}
            </ActionButton>
          ))}
        </>
      )}
      {join && (
        <ActionButton
          kind="quiet"
          icon={Unlink}
          onPress={() => change('Take photos apart', (build) => takeApart(build, { joinId: join.id }))}
        >
          Take the photos apart
        </ActionButton>
      )}
    </PanelPart>
  );
}

interface JoinedProps {
  readonly join: JoinRecord;
  readonly captures: readonly CaptureRecord[];
}

const photosWords = (photos: readonly number[]): string =>
  `${photos.length > 1 ? 'photos' : 'photo'} ${photos.map((photo) => photo + 1).join(' and ')}`;

/** What came of joining: the pieces with their tolerance, each photo with its cards, the cards that tie them. */
function Joined({ join, captures }: JoinedProps) {
  return (
    <>
      <p>
        <strong>{join.captureIds.length} photos, one solve.</strong>
      </p>
      {join.pieces.map((piece) => (
        <JoinedPiece key={`${piece.longMm} ${piece.shortMm}`} piece={piece} />
      ))}
      <ol className="stack">
        {join.captureIds.map((captureId, photo) => {
          const record = captures.find(({ id }) => id === captureId);
          const cards = record?.capture?.cards.filter(({ used }) => used).map(({ id }) => id) ?? [];
          return (
            <li key={captureId}>
              Photo {photo + 1}, {record?.photoName}: cards {cards.sort((a, b) => a - b).join(', ')}
            </li>
          );
        })}
      </ol>
      <p>
        Tied by{' '}
        {join.shared.map(({ cardId, gapMm }) => `card ${cardId} (${residualWords(gapMm)} apart)`).join(', ')}.
      </p>
      {join.notes.map((note) => (
        <Notice key={note} tone="look">
          <p>{note}</p>
        </Notice>
      ))}
    </>
  );
}

function JoinedPiece({ piece }: { readonly piece: JoinRecord['pieces'][number] }) {
  const { longMm, toleranceMm, toleranceSamePrinterMm, photos, overlap } = piece;
  return (
    <div className="stack">
      <Measure label={`Long side, from ${photosWords(photos)}`} valueMm={longMm} toleranceMm={toleranceMm} />
      <p className="small quiet">
        Printed by the printer that made the cards it fits to {toleranceWords(toleranceSamePrinterMm)} mm.
        {overlap.lengthMm > 0 &&
          ` Where more than one photo saw the edge (${mmWords(overlap.lengthMm, 0)} mm of it), they agree to ${mmWords(overlap.maxMm, 2)} mm at most and ${mmWords(overlap.meanMm, 2)} mm on average.`}
      </p>
    </div>
  );
}
