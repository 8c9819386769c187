/** Everything that passes through the door between the screen and the engine, as plain data. */
import type { Camera } from '../capture/camera.ts';
import type { JoinedPhotos, PhotoToJoin } from '../capture/join-types.ts';
import type { BankCardReference, Capture, CaptureOptions, PhotoFacts } from '../capture/types.ts';
import type { PrintFinding } from '../capture/verify-printer.ts';
import type { EditOutcome } from '../geometry/edit/edited.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import type { Bounds } from '../geometry/measure.ts';
import type { Path } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { FoldLine } from '../mirror/axis.ts';
import type { PairCheck, PairExcuses } from '../mirror/check-pair.ts';
import type { AxisCandidate } from '../mirror/find-axes.ts';
import type { FoldStretch } from '../mirror/fold-stretches.ts';
import type { Mended, MendMode } from '../mirror/mend.ts';
import type { Outcome } from '../outcome.ts';
import type { CompareOptions, RevisionComparison } from '../refit/compare-revisions.ts';
import type { SeamSlip } from '../refit/seam-slips.ts';
import type { TemplateLayout } from '../template/sheet-types.ts';
import type { TemplateInput } from '../template/template-input.ts';
import type { JoinedTrace } from '../trace/join-traces.ts';
import type { WireEnds } from '../trace/live-wire.ts';
import type { ShapeVerb } from '../trace/shape-lines.ts';
import type { TraceOptions, TraceResult } from '../trace/types.ts';

/** A photo as the worker needs it: the bytes go along by reference, so that a fresh worker can decode them again. */
export interface PhotoRef {
  readonly photoKey: string;
  readonly bytes: Blob;
}

export interface OpenedPhoto {
  readonly photoKey: string;
  /** Upright, after EXIF orientation. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly facts: PhotoFacts;
  /** The photo upright, for looking at; close() it when it is no longer shown. */
  readonly preview: ImageBitmap;
}

/** What to show of the table from straight above (capture/flattened-view.ts). */
export interface FlattenedArea {
  readonly camera: Camera;
  /** Rectangle of the plane, mm. */
  readonly area: Bounds;
  readonly pxPerMm: number;
  /** Height of the plane over the table, mm. */
  readonly zMm: number;
}

/** Two pieces meant as mirror images, and how far they may differ. */
export interface PairToCheck {
  readonly left: readonly PieceLine[];
  readonly right: readonly PieceLine[];
  readonly limitMm: number;
  readonly excused?: PairExcuses;
}

/** A piece to be made alike on both sides of its axis: all of it, or on one stretch of its check. */
export interface ToMend {
  readonly lines: readonly PieceLine[];
  readonly axis: FoldLine;
  readonly mode: MendMode;
  readonly stretch?: FoldStretch;
}

/** A new trace to be laid on an older revision. */
export interface RevisionsToCompare {
  readonly oldLines: readonly PieceLine[];
  readonly newLines: readonly PieceLine[];
  readonly options: CompareOptions;
}

/** A taped print compared with its piece, and the template that it was printed from. */
export interface PrintToCheck {
  readonly oldLines: readonly PieceLine[];
  readonly newLines: readonly PieceLine[];
  readonly comparison: RevisionComparison;
  readonly template: TemplateInput;
  /** Index in the template's pieces. */
  readonly piece: number;
}

/** Compared revisions, and the stretches to be taken over: all of the new edge when left out. */
export interface RefitToAccept {
  readonly oldLines: readonly PieceLine[];
  readonly newLines: readonly PieceLine[];
  readonly comparison: RevisionComparison;
  readonly accepted?: readonly string[];
}

/** What was traced in each of the joined photos, with its capture of `joined`. */
export interface TracesToJoin {
  readonly joined: JoinedPhotos;
  readonly traces: readonly TraceResult[];
  readonly options: TraceOptions;
}

/** An edge to be followed in the photo from click to click, on the plane `zMm` above the table. */
export interface EdgeToFollow {
  readonly camera: Camera;
  readonly zMm: number;
  readonly ends: WireEnds;
}

/** Lines to be changed by a verb that takes too long for the main thread. */
export interface LinesToShape {
  readonly lines: readonly PieceLine[];
  readonly shape: ShapeVerb;
}

/** Argument and result of every request. */
interface EngineCalls {
  openPhoto: { argument: { photo: PhotoRef; previewPx: number }; result: OpenedPhoto };
  closePhoto: { argument: { photoKey: string }; result: undefined };
  capture: { argument: { photo: PhotoRef; options: CaptureOptions }; result: Capture };
  checkPrinter: {
    argument: { photo: PhotoRef; facts: PhotoFacts; bankCard?: BankCardReference };
    result: PrintFinding;
  };
  trace: { argument: { photo: PhotoRef; capture: Capture; options: TraceOptions }; result: TraceResult };
  liveWire: { argument: { photo: PhotoRef; edge: EdgeToFollow }; result: readonly PlanePoint[] };
  /** The verb's own refusal is a result: it is for the editor to tell. */
  shapeLines: { argument: LinesToShape; result: EditOutcome };
  joinPhotos: { argument: { photos: readonly PhotoToJoin[] }; result: JoinedPhotos };
  joinTraces: { argument: TracesToJoin; result: JoinedTrace };
  flattenedView: { argument: { photo: PhotoRef; view: FlattenedArea }; result: ImageBitmap };
  templateLayout: { argument: { input: TemplateInput }; result: TemplateLayout };
  templatePdf: { argument: { input: TemplateInput }; result: Uint8Array<ArrayBuffer> };
  scaleCardPages: { argument: { paper: 'A4' | 'Letter' }; result: Uint8Array<ArrayBuffer> };
  findAxes: { argument: { outline: Path; others: readonly Path[] }; result: readonly AxisCandidate[] };
  mend: { argument: ToMend; result: Mended };
  checkPair: { argument: PairToCheck; result: PairCheck };
  compareRevisions: { argument: RevisionsToCompare; result: RevisionComparison };
  seamSlips: { argument: PrintToCheck; result: readonly SeamSlip[] };
  acceptRefit: { argument: RefitToAccept; result: readonly PieceLine[] };
}

export type CallName = keyof EngineCalls;
export type ArgumentOf<N extends CallName> = EngineCalls[N]['argument'];
export type ResultOf<N extends CallName> = EngineCalls[N]['result'];

/** Problems of the door itself; those of the engine's rooms pass through beside them. */
export type DoorProblemCode =
  /** The maker, or the screen, no longer wants the result. */
  | 'cancelled'
  /** The worker stopped without an answer. */
  | 'engine-lost'
  /** A part of the engine could not be loaded. */
  | 'engine-missing'
  /** The engine failed in a way that it should not. */
  | 'engine-fault'
  | 'photo-closed'
  | 'photo-too-large'
  | 'photo-unreadable';

export type ToWorker =
  | {
      readonly kind: 'request';
      readonly id: number;
      readonly name: CallName;
      readonly argument: ArgumentOf<CallName>;
    }
  | { readonly kind: 'cancel'; readonly id: number };

export type FromWorker =
  | { readonly kind: 'progress'; readonly id: number; readonly step: string; readonly fraction: number }
  | {
      readonly kind: 'answer';
      readonly id: number;
      readonly outcome: Outcome<unknown>;
      /** After a fault the engine's memory is not to be trusted: a fresh worker does the next request. */
      readonly isSpent: boolean;
    };
