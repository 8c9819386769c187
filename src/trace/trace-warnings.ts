import type { Region } from '../vision/regions.ts';
import type { SideWall } from './side-wall.ts';
import type { TraceWarning } from './types.ts';

/** Share of an outline that may be hard to see before it is said. */
const FAINT_SHARE = 0.15;
/** An opening is short, and its corners lie in its own shadow: a larger share may be hard to see. */
const FAINT_OPENING = 0.25;

export function noPiece(): TraceWarning {
  return {
    code: 'no-piece',
    message:
      'No piece was found beside the cards, so there is nothing to trace. Lay the pieces on a table of another ' +
      'tone, or move the edge control towards faint edges, and try again.',
  };
}

/** What the maker should know about a traced piece, from its region and the share of its edges that is faint. */
export function pieceWarnings(region: Region, faintShare: number): TraceWarning[] {
  const warnings: TraceWarning[] = [];
  if (region.touchesBorder) {
    warnings.push({
      code: 'piece-cut-off',
      message:
        "This piece runs out of the photo, so its outline ends at the photo's border and is not whole. " +
        'Photograph it again with table showing all round it.',
    });
  }
  if (region.touchesIgnored) {
    warnings.push({
      code: 'touches-card',
      message:
        'This piece touches a scale card, so part of its edge cannot be told from the card. ' +
        "Move the card a finger's breadth away and photograph it again, or mend the edge by hand.",
    });
  }
  if (faintShare > FAINT_SHARE) {
    warnings.push({
      code: 'faint-edge',
      message:
        `About ${Math.round(100 * faintShare)} % of this piece's edge hardly differs from the table, so it may be ` +
        'off by more than the stated tolerance. Look it over, or photograph the piece on a table of another tone.',
    });
  }
  return warnings;
}

/**
 * What is known of a traced opening: table shows in it, the share of its edge that could not be made out, and whether
 * its side wall could not be told from what lies beside it.
 */
export interface SeenOpening {
  readonly showsTable: boolean;
  readonly faintShare: number;
  readonly wallUntold: boolean;
}

const openings = (count: number, whole: number): string =>
  count === 1 ? (whole === 1 ? 'the opening' : 'one opening') : `${count} openings`;
const first = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** Openings that may be none, and openings that may lie off: a wrong one is cut before it is noticed. */
export function openingWarnings(holes: readonly SeenOpening[]): TraceWarning[] {
  const warnings: TraceWarning[] = [];
  const code = 'doubtful-opening';
  const dark = holes.filter(({ showsTable }) => !showsTable).length;
  const light = holes.filter(({ showsTable }) => showsTable);
  const untold = light.filter(({ wallUntold }) => wallUntold).length;
  const faint = light.filter(
    ({ wallUntold, faintShare }) => !wallUntold && faintShare > FAINT_OPENING,
  ).length;
  if (dark > 0) {
    const it = dark === 1 ? 'it' : 'they';
    warnings.push({
      code,
      message:
        `${first(openings(dark, holes.length))} in this piece ${dark === 1 ? 'shows' : 'show'} only a dark inside and no ` +
        `table, so ${it} may be ${dark === 1 ? 'a dark mark' : 'dark marks'} on the face. Look at the photo there: ` +
        `delete what is no opening, or photograph the piece from straight above.`,
    });
  }
  if (untold > 0) {
    const its = untold === 1 ? 'its' : 'their';
    warnings.push({
      code,
      message:
        `The side wall of ${openings(untold, holes.length)} in this piece could not be told from the face or the table, ` +
        `so ${its} edge may lie off by some millimetres. Look it over on the photo before you cut, or photograph the ` +
        'piece from straight above in even light.',
    });
  }
  if (faint > 0) {
    const its = faint === 1 ? 'its' : 'their';
    warnings.push({
      code,
      message:
        `${first(openings(faint, holes.length))} in this piece can hardly be made out along part of ${its} edge, so it may lie ` +
        'off by more than the stated tolerance there. Look it over on the photo before you cut, or photograph the ' +
        'piece from straight above in even light.',
    });
  }
  return warnings;
}

/** A millimetre figure for a sentence: whole ones from 3 mm on, halves below. */
const roughMm = (value: number): string => String(value < 3 ? Math.round(2 * value) / 2 : Math.round(value));

/** A piece that was measured as thin as paper shows a side wall; its longest span comes out `tooLongMm` too long. */
export function sideWallWarning({ heightMm }: SideWall, tooLongMm?: number): TraceWarning {
  const isSettled = heightMm !== undefined && tooLongMm !== undefined;
  const thick = isSettled ? `, about ${roughMm(heightMm)} mm thick by the picture` : '';
  const cost = isSettled
    ? `may be up to about ${roughMm(Math.max(0.5, tooLongMm))} mm`
    : 'may be some millimetres';
  return {
    code: 'side-wall',
    message:
      `The edge of this piece shows a side wall${thick}, but it was measured as thin as paper, so lengths ${cost} ` +
      'too long. Enter the thickness of the card or foam, and the piece is measured again.',
  };
}
