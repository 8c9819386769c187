import type { Problem } from '../outcome.ts';
import { CellGrid } from './cell-grid.ts';
import { placeSquares, squarePair, takeSquares } from './check-squares.ts';
import { coverPageCount } from './cover-plan.ts';
import { joinBoxes } from './joins.ts';
import { type LargePiece, largePiece, sheetName, takenForNesting } from './large-pieces.ts';
import { NEST_CELL_MM, nest } from './nest.ts';
import { sheetFrame } from './paper.ts';
import { ROOM_CELL_MM } from './piece-label.ts';
import { pieceShape } from './piece-shape.ts';
import { movePlacement } from './placement.ts';
import { hasMissingLetters } from './printable-text.ts';
import { growRect, moveRect } from './rect.ts';
import type {
  Join,
  PieceLabel,
  PlacedPiece,
  SheetGroup,
  TemplateLayout,
  TemplateSheet,
  TemplateWarningCode,
} from './sheet-types.ts';
import { nestOrders, type SmallPiece, smallPiece } from './small-pieces.ts';
import type { TemplateInput, TemplatePiece } from './template-input.ts';
import type { TileSize } from './tiling.ts';

/** A sheet before its check squares and page number are known. */
interface Draft {
  readonly name: string;
  readonly pieces: readonly PlacedPiece[];
  readonly joins: readonly Join[];
  readonly labels: readonly PieceLabel[];
}

/**
 * Where everything lies on the printed sheets. Pieces too large for a sheet are tiled, each for itself; the others
 * share sheets, the tiles' free room included. All pages stand upright (a print dialogue that turns some pages of a
 * document also shifts them): pieces are turned instead, by quarter turns unless another turn saves a sheet.
 * Throws for a page set-up that `pageSetupProblem` names.
 */
export function layoutTemplate(input: TemplateInput): TemplateLayout {
  const frame = sheetFrame(input.pageSetup);
  const size: TileSize = {
    widthMm: frame.widthMm,
    heightMm: frame.heightMm,
    overlapMm: input.pageSetup.overlapMm,
  };
  const larges: LargePiece[] = [];
  const smalls: SmallPiece[] = [];
  let rows = 0;
  input.pieces.forEach((piece, index) => {
    if (piece.lines.length === 0) return;
    const small = smallPiece(piece, index, size);
    if (small) smalls.push(small);
    else {
      const large = largePiece(piece, index, size, rows);
      larges.push(large);
      rows += large.rowCount;
    }
  });
  const drafts = layTogether(larges, smalls, size, rows);
  const coverPages = coverPageCount(frame, input.pieces.length);
  const sheets = drafts.map((draft, i) => finishSheet(draft, input.pieces, size, coverPages + 1 + i));
  return {
    frame,
    sheets,
    groups: groupsOf(larges, sheets.length, size),
    coverPageCount: coverPages,
    pageCount: coverPages + sheets.length,
    warnings: warningsOf(input, sheets),
  };
}

/** How the check squares' room is kept free while nesting; the first way that needs no more sheets is taken. */
const KEEP_FREE = ['stacked', 'side-by-side', 'none'] as const;

function layTogether(
  larges: readonly LargePiece[],
  smalls: readonly SmallPiece[],
  size: TileSize,
  firstRow: number,
): Draft[] {
  const tiles = larges.flatMap((large) => large.sheets);
  const drafts = tiles.map(({ name, placed, joins, labels }) => ({
    name,
    pieces: [placed],
    joins: [...joins],
    labels: [...labels],
  }));
  const best = bestNest(tiles, smalls, size);
  for (let row = 0; drafts.length < best.sheetCount; row++) {
    drafts.push({ name: sheetName(firstRow + row, 0), pieces: [], joins: [], labels: [] });
  }
  best.places.forEach(({ sheet, turn, x, y }, i) => {
    const { piece, turns } = best.order[i]!;
    const { placement, label } = turns[turn]!;
    const draft = drafts[sheet]!;
    draft.pieces.push({ piece, placement: movePlacement(placement, x, y) });
    draft.labels.push(moveLabel(label, x, y));
  });
  return drafts;
}

