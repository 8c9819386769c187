/** How long each step took, ms, in the order of the steps. */
export class Stopwatch {
  readonly #timings: Record<string, number> = {};

  async time<T>(step: string, work: () => T | Promise<T>): Promise<T> {
    const start = performance.now();
    const result = await work();
    this.#timings[step] = (this.#timings[step] ?? 0) + performance.now() - start;
    return result;
  }

  /** With the sum under `total`. */
  get timings(): Readonly<Record<string, number>> {
    const total = Object.values(this.#timings).reduce((sum, ms) => sum + ms, 0);
    const entries = Object.entries({ ...this.#timings, total });
    return Object.fromEntries(entries.map(([step, ms]) => [step, Math.round(ms * 10) / 10]));
  }
}
