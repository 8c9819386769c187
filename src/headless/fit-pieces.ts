/** What the headless fit works on: pieces with their wrap lines, out of a capture or out of a saved build. */
import { chosenWearer, foamOf, piecesOf, underneathMm } from '../build/lookups.ts';
import type { Build, Piece } from '../build/types.ts';
import { wrapInForce } from '../build/wrap-in-force.ts';
import type { HeadMeasures } from '../fit/head-measures.ts';
import type { Hold } from '../fit/holding.ts';
import type { ClosesAt } from '../fit/round-head.ts';
import { cutLineOf } from '../fit/scale-piece.ts';
import { ASSUMED_NEUTRAL_K, type WrapFoam } from '../fit/wrap-length.ts';
import { measureWrapMm, suggestWrapLine, type WrapLine } from '../fit/wrap-line.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { findAxes } from '../mirror/find-axes.ts';
import { type FitRequest, Unusable } from './command-line.ts';
import type { NamedPiece, OutlineFile } from './outline-file.ts';

export interface PieceToFit {
  readonly id: string;
  readonly name: string;
  readonly lines: readonly PieceLine[];
  readonly wrapLine: WrapLine;
  readonly patternWrapMm: number;
  readonly coverageRad: number;
  readonly foam: WrapFoam;
  readonly foamName: string;
  readonly underMm: number;
  readonly count: number;
  readonly mirroredCount: number;
}

export interface HeadAndPieces {
  readonly measures: HeadMeasures;
  readonly easeMm: number;
  readonly hold?: Hold;
  /** In their order by the wearer's left; a piece that is cut twice may stand in two places. */
  readonly pieces: readonly PieceToFit[];
  readonly closesAt: ClosesAt;
  /** Where the coverage of the pieces comes from. */
  readonly coverageFrom: 'as asked' | 'as kept in the build' | 'all round, for nothing says otherwise';
}

const ALL_ROUND_RAD = 2 * Math.PI;

type Unplaced = Omit<PieceToFit, 'coverageRad'> & { readonly coverageRad?: number };

function foamAsked(request: FitRequest, kept: WrapFoam | undefined): WrapFoam {
  const thicknessMm = request.foamMm ?? kept?.thicknessMm;
  if (thicknessMm === undefined)
    throw new Unusable('Say how thick the foam is, with --foam MM: it decides how long the pieces are cut.');
  const { neutralK } = request;
  const isKept = kept !== undefined && thicknessMm === kept.thicknessMm && neutralK === undefined;
  return isKept ? kept : { thicknessMm, neutralK: neutralK ?? kept?.neutralK ?? ASSUMED_NEUTRAL_K };
}

/** Leaves out the pieces that were not named; throws when a name is not there. */
function named<T extends { readonly name: string }>(
  pieces: readonly T[],
  names: readonly string[],
): readonly T[] {
  for (const name of names)
    if (!pieces.some((piece) => piece.name === name))
      throw new Unusable(
        `There is no piece "${name}" to go round the head, only ${pieces.map((piece) => `"${piece.name}"`).join(', ')}.`,
      );
  return names.length === 0 ? pieces : pieces.filter(({ name }) => names.includes(name));
}

/** The coverage asked for, or the whole way round, shared out by length. */
function shared(pieces: readonly Unplaced[], coverageRad: number): PieceToFit[] {
  const sum = pieces.reduce((all, { patternWrapMm }) => all + patternWrapMm, 0);
  return pieces.map((piece) => ({ ...piece, coverageRad: (coverageRad * piece.patternWrapMm) / sum }));
}

/** An axis that fits worse than this (find-axes.ts) does not say which way a piece goes round. */
const CLEAR_AXIS = 0.25;
/** Nor does one across which the piece is this much shorter than it is long: a band folds lengthways too. */
const SHORT_ACROSS = 0.6;

/** A wrap line for a piece of which nothing is known: across its fold axis where it has a clear one, else along its length. */
function wrapOf({ lines, axis, name }: NamedPiece): WrapLine {
  const outline = cutLineOf(lines)!;
  const openings = lines.filter(({ kind }) => kind === 'cutout').map(({ path }) => path);
  const axes = axis
    ? [axis]
    : findAxes(outline, openings).flatMap(({ misfit, axis }) => (misfit < CLEAR_AXIS ? [axis] : []));
  const along = suggestWrapLine(outline);
  const lengthOf = (line: WrapLine) => measureWrapMm(outline, line);
  const [across] = axes
    .flatMap((each) => suggestWrapLine(outline, each) ?? [])
    .toSorted((a, b) => lengthOf(b) - lengthOf(a));
  const line =
    across && (axis || !along || lengthOf(across) > SHORT_ACROSS * lengthOf(along)) ? across : along;
  if (!line) throw new Unusable(`"${name}" has no inside for a line that goes round the head.`);
  return line;
}

