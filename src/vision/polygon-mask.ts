/** A place in a picture, px; (0, 0) is the centre of its top-left pixel. */
export interface PixelPlace {
  readonly u: number;
  readonly v: number;
}

/** The polygon grown about its centroid by a factor. */
export function grown(polygon: readonly PixelPlace[], factor: number): PixelPlace[] {
  const u = polygon.reduce((sum, place) => sum + place.u, 0) / polygon.length;
  const v = polygon.reduce((sum, place) => sum + place.v, 0) / polygon.length;
  return polygon.map((place) => ({ u: u + factor * (place.u - u), v: v + factor * (place.v - v) }));
}

/** Sets every pixel whose centre lies in the polygon (even-odd rule). */
export function fillPolygon(
  mask: Uint8Array,
  width: number,
  height: number,
  polygon: readonly PixelPlace[],
  value: number,
): void {
  const top = Math.max(0, Math.ceil(Math.min(...polygon.map(({ v }) => v))));
  const bottom = Math.min(height - 1, Math.floor(Math.max(...polygon.map(({ v }) => v))));
  for (let row = top; row <= bottom; row++) {
    const crossings: number[] = [];
    for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
      const a = polygon[i]!;
      const b = polygon[j]!;
      if (a.v > row === b.v > row) continue;
      crossings.push(a.u + ((b.u - a.u) * (row - a.v)) / (b.v - a.v));
    }
    crossings.sort((a, b) => a - b);
    for (let i = 0; i + 1 < crossings.length; i += 2) {
      const from = Math.max(0, Math.ceil(crossings[i]!));
      const to = Math.min(width - 1, Math.floor(crossings[i + 1]!));
      if (to >= from) mask.fill(value, row * width + from, row * width + to + 1);
    }
  }
}
