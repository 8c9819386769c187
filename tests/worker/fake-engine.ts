import type { EnginePort, OpenPort } from '../../src/worker/engine-port.ts';
import type { FromWorker, ToWorker } from '../../src/worker/protocol.ts';
import { type Handlers, RequestDesk } from '../../src/worker/request-desk.ts';
import { failure } from '../../src/outcome.ts';

const unused = () => failure('unused', 'This test does not call that.');

/** A full set of handlers, of which a test brings the ones that it calls. */
function handlersWith(some: Partial<Handlers>): Handlers {
  return {
    openPhoto: unused,
    closePhoto: unused,
    capture: unused,
    trace: unused,
    flattenedView: unused,
    templateLayout: unused,
    templatePdf: unused,
    scaleCardPages: unused,
    findAxes: unused,
    mend: unused,
    checkPair: unused,
    compareRevisions: unused,
    acceptRefit: unused,
    seamSlips: unused,
    checkPrinter: unused,
    joinPhotos: unused,
    shapeLines: unused,
    joinTraces: unused,
    liveWire: unused,
    ...some,
  };
}

/** A worker stood in for by a desk at the other end of a MessageChannel, so that messages really cross a door. */
class ChannelWorker implements EnginePort {
  readonly #channel = new MessageChannel();
  isEnded = false;

  constructor(handlers: Handlers, onMessage: (message: FromWorker) => void) {
    const { port1, port2 } = this.#channel;
    const desk = new RequestDesk(handlers, (message, transfer) => port2.postMessage(message, [...transfer]));
    port2.addEventListener('message', ({ data }: MessageEvent<ToWorker>) => desk.receive(data));
    port1.addEventListener('message', ({ data }: MessageEvent<FromWorker>) => onMessage(data));
    port1.start();
    port2.start();
  }

  post(message: ToWorker): void {
    this.#channel.port1.postMessage(message, []);
  }

  terminate(): void {
    this.isEnded = true;
    this.#channel.port1.close();
    this.#channel.port2.close();
  }
}

export interface Workshop {
  readonly openPort: OpenPort;
  /** Every worker started so far, in order. */
  readonly workers: readonly ChannelWorker[];
  /** Makes the newest worker die, as the browser reports it. */
  lose(words: string): void;
}

/** Starts channel workers; `handlersOf` gives the handlers of the nth one (from 0). */
export function workshop(handlersOf: (index: number) => Partial<Handlers>): Workshop {
  const workers: ChannelWorker[] = [];
  let reportLost: (words: string) => void = () => undefined;
  return {
    workers,
    openPort({ onMessage, onLost }) {
      reportLost = onLost;
      const worker = new ChannelWorker(handlersWith(handlersOf(workers.length)), onMessage);
      workers.push(worker);
      return worker;
    },
    lose: (words) => reportLost(words),
  };
}
