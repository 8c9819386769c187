/** The engine in its own thread: everything it is and does comes from the modules beside it. */
import { asError, loadVision } from '../vision/opencv.ts';
import wasmUrl from '../vision/engine/opencv.wasm?url';
import type { Raster } from '../vision/raster.ts';
import { compileFrom } from './compile-vision.ts';
import { decodePhoto } from './decode-photo.ts';
import { createHandlers } from './engine-handlers.ts';
import type { FromWorker, ToWorker } from './protocol.ts';
import { RequestDesk } from './request-desk.ts';
import { VisionLoader } from './vision-loader.ts';

/** The two things used of a worker's global scope, which the compiler takes for a window's. */
interface WorkerScope {
  addEventListener(type: 'message', listener: (event: MessageEvent<ToWorker>) => void): void;
  postMessage(message: FromWorker, transfer: readonly Transferable[]): void;
}
const scope = self as unknown as WorkerScope;

const vision = new VisionLoader(() => loadVision((imports) => compileFrom(wasmUrl, imports)));

function toBitmap({ width, height, data }: Raster): Promise<ImageBitmap> {
  return createImageBitmap(new ImageData(new Uint8ClampedArray(data), width, height));
}

function wordFault(thrown: unknown): string {
  if (vision.loaded) return asError(vision.loaded, thrown).message;
  return thrown instanceof Error ? thrown.message : String(thrown);
}

const desk = new RequestDesk(
  createHandlers({ vision, decode: decodePhoto, toBitmap }),
  (message, transfer) => scope.postMessage(message, transfer),
  wordFault,
);
scope.addEventListener('message', ({ data }) => desk.receive(data));
