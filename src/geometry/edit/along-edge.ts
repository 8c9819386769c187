import { pathLengthMm } from '../measure.ts';
import type { Path } from '../path.ts';
import { lengthAtPlaceMm, type Place } from '../place.ts';

/** Lengths along a line between two places of it, mm; a closed line has a way round the other side too. */
export function alongEdgeMm(
  path: Path,
  from: Place,
  to: Place,
): { readonly shorterMm: number; readonly longerMm: number | undefined } {
  const between = Math.abs(lengthAtPlaceMm(path, to) - lengthAtPlaceMm(path, from));
  if (!path.closed) return { shorterMm: between, longerMm: undefined };
  const rest = pathLengthMm(path) - between;
  return { shorterMm: Math.min(between, rest), longerMm: Math.max(between, rest) };
}