function bestNest(tiles: LargePiece['sheets'], smalls: readonly SmallPiece[], size: TileSize) {
  let best: (ReturnType<typeof nest> & { readonly order: readonly SmallPiece[] }) | undefined;
  for (const keep of KEEP_FREE) {
    const begun = tiles.map((tile) => takenForNesting(tile, size, keep !== 'none'));
    const fresh = new CellGrid(size.widthMm, size.heightMm, NEST_CELL_MM);
    if (keep !== 'none') takeSquares(fresh, cornerSquares(size, keep === 'stacked'));
    for (const order of nestOrders(smalls)) {
      const found = nest(
        order.map(({ turns }) => turns.map((turn) => turn.nest)),
        begun,
        fresh,
      );
      if (!best || found.sheetCount < best.sheetCount) best = { ...found, order };
    }
  }
  return best!;
}

/** Both squares in a sheet's lower right corner. */
function cornerSquares(size: TileSize, stacked: boolean) {
  const boxes = squarePair(0, 0, stacked).map(({ box }) => box);
  const wide = Math.max(...boxes.map((box) => box.x + box.widthMm));
  return squarePair(size.widthMm - wide, 0, stacked);
}

function moveLabel(label: PieceLabel, dx: number, dy: number): PieceLabel {
  const { leader } = label;
  const shift = ({ x, y }: { readonly x: number; readonly y: number }) => ({ x: x + dx, y: y + dy });
  return {
    ...label,
    box: moveRect(label.box, dx, dy),
    ...(leader && { leader: { from: shift(leader.from), to: shift(leader.to) } }),
  };
}

function finishSheet(
  draft: Draft,
  pieces: readonly TemplatePiece[],
  size: TileSize,
  pageNumber: number,
): TemplateSheet {
  const grid = new CellGrid(size.widthMm, size.heightMm, ROOM_CELL_MM);
  for (const { piece, placement } of draft.pieces)
    grid.takeLines(pieceShape(pieces[piece]!.lines, placement), 2);
  for (const join of draft.joins) for (const box of joinBoxes(join)) grid.takeRect(box);
  for (const join of draft.joins) {
    const [x, y] = [Math.min(join.from.x, join.to.x) - 1, Math.min(join.from.y, join.to.y) - 1];
    const [widthMm, heightMm] = [
      Math.abs(join.to.x - join.from.x) + 2,
      Math.abs(join.to.y - join.from.y) + 2,
    ];
    grid.takeRect({ x, y, widthMm, heightMm });
  }
  for (const label of draft.labels) grid.takeRect(growRect(label.box, 1));
  return { ...draft, pageNumber, squares: placeSquares(grid) };
}

function groupsOf(larges: readonly LargePiece[], sheetCount: number, size: TileSize): SheetGroup[] {
  const groups: SheetGroup[] = [];
  let sheet = 0;
  for (const { piece, tiling, sheets } of larges) {
    groups.push({
      piece,
      widthMm: size.widthMm + (tiling.columns - 1) * (size.widthMm - size.overlapMm),
      heightMm: size.heightMm + (tiling.rows - 1) * (size.heightMm - size.overlapMm),
      members: sheets.map(({ origin, core }) => ({
        sheet: sheet++,
        origin,
        core: moveRect(core, origin.x, origin.y),
      })),
    });
  }
  const { widthMm, heightMm } = size;
  for (; sheet < sheetCount; sheet++) {
    const origin = { x: 0, y: 0 };
    groups.push({ widthMm, heightMm, members: [{ sheet, origin, core: { ...origin, widthMm, heightMm } }] });
  }
  return groups;
}

function warningsOf(input: TemplateInput, sheets: readonly TemplateSheet[]): Problem<TemplateWarningCode>[] {
  const warnings: Problem<TemplateWarningCode>[] = [];
  const texts = [
    input.buildName,
    ...input.pieces.flatMap(({ name, foamName, sizeLabel, revisionLabel }) => [
      name,
      foamName,
      sizeLabel,
      revisionLabel,
    ]),
  ];
  const missing = texts.filter(hasMissingLetters);
  if (missing.length > 0) {
    warnings.push({
      code: 'letters-missing',
      message:
        `The print has no letters for part of "${missing[0]}" and shows boxes instead. The piece itself is printed right; ` +
        'it can be told by its number, or renamed in Latin, Greek or Cyrillic letters.',
    });
  }
  const crossed = sheets.filter(({ squares }) => squares.some(({ clear }) => !clear)).map(({ name }) => name);
  if (crossed.length > 0) {
    warnings.push({
      code: 'square-crossed',
      message:
        `Sheet ${crossed.join(', ')} is so full that a check square lies across the lines. It is drawn thin and grey: ` +
        'measure it, but do not cut along it.',
    });
  }
  return warnings;
}
