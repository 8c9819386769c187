import type { JoinedPhotos, PhotoToJoin } from '../capture/join-types.ts';
import type { BankCardReference, Capture, CaptureOptions, PhotoFacts } from '../capture/types.ts';
import type { PrintFinding } from '../capture/verify-printer.ts';
import type { EditOutcome } from '../geometry/edit/edited.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import type { Path } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { PairCheck } from '../mirror/check-pair.ts';
import type { AxisCandidate } from '../mirror/find-axes.ts';
import type { Mended } from '../mirror/mend.ts';
import { failure, type Outcome, type Progress } from '../outcome.ts';
import type { RevisionComparison } from '../refit/compare-revisions.ts';
import type { SeamSlip } from '../refit/seam-slips.ts';
import type { TemplateLayout } from '../template/sheet-types.ts';
import type { TemplateInput } from '../template/template-input.ts';
import type { JoinedTrace } from '../trace/join-traces.ts';
import type { TraceOptions, TraceResult } from '../trace/types.ts';
import { type EnginePort, type OpenPort, openWorkerPort } from './engine-port.ts';
import type {
  ArgumentOf,
  CallName,
  EdgeToFollow,
  FlattenedArea,
  FromWorker,
  LinesToShape,
  OpenedPhoto,
  PairToCheck,
  PrintToCheck,
  RefitToAccept,
  RevisionsToCompare,
  ToMend,
  PhotoRef,
  ResultOf,
  TracesToJoin,
} from './protocol.ts';
import { PHOTO_CLOSED } from './photo-problems.ts';
import { CANCELLED } from './request-desk.ts';

interface CallOptions {
  readonly signal?: AbortSignal;
  readonly progress?: Progress;
}

/** The screen's side of the door: the engine as asynchronous functions whose failures are values. */
export interface Engine {
  /** Decodes a photo and keeps it under a key until `closePhoto`; `previewPx` is the preview's longest side. */
  openPhoto(
    bytes: Blob | ArrayBuffer | Uint8Array<ArrayBuffer>,
    options?: CallOptions & { readonly previewPx?: number },
  ): Promise<Outcome<OpenedPhoto>>;
  closePhoto(photoKey: string): void;
  capture(photoKey: string, options: CaptureOptions, call?: CallOptions): Promise<Outcome<Capture>>;
  /** What a photo of an uncut card page says of its printer. */
  checkPrinter(
    photoKey: string,
    facts: PhotoFacts,
    bankCard: BankCardReference | undefined,
    call?: CallOptions,
  ): Promise<Outcome<PrintFinding>>;
  trace(
    photoKey: string,
    capture: Capture,
    options: TraceOptions,
    call?: CallOptions,
  ): Promise<Outcome<TraceResult>>;
  /** The photographed edge from click to click, as points in mm. */
  liveWire(photoKey: string, edge: EdgeToFollow, call?: CallOptions): Promise<Outcome<readonly PlanePoint[]>>;
  /** A verb of the editor, done off the main thread. */
  shapeLines(toShape: LinesToShape, call?: CallOptions): Promise<Outcome<EditOutcome>>;
  /** Photos measured one by one become one table, through the cards that they share; no photo is opened for it. */
  joinPhotos(photos: readonly PhotoToJoin[], call?: CallOptions): Promise<Outcome<JoinedPhotos>>;
  /** Every piece once, from what was traced in each photo with its joined capture. */
  joinTraces(traces: TracesToJoin, call?: CallOptions): Promise<Outcome<JoinedTrace>>;
  /** The photo seen from straight above, for looking at; close() it when it is no longer shown. */
  flattenedView(photoKey: string, view: FlattenedArea, call?: CallOptions): Promise<Outcome<ImageBitmap>>;
  templateLayout(input: TemplateInput, call?: CallOptions): Promise<Outcome<TemplateLayout>>;
  templatePdf(input: TemplateInput, call?: CallOptions): Promise<Outcome<Uint8Array<ArrayBuffer>>>;
  scaleCardPages(paper: 'A4' | 'Letter', call?: CallOptions): Promise<Outcome<Uint8Array<ArrayBuffer>>>;
  /** Off the main thread, since a large outline takes a good part of a second on a phone. */
  findAxes(
    outline: Path,
    others: readonly Path[],
    call?: CallOptions,
  ): Promise<Outcome<readonly AxisCandidate[]>>;
  mend(toMend: ToMend, call?: CallOptions): Promise<Outcome<Mended>>;
  checkPair(pair: PairToCheck, call?: CallOptions): Promise<Outcome<PairCheck>>;
  compareRevisions(revisions: RevisionsToCompare, call?: CallOptions): Promise<Outcome<RevisionComparison>>;
  seamSlips(print: PrintToCheck, call?: CallOptions): Promise<Outcome<readonly SeamSlip[]>>;
  acceptRefit(refit: RefitToAccept, call?: CallOptions): Promise<Outcome<readonly PieceLine[]>>;
  /** Ends the worker; whatever is under way is answered as cancelled. */
  dispose(): void;
}

