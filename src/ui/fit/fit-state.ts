import { lastRevision } from '../../build/lookups.ts';
import type { Build, Piece } from '../../build/types.ts';
import { cutLineOf } from '../../fit/scale-piece.ts';
import { wrapLengthMm } from '../../fit/wrap-length.ts';
import { measureWrapMm } from '../../fit/wrap-line.ts';
import type { StageState } from '../stage-id.ts';
import { needOf } from '../../build/wrap-in-force.ts';

/** Foam is not cut by hand closer than this, mm: a piece nearer to what is wanted fits. */
export const FITS_WITHIN_MM = 1;

function isOff(build: Build, piece: Piece): boolean {
  const outline = cutLineOf(lastRevision(piece).lines);
  if (!piece.wrap?.line || !outline) return false;
  const wantedMm = wrapLengthMm(needOf(build, piece, piece.wrap));
  return Math.abs(wantedMm - measureWrapMm(outline, piece.wrap.line)) > FITS_WITHIN_MM;
}

/** To do until a piece has a wrap line kept; look again when one is not as long as the head and foam ask for. */
export function fitState(build: Build): StageState {
  const wrapped = build.pieces.filter(({ included, wrap }) => included && wrap?.line);
  if (wrapped.length === 0) return 'to do';
  return wrapped.some((piece) => isOff(build, piece)) ? 'look again' : 'done';
}
