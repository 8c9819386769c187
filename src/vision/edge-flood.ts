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
  const lastRow = (height - 1) * width;
  // One first-in-first-out chain of pixels per level, linked through `next`.
  const next = new Int32Array(labels.length).fill(-1);
  const heads = new Int32Array(LEVELS).fill(-1);
  const tails = new Int32Array(LEVELS).fill(-1);
  let level = 0;
  const reach = (label: number, to: number): void => {
    if (labels[to] !== 0) return;
    labels[to] = label;
    let own = Math.min(LEVELS - 1, (strength[to]! * gain) | 0);
    if (own < level) own = level;
    if (heads[own] === -1) heads[own] = to;
    else next[tails[own]!] = to;
    tails[own] = to;
  };
  const spread = (at: number): void => {
    const label = labels[at]!;
    const column = at % width;
    if (column > 0) reach(label, at - 1);
    if (column < width - 1) reach(label, at + 1);
    if (at >= width) reach(label, at - width);
    if (at < lastRow) reach(label, at + width);
  };
  // Markers first: their pixels are labelled but stand in no chain, and those reached now are not markers.
  const markers = labels.slice();
  for (let at = 0; at < labels.length; at++) if (markers[at] !== 0) spread(at);
  for (level = 0; level < LEVELS; level++) {
    while (heads[level] !== -1) {
      const at = heads[level]!;
      heads[level] = next[at]!;
      spread(at);
    }
  }
}
