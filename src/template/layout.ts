import type { Problem } from '../outcome.ts';
import { type Assembly, assemble, type IndexedPiece } from './assemblies.ts';
import { CellGrid } from './cell-grid.ts';
import { squarePair, takeSquares } from './check-squares.ts';
import { coverPageCount } from './cover-plan.ts';
import { finishSheet, type SheetDraft } from './finish-sheet.ts';
import { NEST_CELL_MM, nest, shapeAreaMm2 } from './nest.ts';
import { sheetFrame } from './paper.ts';
import { movePlacement } from './placement.ts';
import { hasMissingLetters } from './printable-text.ts';
import { moveRect } from './rect.ts';
import type {
  PieceLabel,
  SheetGroup,
  TemplateLayout,
  TemplateSheet,
  TemplateWarningCode,
} from './sheet-types.ts';
import { nestOrders, type SmallPiece, smallPiece } from './small-pieces.ts';
import type { TemplateInput, TemplatePiece } from './template-input.ts';
import { sheetName, takenForNesting, type TileSheet, tileSheets } from './tile-sheets.ts';
import type { Lean, TileSize } from './tiling.ts';

/**
 * Where everything lies on the printed sheets. Pieces too large for a sheet are tiled; the others share sheets, the
 * tiles' free room included. All pages stand upright (a print dialogue that turns some pages of a document also
 * shifts them): pieces are turned instead, by quarter turns unless another turn saves a sheet.
 * Throws for a page set-up that `pageSetupProblem` names.
 */
export function layoutTemplate(input: TemplateInput): TemplateLayout {
  const frame = sheetFrame(input.pageSetup);
  const size: TileSize = {
    widthMm: frame.widthMm,
    heightMm: frame.heightMm,
    overlapMm: input.pageSetup.overlapMm,
  };
  const plan = planSheets(input.pieces, size);
  const drafts = draftSheets(plan);
  const coverPages = coverPageCount(frame, input.pieces.length);
  const sheets = drafts.map((draft, i) => finishSheet(draft, input.pieces, size, coverPages + 1 + i));
  return {
    frame,
    sheets,
    groups: groupsOf(plan.tiled, sheets.length, size),
    coverPageCount: coverPages,
    pageCount: coverPages + sheets.length,
    warnings: warningsOf(input, sheets),
  };
}

interface TiledSheets {
  readonly assembly: Assembly;
  readonly sheets: readonly TileSheet[];
}

interface Plan {
  readonly tiled: readonly TiledSheets[];
  /** Row letters that the tiled sheets use. */
  readonly rowCount: number;
  readonly nested: Nested;
}

/** Large pieces tiled, small ones nested; the large ones moved aside where that saves a sheet. */
function planSheets(pieces: readonly TemplatePiece[], size: TileSize): Plan {
  const smalls: SmallPiece[] = [];
  const larges: IndexedPiece[] = [];
  pieces.forEach((piece, index) => {
    if (piece.lines.length === 0) return;
    const small = smallPiece(piece, index, size);
    if (small) smalls.push(small);
    else larges.push({ piece, index });
  });
  const middle = planFor('middle', larges, smalls, pieces, size);
  if (middle.nested.sheetCount <= middle.nested.least) return middle;
  const side = planFor('side', larges, smalls, pieces, size);
  return side.nested.sheetCount < middle.nested.sheetCount ? side : middle;
}

function planFor(
  lean: Lean,
  larges: readonly IndexedPiece[],
  smalls: readonly SmallPiece[],
  pieces: readonly TemplatePiece[],
  size: TileSize,
): Plan {
  let rowCount = 0;
  const tiled = assemble(larges, size, lean).map((assembly) => {
    const sheets = tileSheets(assembly, pieces, rowCount);
    rowCount += assembly.tiling.rows;
    return { assembly, sheets };
  });
  const tiles = tiled.flatMap(({ sheets }) => sheets);
  return { tiled, rowCount, nested: bestNest(tiles, smalls, size) };
}

function draftSheets({ tiled, rowCount, nested }: Plan): SheetDraft[] {
  const drafts = tiled
    .flatMap(({ sheets }) => sheets)
    .map(({ name, pieces, joins, labels }) => ({ name, pieces: [...pieces], joins, labels: [...labels] }));
  for (let row = rowCount; drafts.length < nested.sheetCount; row++) {
    drafts.push({ name: sheetName(row, 0), pieces: [], joins: [], labels: [] });
  }
  nested.places.forEach(({ sheet, turn, x, y }, i) => {
    const { piece, turns } = nested.order[i]!;
    const { placement, label } = turns[turn]!;
    const draft = drafts[sheet]!;
    draft.pieces.push({ piece, placement: movePlacement(placement, x, y) });
    draft.labels.push(moveLabel(label, x, y));
  });
  return drafts;
}

/** How the check squares' room is kept free while nesting; the first way that needs no more sheets is taken. */
const KEEP_FREE = ['stacked', 'side-by-side', 'none'] as const;

type Nested = ReturnType<typeof nest> & {
  readonly order: readonly SmallPiece[];
  /** No arrangement can need fewer sheets than this. */
  readonly least: number;
};

function bestNest(tiles: readonly TileSheet[], smalls: readonly SmallPiece[], size: TileSize): Nested {
  const least = leastSheets(tiles, smalls, size);
  let best: Nested | undefined;
  for (const keep of KEEP_FREE) {
    const begun = tiles.map((tile) => takenForNesting(tile, size, keep !== 'none'));
    const fresh = new CellGrid(size.widthMm, size.heightMm, NEST_CELL_MM);
    if (keep !== 'none') takeSquares(fresh, cornerSquares(size, keep === 'stacked'));
    for (const order of nestOrders(smalls)) {
      const shapes = order.map(({ turns }) => turns.map((turn) => turn.nest));
      const found = nest(shapes, begun, fresh);
      if (!best || found.sheetCount < best.sheetCount) best = { ...found, order, least };
      if (best.sheetCount <= least) return best;
    }
  }
  return best!;
}

/** No arrangement can need fewer sheets than the pieces' area asks for. */
function leastSheets(tiles: readonly TileSheet[], smalls: readonly SmallPiece[], size: TileSize): number {
  const wanted = smalls.reduce(
    (sum, { turns }) => sum + Math.min(...turns.map(({ nest }) => shapeAreaMm2(nest))),
    0,
  );
  const begun = tiles.map((tile) => takenForNesting(tile, size, false));
  const free = begun.reduce(
    (sum, { cells }) => sum + cells.filter((cell) => cell === 0).length * NEST_CELL_MM ** 2,
    0,
  );
  return tiles.length + Math.max(0, Math.ceil((wanted - free) / (size.widthMm * size.heightMm)));
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

function groupsOf(tiled: readonly TiledSheets[], sheetCount: number, size: TileSize): SheetGroup[] {
  const groups: SheetGroup[] = [];
  let sheet = 0;
  for (const { assembly, sheets } of tiled) {
    const { columns, rows } = assembly.tiling;
    groups.push({
      pieces: assembly.members.map(({ piece }) => piece),
      widthMm: size.widthMm + (columns - 1) * (size.widthMm - size.overlapMm),
      heightMm: size.heightMm + (rows - 1) * (size.heightMm - size.overlapMm),
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
    groups.push({
      pieces: [],
      widthMm,
      heightMm,
      members: [{ sheet, origin, core: { ...origin, widthMm, heightMm } }],
    });
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