export interface EngineSettings {
  readonly openPort?: OpenPort;
  /** How long a cancelled step may run on before its worker is ended, ms. */
  readonly graceMs?: number;
  /** How long a worker at work may say nothing before it is taken for lost, ms. */
  readonly silenceMs?: number;
}

interface Pending {
  readonly name: CallName;
  readonly argument: ArgumentOf<CallName>;
  readonly progress: Progress | undefined;
  readonly answer: (outcome: Outcome<unknown>) => void;
}

const DEFAULT_PREVIEW_PX = 2048;
const DEFAULT_GRACE_MS = 1500;
const DEFAULT_SILENCE_MS = 180_000;

export function createEngine(settings: EngineSettings = {}): Engine {
  const door = new Door(settings);
  const photos = new Map<string, Blob>();
  let opened = 0;

  const withPhoto = <N extends CallName>(
    photoKey: string,
    name: N,
    argumentOf: (photo: PhotoRef) => ArgumentOf<N>,
    call: CallOptions | undefined,
  ): Promise<Outcome<ResultOf<N>>> => {
    const bytes = photos.get(photoKey);
    if (!bytes) return Promise.resolve(PHOTO_CLOSED);
    return door.call(name, argumentOf({ photoKey, bytes }), call);
  };

  return {
    async openPhoto(bytes, { previewPx = DEFAULT_PREVIEW_PX, ...call } = {}) {
      const photoKey = `photo-${++opened}`;
      // A Blob is handed over by reference, and the browser may keep it on disk.
      photos.set(photoKey, bytes instanceof Blob ? bytes : new Blob([bytes]));
      const outcome = await withPhoto(photoKey, 'openPhoto', (photo) => ({ photo, previewPx }), call);
      if (!outcome.ok) photos.delete(photoKey);
      return outcome;
    },
    closePhoto(photoKey) {
      if (photos.delete(photoKey)) door.callIfRunning('closePhoto', { photoKey });
    },
    capture: (photoKey, options, call) =>
      withPhoto(photoKey, 'capture', (photo) => ({ photo, options }), call),
    checkPrinter: (photoKey, facts, bankCard, call) =>
      withPhoto(photoKey, 'checkPrinter', (photo) => ({ photo, facts, ...(bankCard && { bankCard }) }), call),
    trace: (photoKey, capture, options, call) =>
      withPhoto(photoKey, 'trace', (photo) => ({ photo, capture, options }), call),
    liveWire: (photoKey, edge, call) => withPhoto(photoKey, 'liveWire', (photo) => ({ photo, edge }), call),
    shapeLines: (toShape, call) => door.call('shapeLines', toShape, call),
    joinPhotos: (photos, call) => door.call('joinPhotos', { photos }, call),
    joinTraces: (traces, call) => door.call('joinTraces', traces, call),
    flattenedView: (photoKey, view, call) =>
      withPhoto(photoKey, 'flattenedView', (photo) => ({ photo, view }), call),
    templateLayout: (input, call) => door.call('templateLayout', { input }, call),
    templatePdf: (input, call) => door.call('templatePdf', { input }, call),
    scaleCardPages: (paper, call) => door.call('scaleCardPages', { paper }, call),
    findAxes: (outline, others, call) => door.call('findAxes', { outline, others }, call),
    mend: (toMend, call) => door.call('mend', toMend, call),
    checkPair: (pair, call) => door.call('checkPair', pair, call),
    compareRevisions: (revisions, call) => door.call('compareRevisions', revisions, call),
    seamSlips: (print, call) => door.call('seamSlips', print, call),
    acceptRefit: (refit, call) => door.call('acceptRefit', refit, call),
    dispose: () => door.close(CANCELLED),
  };
}

function lost(words: string): Outcome<never> {
  return failure(
    'engine-lost',
    `The measuring engine stopped (${words}), often for want of memory. Your work is kept. Close other tabs or use a smaller photo, then try again.`,
  );
}

