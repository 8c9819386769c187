/**
 * Thins a mask to lines one pixel wide in its middle: Zhang and Suen, "A fast parallel algorithm for thinning digital
 * patterns", CACM 27 (1984), over a list of the pixels that are left; then what that method leaves at steps is taken
 * away one at a time. Changes `mask` (0/1); its outermost pixels must be 0.
 */
export function thinMask(mask: Uint8Array, width: number): void {
  let alive: number[] = [];
  for (let at = 0; at < mask.length; at++) if (mask[at]) alive.push(at);
  for (let changed = true; changed; ) {
    changed = false;
    for (const pass of [0, 1] as const) {
      const gone = alive.filter((at) => mask[at] && isPeeled(mask, width, at, pass));
      for (const at of gone) mask[at] = 0;
      if (gone.length > 0) changed = true;
    }
    alive = alive.filter((at) => mask[at]);
  }
  for (const at of alive) if (isSpare(mask, width, at)) mask[at] = 0;
}

/** The eight neighbours in order, clockwise from the one above. */
export function ringOffsets(width: number): readonly number[] {
  return [-width, -width + 1, 1, width + 1, width, width - 1, -1, -width - 1];
}

const ring = new Uint8Array(8);

function readRing(mask: Uint8Array, width: number, at: number): void {
  ring[0] = mask[at - width]!;
  ring[1] = mask[at - width + 1]!;
  ring[2] = mask[at + 1]!;
  ring[3] = mask[at + width + 1]!;
  ring[4] = mask[at + width]!;
  ring[5] = mask[at + width - 1]!;
  ring[6] = mask[at - 1]!;
  ring[7] = mask[at - width - 1]!;
}

function isPeeled(mask: Uint8Array, width: number, at: number, pass: 0 | 1): boolean {
  readRing(mask, width, at);
  let count = 0;
  let steps = 0;
  for (let k = 0; k < 8; k++) {
    count += ring[k]!;
    if (!ring[k] && ring[(k + 1) & 7]) steps++;
  }
  if (count < 2 || count > 6 || steps !== 1) return false;
  return pass === 0
    ? !(ring[0]! & ring[2]! & ring[4]!) && !(ring[2]! & ring[4]! & ring[6]!)
    : !(ring[0]! & ring[2]! & ring[6]!) && !(ring[0]! & ring[4]! & ring[6]!);
}

/** True for a pixel, not an end, whose neighbours hang together without it (8-connected; Yokoi's number is 1). */
function isSpare(mask: Uint8Array, width: number, at: number): boolean {
  readRing(mask, width, at);
  let count = 0;
  let yokoi = 0;
  for (let k = 0; k < 8; k++) count += ring[k]!;
  for (let k = 0; k < 8; k += 2) {
    const off = 1 - ring[k]!;
    yokoi += off - off * (1 - ring[k + 1]!) * (1 - ring[(k + 2) & 7]!);
  }
  return count >= 2 && yokoi === 1;
}
