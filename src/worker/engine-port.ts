import type { FromWorker, ToWorker } from './protocol.ts';

/** A running worker as the client sees it. */
export interface EnginePort {
  post(message: ToWorker): void;
  /** Ends the worker at once, in the middle of a step too. */
  terminate(): void;
}

export interface PortEvents {
  readonly onMessage: (message: FromWorker) => void;
  /** The worker has stopped, or its messages can no longer be read. */
  readonly onLost: (words: string) => void;
}

export type OpenPort = (events: PortEvents) => EnginePort;

/** Starts the engine in a browser worker. */
export function openWorkerPort({ onMessage, onLost }: PortEvents): EnginePort {
  const worker = new Worker(new URL('./engine.worker.ts', import.meta.url), {
    type: 'module',
    name: 'foamwright-engine',
  });
  worker.addEventListener('message', ({ data }: MessageEvent<FromWorker>) => onMessage(data));
  worker.addEventListener('error', (event) => {
    // Otherwise the browser reports it once more as an uncaught error of the page.
    event.preventDefault();
    onLost(event.message || 'it could not be started');
  });
  worker.addEventListener('messageerror', () => onLost('an answer could not be read'));
  return { post: (message) => worker.postMessage(message, []), terminate: () => worker.terminate() };
}
