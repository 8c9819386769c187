import { failure, type Outcome, type Progress } from '../outcome.ts';
import type { ArgumentOf, CallName, FromWorker, ResultOf, ToWorker } from './protocol.ts';

/** What a handler is given beside its argument. */
export interface CallContext {
  /** Tells how far it has come; throws when the request was cancelled, which ends the handler. */
  readonly progress: Progress;
  /** Hands these over with the result instead of copying them. */
  readonly transfer: (...objects: readonly Transferable[]) => void;
}

type Handler<N extends CallName> = (
  argument: ArgumentOf<N>,
  context: CallContext,
) => Promise<Outcome<ResultOf<N>>> | Outcome<ResultOf<N>>;

export type Handlers = { readonly [N in CallName]: Handler<N> };

export type Post = (message: FromWorker, transfer: readonly Transferable[]) => void;

class Cancelled extends Error {}

/**
 * The worker's side of the door: takes requests, does them one at a time in the order they came (there is one
 * thread and one photo in memory), and answers every one of them exactly once, with an outcome.
 */
export class RequestDesk {
  readonly #handlers: Handlers;
  readonly #post: Post;
  readonly #wordFault: (thrown: unknown) => string;
  readonly #waiting: Extract<ToWorker, { kind: 'request' }>[] = [];
  readonly #cancelled = new Set<number>();
  #current: number | undefined;

  /** `wordFault` puts whatever a handler threw into a sentence part, e.g. opencv's numbers. */
  constructor(handlers: Handlers, post: Post, wordFault: (thrown: unknown) => string = String) {
    this.#handlers = handlers;
    this.#post = post;
    this.#wordFault = wordFault;
  }

  receive(message: ToWorker): void {
    if (message.kind === 'request') {
      this.#waiting.push(message);
      void this.#work();
      return;
    }
    // A request that has not begun is answered at once; the one in hand ends at its next progress report.
    const index = this.#waiting.findIndex(({ id }) => id === message.id);
    const [dropped] = index < 0 ? [] : this.#waiting.splice(index, 1);
    if (dropped) this.#answer(dropped.id, CANCELLED);
    else if (this.#current === message.id) this.#cancelled.add(message.id);
  }

  async #work(): Promise<void> {
    if (this.#current !== undefined) return;
    for (let next = this.#waiting.shift(); next; next = this.#waiting.shift()) {
      this.#current = next.id;
      await this.#perform(next.id, next.name, next.argument);
      this.#cancelled.delete(next.id);
      this.#current = undefined;
    }
  }

  async #perform<N extends CallName>(id: number, name: N, argument: ArgumentOf<N>): Promise<void> {
    const transfer: Transferable[] = [];
    const stopIfCancelled = () => {
      if (this.#cancelled.has(id)) throw new Cancelled();
    };
    const context: CallContext = {
      progress: (step, fraction) => {
        stopIfCancelled();
        this.#post({ kind: 'progress', id, step, fraction }, []);
      },
      transfer: (...objects) => transfer.push(...objects),
    };
    try {
      const handler: Handler<N> = this.#handlers[name];
      const outcome = await handler(argument, context);
      stopIfCancelled();
      this.#answer(id, outcome, transfer);
    } catch (thrown) {
      if (thrown instanceof Cancelled) this.#answer(id, CANCELLED);
      else this.#answer(id, fault(this.#wordFault(thrown)), [], true);
    }
  }

  #answer(
    id: number,
    outcome: Outcome<unknown>,
    transfer: readonly Transferable[] = [],
    isSpent = false,
  ): void {
    this.#post({ kind: 'answer', id, outcome, isSpent }, transfer);
  }
}

export const CANCELLED = failure('cancelled', 'Stopped, as you asked. Nothing has changed.');

function fault(words: string): Outcome<never> {
  return failure(
    'engine-fault',
    `The measuring engine failed at this step (${words}), so there is no new result. Your work is kept; try again, or try another photo of the same pieces.`,
  );
}
