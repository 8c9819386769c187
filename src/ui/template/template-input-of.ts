import { chosenWearer, foamOf, lastRevision } from '../../build/lookups.ts';
import type { Build, PageSetup, Piece, Printer } from '../../build/types.ts';
import { notchesOn } from '../../build/seam-lookups.ts';
import { buildInSize, headsOf, sizesOfPiece } from '../../build/sizes-in-force.ts';
import { withExtraStrip } from '../../fit/spread/extra-strip.ts';
import { nestedSizes, sizesKey } from '../../template/nested-sizes.ts';
import { printerScaleOf, type TemplatePageSetup } from '../../template/paper.ts';
import type { TemplateInput, TemplateLine, TemplatePiece } from '../../template/template-input.ts';
import { countWords, mmWords } from '../controls/number-words.ts';

/** The pieces that go into the template: included, and cut at least once. */
export function printedPieces(build: Build): Piece[] {
  return build.pieces.filter(({ included, count, mirroredCount }) => included && count + mirroredCount > 0);
}

/** Which sizes are printed: as fitted to the wearer, all nested into each other, or one of the range by its index. */
export type SizeChoice = 'fitted' | 'nested' | number;

/** A piece's lines as printed: with the strip to trim outside, and the notches of its seams. */
function printedLines(build: Build, piece: Piece): readonly TemplateLine[] {
  const { lines } = lastRevision(piece);
  const extraMm = build.extras?.find(({ pieceId }) => pieceId === piece.id)?.widthMm;
  const withStrip = extraMm === undefined ? undefined : withExtraStrip(lines, extraMm);
  return [...(withStrip ?? lines), ...notchesOn(build, piece.id).flatMap(({ marks }) => marks)];
}

function printedPiece(build: Build, piece: Piece, sizeLabel: string): TemplatePiece {
  const foam = foamOf(build, piece);
  const revision = lastRevision(piece);
  const extraMm = build.extras?.find(({ pieceId }) => pieceId === piece.id)?.widthMm;
  const strip =
    extraMm === undefined
      ? ''
      : `; ${mmWords(extraMm)} mm extra outside the thin line, trim it after trying on`;
  return {
    name: piece.name,
    // The build counts straight and mirrored ones apart; the print says how many in all.
    count: piece.count + piece.mirroredCount,
    mirroredCount: piece.mirroredCount,
    foamName: foam.name,
    foamThicknessMm: foam.thicknessMm,
    sizeLabel,
    revisionLabel: `revision ${piece.revisions.length}: ${revision.why}${strip}`,
    lines: printedLines(build, piece),
  };
}

function fittedLabel(build: Build): string {
  const { name, girthMm } = chosenWearer(build);
  return `${name}, ${mmWords(girthMm, 0)} mm`;
}

/** The pieces in the sizes chosen; one that does not go round the head is the same in every size. */
function piecesIn(build: Build, choice: SizeChoice): TemplatePiece[] {
  const fitted = fittedLabel(build);
  const range = build.sizeRange;
  if (choice === 'fitted' || !range)
    return printedPieces(build).map((piece) => printedPiece(build, piece, fitted));
  if (typeof choice === 'number') {
    const sized = buildInSize(build, range, choice);
    const head = headsOf(build, range)[choice];
    return printedPieces(sized).map((piece) =>
      printedPiece(sized, piece, head ? `size ${head.label}` : fitted),
    );
  }
  return printedPieces(build).map((piece) => {
    const sizes = sizesOfPiece(build, piece, range);
    const plain = printedPiece(build, piece, sizes ? `sizes ${sizesKey(sizes)}` : 'one size');
    return sizes?.some(({ plan }) => plan) ? { ...plain, lines: nestedSizes(sizes) } : plain;
  });
}

function pageSetupOf(
  { paper, marginMm, overlapMm, printerId }: PageSetup,
  printers: readonly Printer[],
): TemplatePageSetup {
  const printer = printers.find(({ id }) => id === printerId);
  return { paper, marginMm, overlapMm, ...(printer && { printerScale: printerScaleOf(printer.check) }) };
}

/** What the template room needs to print this build. Its date is that of the last change: the same build prints the same. */
export function templateInputOf(build: Build, choice: SizeChoice = 'fitted'): TemplateInput {
  return {
    buildName: build.name,
    date: new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' }).format(new Date(build.changedAt)),
    pieces: piecesIn(build, choice),
    pageSetup: pageSetupOf(build.pageSetup, build.printers),
  };
}

/** One piece as the template room prints it, whether it is included or not, and an input without pieces to print it with. */
export function templateInputOfPiece(
  build: Build,
  pieceId: string,
): { readonly input: TemplateInput; readonly piece: TemplatePiece } {
  const piece = build.pieces.find(({ id }) => id === pieceId)!;
  return {
    input: { ...templateInputOf(build), pieces: [] },
    piece: printedPiece(build, piece, fittedLabel(build)),
  };
}

/** "3 pieces, cut 5 in all". */
export function cutListWords(pieces: readonly Piece[]): string {
  const all = pieces.reduce((sum, { count, mirroredCount }) => sum + count + mirroredCount, 0);
  return `${countWords(pieces.length, 'piece')}, cut ${all} in all`;
}
