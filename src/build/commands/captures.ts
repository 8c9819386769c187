import { PAPER_THICKNESS_MM } from '../../capture/card.ts';
import { castDraft, produce } from 'immer';
import type { Capture, CaptureOptions, TapeDistance } from '../../capture/types.ts';
import { LIMITS } from '../limits.ts';
import type { Build } from '../types.ts';
import { checked, itemWithId, type Stamp, tidyName } from './arguments.ts';

export interface NewPhoto {
  readonly stamp: Stamp;
  /** Key of the photo's bytes in storage. */
  readonly photoId: string;
  readonly photoName: string;
  readonly widthPx?: number;
  readonly heightPx?: number;
  /** Thickness of the pieces in the photo, mm; paper when left out. */
  readonly thicknessMm?: number;
}

/** Adds a photo; its capture follows when it has been measured. */
export function addCapture(build: Build, photo: NewPhoto): Build {
  return produce(build, ({ captures }) => {
    captures.push({
      id: photo.stamp.id,
      photoId: photo.photoId,
      photoName: tidyName(photo.photoName, `Photo ${captures.length + 1}`),
      ...(photo.widthPx !== undefined && { widthPx: photo.widthPx }),
      ...(photo.heightPx !== undefined && { heightPx: photo.heightPx }),
      thicknessMm: checked('Thickness', photo.thicknessMm ?? PAPER_THICKNESS_MM, LIMITS.pieceThicknessMm),
      tapes: [],
      edgeBias: 0,
    });
  });
}

/**
 * Takes a photo out of the build; the pieces traced from it stay, with the lines they have. Photos that it was joined
 * with count as separate again.
 */
export function removeCapture(build: Build, { captureId }: { readonly captureId: string }): Build {
  return produce(build, (draft) => {
    const record = itemWithId(draft.captures, captureId, 'photo');
    draft.captures.splice(draft.captures.indexOf(record), 1);
    for (const piece of draft.pieces) if (piece.captureId === captureId) delete piece.captureId;
    const joins = draft.joins?.filter(({ captureIds }) => !captureIds.includes(captureId)) ?? [];
    if (joins.length > 0) draft.joins = joins;
    else delete draft.joins;
  });
}

export interface CaptureResult {
  readonly captureId: string;
  readonly capture: Capture;
  /** What it was solved with, so that a later change of thickness, tape or printer is noticed. */
  readonly options: CaptureOptions;
}

/** Keeps what measuring the photo found. */
export function setCapture(build: Build, { captureId, capture, options }: CaptureResult): Build {
  return produce(build, ({ captures }) => {
    const record = itemWithId(captures, captureId, 'photo');
    record.capture = castDraft(capture);
    record.measuredWith = castDraft(options);
  });
}

export interface ThicknessChange {
  readonly captureId: string;
  readonly thicknessMm: number;
  /** One-sigma doubt, mm, when the maker measured the thickness. */
  readonly doubtMm?: number;
}

/** Sets how thick the pieces in a photo are. The capture is out of date until it is solved again. */
export function setThickness(build: Build, { captureId, thicknessMm, doubtMm }: ThicknessChange): Build {
  return produce(build, ({ captures }) => {
    const record = itemWithId(captures, captureId, 'photo');
    record.thicknessMm = checked('Thickness', thicknessMm, LIMITS.pieceThicknessMm);
    if (doubtMm === undefined) delete record.thicknessDoubtMm;
    else record.thicknessDoubtMm = checked('Doubt of the thickness', doubtMm, LIMITS.thicknessDoubtMm);
  });
}

/** Sets how readily faint parts are taken into a piece, -1..1. */
export function setEdgeBias(
  build: Build,
  { captureId, edgeBias }: { readonly captureId: string; readonly edgeBias: number },
): Build {
  return produce(build, ({ captures }) => {
    itemWithId(captures, captureId, 'photo').edgeBias = checked('Edge bias', edgeBias, LIMITS.edgeBias);
  });
}

/** Sets the distances taped between hourglass marks in a photo. */
export function setTapes(
  build: Build,
  { captureId, tapes }: { readonly captureId: string; readonly tapes: readonly TapeDistance[] },
): Build {
  for (const tape of tapes) {
    checked('Taped distance', tape.lengthMm, LIMITS.tapeLengthMm);
    checked('Doubt of the tape', tape.doubtMm, LIMITS.tapeDoubtMm);
  }
  return produce(build, ({ captures }) => {
    itemWithId(captures, captureId, 'photo').tapes = castDraft(tapes);
  });
}
