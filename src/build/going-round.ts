import { type HeadRound, layRound } from '../fit/round-head.ts';
import { cutLineOf } from '../fit/scale-piece.ts';
import { headSizeOf } from '../fit/wearer-head.ts';
import { wrapLengthMm, type WrapNeed } from '../fit/wrap-length.ts';
import { measureWrapMm } from '../fit/wrap-line.ts';
import type { Round } from './fit-types.ts';
import { chosenWearer, lastRevision, piecesOf, roundOf } from './lookups.ts';
import type { Build, Piece } from './types.ts';
import { needOf, type WrapInForce, wrapInForce } from './wrap-in-force.ts';

/** A piece in its place round the head. */
export interface PlaceRound {
  readonly piece: Piece;
  readonly wrap: WrapInForce;
  readonly need: WrapNeed;
  readonly wantedMm: number;
  readonly patternMm: number;
}

/** What goes round the head together with a piece, or the piece alone. */
export interface GoingRound {
  /** Undefined for a piece that goes round alone. */
  readonly round: Round | undefined;
  readonly places: readonly PlaceRound[];
  /** Of all of them together, rad. */
  readonly coverageRad: number;
  readonly wantedMm: number;
  readonly patternMm: number;
}

function placeOf(build: Build, piece: Piece): PlaceRound[] {
  const wrap = wrapInForce(build, piece);
  const outline = cutLineOf(lastRevision(piece).lines);
  if (!wrap || !outline) return [];
  const need = needOf(build, piece, wrap);
  const patternMm = measureWrapMm(outline, wrap.line);
  return [{ piece, wrap, need, wantedMm: wrapLengthMm(need), patternMm }];
}

export function goingRound(build: Build, piece: Piece): GoingRound {
  const round = roundOf(build, piece.id);
  const places = (round ? piecesOf(build, round) : [piece]).flatMap((each) => placeOf(build, each));
  const sum = (of: (place: PlaceRound) => number) => places.reduce((all, place) => all + of(place), 0);
  return {
    round,
    places,
    coverageRad: sum(({ need }) => need.coverageRad),
    wantedMm: sum(({ wantedMm }) => wantedMm),
    patternMm: sum(({ patternMm }) => patternMm),
  };
}

/** Those pieces laid round the wearer's head as they are now. A piece alone sits at the front. */
export function laidRound(build: Build, { round, places }: GoingRound): HeadRound {
  const pieces = places.map(({ piece, need, patternMm }) => ({
    name: piece.name,
    wrapMm: patternMm,
    foam: need.foam,
    underMm: need.underMm ?? 0,
  }));
  const easeMm = places[0]?.need.easeMm ?? 0;
  return layRound(headSizeOf(chosenWearer(build)), easeMm, pieces, round?.closesAt ?? 'back');
}