/**
 * One worker, started when it is first needed, and every request that waits for its answer.
 *
 * Cancelling: a worker in the middle of a step reads no messages (shared memory, which could carry a flag, needs
 * headers that a plain file host does not send). So the caller is answered at once; the step may end by itself
 * within `graceMs`, which is cheaper than starting anew; a longer one is ended with its worker, and a fresh worker
 * takes over the other requests, whose photos go along by reference and are decoded again.
 */
class Door {
  readonly #openPort: OpenPort;
  readonly #graceMs: number;
  readonly #silenceMs: number;
  readonly #pending = new Map<number, Pending>();
  /** Cancelled requests that the worker has not let go of yet, with the timer that ends its patience. */
  readonly #letGo = new Map<number, ReturnType<typeof setTimeout>>();
  #port: EnginePort | undefined;
  #silence: ReturnType<typeof setTimeout> | undefined;
  #lastId = 0;
  /** Counts the workers, and their ends. */
  #shift = 0;

  constructor({ openPort, graceMs, silenceMs }: EngineSettings) {
    this.#openPort = openPort ?? openWorkerPort;
    this.#graceMs = graceMs ?? DEFAULT_GRACE_MS;
    this.#silenceMs = silenceMs ?? DEFAULT_SILENCE_MS;
  }

  call<N extends CallName>(
    name: N,
    argument: ArgumentOf<N>,
    { signal, progress }: CallOptions = {},
  ): Promise<Outcome<ResultOf<N>>> {
    if (signal?.aborted) return Promise.resolve(CANCELLED);
    const id = ++this.#lastId;
    return new Promise((resolve) => {
      const onAbort = () => this.#cancel(id);
      signal?.addEventListener('abort', onAbort, { once: true });
      const answer = (outcome: Outcome<unknown>) => {
        signal?.removeEventListener('abort', onAbort);
        // The protocol pairs each name with its result; the desk's handlers are typed by it.
        resolve(outcome as Outcome<ResultOf<N>>);
      };
      this.#pending.set(id, { name, argument, progress, answer });
      this.#send(id, name, argument);
    });
  }

  /** For requests that only tidy up: they start no worker and await no answer. */
  callIfRunning<N extends CallName>(name: N, argument: ArgumentOf<N>): void {
    if (this.#port) void this.call(name, argument);
  }

  /** Ends the worker and answers everything that waits. */
  close(outcome: Outcome<never>): void {
    this.#stopWorker();
    const waiting = [...this.#pending.values()];
    this.#pending.clear();
    for (const { answer } of waiting) answer(outcome);
  }

  #send(id: number, name: CallName, argument: ArgumentOf<CallName>): void {
    try {
      this.#port ??= this.#start();
      this.#port.post({ kind: 'request', id, name, argument });
      this.#watch();
    } catch (thrown) {
      this.close(lost(thrown instanceof Error ? thrown.message : String(thrown)));
    }
  }

  #start(): EnginePort {
    // A worker that was ended may still have a message on its way: only the present one is listened to.
    const shift = ++this.#shift;
    return this.#openPort({
      onMessage: (message) => shift === this.#shift && this.#receive(message),
      onLost: (words) => shift === this.#shift && this.close(lost(words)),
    });
  }

  #stopWorker(): void {
    this.#shift++;
    this.#port?.terminate();
    this.#port = undefined;
    clearTimeout(this.#silence);
    for (const timer of this.#letGo.values()) clearTimeout(timer);
    this.#letGo.clear();
  }

  #receive(message: FromWorker): void {
    const pending = this.#pending.get(message.id);
    if (message.kind === 'progress') {
      this.#watch();
      pending?.progress?.(message.step, message.fraction);
      return;
    }
    clearTimeout(this.#letGo.get(message.id));
    this.#letGo.delete(message.id);
    this.#pending.delete(message.id);
    if (message.isSpent) this.#restart();
    this.#watch();
    pending?.answer(message.outcome);
  }

  #cancel(id: number): void {
    const pending = this.#pending.get(id);
    if (!pending) return;
    this.#pending.delete(id);
    this.#port?.post({ kind: 'cancel', id });
    this.#letGo.set(
      id,
      setTimeout(() => this.#restart(), this.#graceMs),
    );
    pending.answer(CANCELLED);
  }

  /** Ends the worker and gives what still waits to a fresh one. */
  #restart(): void {
    this.#stopWorker();
    for (const [id, { name, argument }] of this.#pending) this.#send(id, name, argument);
  }

  /** A worker that dies without a word leaves only silence. */
  #watch(): void {
    clearTimeout(this.#silence);
    if (this.#pending.size === 0) return;
    this.#silence = setTimeout(() => this.close(lost('it no longer answers')), this.#silenceMs);
  }
}
