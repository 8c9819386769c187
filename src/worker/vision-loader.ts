import { failure, type Outcome, success } from '../outcome.ts';
import type { Vision } from '../vision/opencv.ts';

/**
 * The vision engine, loaded when it is first needed and then kept. A load that fails is told in words and tried
 * again by the next request.
 */
export class VisionLoader {
  readonly #load: () => Promise<Vision>;
  #loading: Promise<Vision> | undefined;
  #vision: Vision | undefined;

  constructor(load: () => Promise<Vision>) {
    this.#load = load;
  }

  /** The engine when it has been loaded, for wording what it throws. */
  get loaded(): Vision | undefined {
    return this.#vision;
  }

  async get(): Promise<Outcome<Vision>> {
    this.#loading ??= this.#load();
    try {
      this.#vision = await this.#loading;
      return success(this.#vision);
    } catch (thrown) {
      this.#loading = undefined;
      const words = thrown instanceof Error ? thrown.message : String(thrown);
      return failure(
        'engine-missing',
        `The measuring engine could not be loaded (${words}), so the photo was not measured. Check the connection, load the page again and retry.`,
      );
    }
  }
}