function fromCapture(request: FitRequest, file: OutlineFile): HeadAndPieces {
  const { girthMm } = request;
  if (girthMm === undefined)
    throw new Unusable('Say how far it is round the head, with --girth MM: a capture has no wearer.');
  const foam = foamAsked(request, undefined);
  const pieces = named(file.pieces, request.pieces).map((piece): Unplaced => {
    const wrapLine = wrapOf(piece);
    return {
      id: piece.name,
      name: piece.name,
      lines: piece.lines,
      wrapLine,
      patternWrapMm: measureWrapMm(cutLineOf(piece.lines)!, wrapLine),
      foam,
      foamName: `${foam.thicknessMm} mm foam`,
      underMm: request.underMm ?? 0,
      count: 1,
      mirroredCount: 0,
    };
  });
  return {
    measures: { girthMm },
    easeMm: request.easeMm ?? 0,
    ...(request.hold && { hold: request.hold }),
    pieces: shared(pieces, request.coverageRad ?? ALL_ROUND_RAD),
    closesAt: 'back',
    coverageFrom: request.coverageRad ? 'as asked' : 'all round, for nothing says otherwise',
  };
}

function kept(request: FitRequest, build: Build, piece: Piece): Unplaced[] {
  const wrap = wrapInForce(build, piece);
  const outline = cutLineOf(piece.revisions.at(-1)!.lines);
  if (!wrap || !outline) return [];
  const { lines } = piece.revisions.at(-1)!;
  const foam = foamAsked(request, foamOf(build, piece));
  return [
    {
      id: piece.id,
      name: piece.name,
      lines,
      wrapLine: wrap.line,
      patternWrapMm: measureWrapMm(outline, wrap.line),
      ...(piece.wrap?.line && { coverageRad: wrap.coverageRad }),
      foam,
      foamName: request.foamMm === undefined ? foamOf(build, piece).name : `${foam.thicknessMm} mm foam`,
      underMm: request.underMm ?? underneathMm(build, wrap),
      count: piece.count,
      mirroredCount: piece.mirroredCount,
    },
  ];
}

/** The pieces that the maker said go round: a round of several, else those with a wrap line kept, else all. */
function goingRound(build: Build): readonly Piece[] {
  const round = build.rounds?.map((each) => piecesOf(build, each)).find((pieces) => pieces.length > 1);
  if (round) return round;
  const included = build.pieces.filter((piece) => piece.included);
  const withLine = included.filter(({ wrap }) => wrap?.line);
  return withLine.length > 0 ? withLine : included;
}

function fromBuild(request: FitRequest, build: Build): HeadAndPieces {
  const wearer = chosenWearer(build);
  const going = named(goingRound(build), request.pieces);
  const pieces = going.flatMap((piece) => kept(request, build, piece));
  const [first] = going;
  const hold = request.hold ?? first?.wrap?.hold;
  const isKept = request.coverageRad === undefined && pieces.every(({ coverageRad }) => coverageRad);
  const round = build.rounds?.find(({ places }) => places.some(({ pieceId }) => pieceId === first?.id));
  return {
    measures: request.girthMm === undefined ? wearer : { girthMm: request.girthMm },
    easeMm: request.easeMm ?? first?.wrap?.easeMm ?? 0,
    ...(hold && { hold }),
    pieces: isKept
      ? pieces.map((piece) => ({ ...piece, coverageRad: piece.coverageRad! }))
      : shared(pieces, request.coverageRad ?? ALL_ROUND_RAD),
    closesAt: round?.closesAt ?? 'back',
    coverageFrom: isKept
      ? 'as kept in the build'
      : request.coverageRad
        ? 'as asked'
        : 'all round, for nothing says otherwise',
  };
}

/** Head, foam and pieces as the command line and the file say; throws Unusable with a sentence when something is missing. */
export function headAndPieces(request: FitRequest, file: OutlineFile): HeadAndPieces {
  const asked = file.opened ? fromBuild(request, file.opened.build) : fromCapture(request, file);
  if (asked.pieces.length === 0)
    throw new Unusable('No piece in this file has a closed outline, so there is nothing to fit.');
  return asked;
}
