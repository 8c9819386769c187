/** Strength levels that the flood tells apart. */
const LEVELS = 256;

/**
 * Grows labelled markers over the unlabelled pixels (label 0), weakest edge first, so that two labels meet on the
 * strongest edge between them: seeded watershed by priority flood (Meyer 1991; Barnes, Lehman & Mulla 2014 for the
 * queue). Fills `labels` in place. `strength` is any non-negative edge strength; above `strongest` all count alike.
 */
export function floodByEdge(
  labels: Int32Array,
  strength: Float32Array,
  width: number,
  height: number,
  strongest: number,
): void {
  const gain = (LEVELS - 1) / strongest;
  const buckets: number[][] = Array.from({ length: LEVELS }, () => []);
  const heads = new Int32Array(LEVELS);
  const queued = new Uint8Array(labels.length);
  let level = 0;
  const reach = (from: number, to: number): void => {
    if (queued[to] || labels[to] !== 0) return;
    queued[to] = 1;
    labels[to] = labels[from]!;
    const own = Math.max(level, Math.min(LEVELS - 1, Math.floor(strength[to]! * gain)));
    buckets[own]!.push(to);
  };
  const spread = (at: number): void => {
    const column = at % width;
    if (column > 0) reach(at, at - 1);
    if (column < width - 1) reach(at, at + 1);
    if (at >= width) reach(at, at - width);
    if (at < (height - 1) * width) reach(at, at + width);
  };
  for (let at = 0; at < labels.length; at++) {
    if (labels[at] !== 0 && !queued[at]) spread(at);
  }
  for (level = 0; level < LEVELS; level++) {
    const bucket = buckets[level]!;
    while (heads[level]! < bucket.length) {
      const at = bucket[heads[level]!]!;
      heads[level] = heads[level]! + 1;
      spread(at);
    }
    buckets[level] = [];
  }
}
