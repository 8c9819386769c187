import type { ReactNode } from 'react';
import type { CaptureRecord } from '../../build/types.ts';
import { referenceName } from '../../capture/reference-warnings.ts';
import type { Capture } from '../../capture/types.ts';
import type { ImagePoint } from '../../geometry/point.ts';
import { Notice } from '../controls/notice.tsx';
import { mmWords } from '../controls/number-words.ts';
import { usePicture } from '../photos.ts';
import { BareTable } from '../shell/stage-frame.tsx';
import { PhotographingDrawing } from '../drawings/photographing.tsx';
import { Photo } from '../worktable/photo-shapes.tsx';
import { PhotoTable } from '../worktable/worktable.tsx';
import { CardsInPhoto, UnreadInPhoto, MarksToPick, SpanInPhoto } from './capture-photo.tsx';
import { isPointingDone, type Pointing } from './pointing.ts';
import { PointedPlaces, ReferencesInPhoto } from './references-in-photo.tsx';
import { marksInPhoto, nearestMark, spanBetween } from './marks.ts';
import type { TapePick } from './tape-steps.tsx';

interface CaptureTableProps {
  readonly record: CaptureRecord;
  /** What was found in the photo, as soon as it is. */
  readonly capture: Capture | undefined;
  readonly pointedId: number | undefined;
  readonly pick: TapePick | undefined;
  readonly onPick: (pick: TapePick) => void;
  /** Corners or points that are being pointed out. */
  readonly pointing: Pointing | undefined;
  readonly onPointing: (pointing: Pointing) => void;
  /** Drawn over the photo, under its cards. */
  readonly underCards?: ReactNode;
  /** Over the table, e.g. a choice of view. */
  readonly overlay?: ReactNode;
}

function foundWords({ cards, references = [] }: Capture): string {
  const others = references.map((found) => referenceName(found));
  return [
    ...(cards.length > 0 || others.length === 0 ? [`${cards.length} scale cards`] : []),
    ...others,
  ].join(' and ');
}

/** A tap this share of the photo's long side away from a mark still means it. */
const REACH = 0.03;

/** The photo with what was found in it; marks can be picked on it. */
export function CaptureTable({
  record,
  capture,
  pointedId,
  pick,
  onPick,
  pointing,
  onPointing,
  underCards,
  overlay,
}: CaptureTableProps) {
  const picture = usePicture(record.photoId);
  const { tapes } = record;
  const size =
    picture.kind === 'here'
      ? picture.picture
      : { widthPx: record.widthPx ?? 4, heightPx: record.heightPx ?? 3 };
  const isPointing = pointing !== undefined && !isPointingDone(pointing);
  const isPicking = capture !== undefined && pick !== undefined && !(pick.from && pick.to);
  const onTap = (at: ImagePoint) => {
    if (isPointing) {
      const inside = at.u >= 0 && at.v >= 0 && at.u <= size.widthPx - 1 && at.v <= size.heightPx - 1;
      if (inside) onPointing({ ...pointing, placesPx: [...pointing.placesPx, at] });
      return;
    }
    if (!isPicking) return;
    const mark = nearestMark(marksInPhoto(capture), at, REACH * Math.max(size.widthPx, size.heightPx));
    if (!mark) return;
    if (!pick.from) onPick({ from: mark });
    else if (mark.cardId !== pick.from.cardId || mark.mark !== pick.from.mark) onPick({ ...pick, to: mark });
  };
  if (picture.kind === 'missing') {
    return (
      <BareTable drawing={<PhotographingDrawing />} title="The photo is not kept in this browser">
        <Notice tone="look">
          <p>
            What was measured and traced from it is all here. To measure it anew, add the photo once more from
            where you keep it.
          </p>
        </Notice>
      </BareTable>
    );
  }
  const picked = pick?.from && pick.to && capture && spanBetween(capture, pick.from, pick.to);
  return (
    <PhotoTable
      label={`The photo ${record.photoName}${capture ? ` with ${foundWords(capture)} found` : ''}`}
      fitKey={record.id}
      widthPx={size.widthPx}
      heightPx={size.heightPx}
      isPicking={isPicking || isPointing}
      overlay={overlay}
      onTap={onTap}
    >
      {picture.kind === 'here' && <Photo picture={picture.picture} />}
      {underCards}
      {capture && <UnreadInPhoto capture={capture} />}
      {capture && <CardsInPhoto capture={capture} pointedId={pointedId} />}
      {capture &&
        tapes.map((tape) => {
          const span = spanBetween(capture, tape.from, tape.to);
          if (!span) return null;
          const key = `${tape.from.cardId} ${tape.from.mark} ${tape.to.cardId} ${tape.to.mark}`;
          return (
            <SpanInPhoto
              key={key}
              capture={capture}
              span={span}
              words={`tape ${mmWords(tape.lengthMm)} mm`}
            />
          );
        })}
      {picked && (
        <SpanInPhoto capture={capture} span={picked} words={`${mmWords(picked.lengthMm)} mm by the photo`} />
      )}
      {capture && <ReferencesInPhoto capture={capture} />}
      {pointing && <PointedPlaces pointing={pointing} />}
      {isPicking && !isPointing && <MarksToPick capture={capture} picked={pick.from} />}
    </PhotoTable>
  );
}
