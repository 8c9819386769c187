import { chosenWearer, foamOf, lastRevision } from '../../build/lookups.ts';
import type { Build, PageSetup, Piece, Printer } from '../../build/types.ts';
import { printerScaleOf, type TemplatePageSetup } from '../../template/paper.ts';
import type { TemplateInput, TemplatePiece } from '../../template/template-input.ts';
import { countWords, mmWords } from '../controls/number-words.ts';

/** The pieces that go into the template: included, and cut at least once. */
export function printedPieces(build: Build): Piece[] {
  return build.pieces.filter(({ included, count, mirroredCount }) => included && count + mirroredCount > 0);
}

function printedPiece(build: Build, piece: Piece): TemplatePiece {
  const wearer = chosenWearer(build);
  const foam = foamOf(build, piece);
  const revision = lastRevision(piece);
  return {
    name: piece.name,
    // The build counts straight and mirrored ones apart; the print says how many in all.
    count: piece.count + piece.mirroredCount,
    mirroredCount: piece.mirroredCount,
    foamName: foam.name,
    foamThicknessMm: foam.thicknessMm,
    sizeLabel: `${wearer.name}, ${mmWords(wearer.girthMm, 0)} mm`,
    revisionLabel: `revision ${piece.revisions.length}: ${revision.why}`,
    lines: revision.lines,
  };
}

function pageSetupOf(
  { paper, marginMm, overlapMm, printerId }: PageSetup,
  printers: readonly Printer[],
): TemplatePageSetup {
  const printer = printers.find(({ id }) => id === printerId);
  return { paper, marginMm, overlapMm, ...(printer && { printerScale: printerScaleOf(printer.check) }) };
}

/** What the template room needs to print this build. Its date is that of the last change: the same build prints the same. */
export function templateInputOf(build: Build): TemplateInput {
  return {
    buildName: build.name,
    date: new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' }).format(new Date(build.changedAt)),
    pieces: printedPieces(build).map((piece) => printedPiece(build, piece)),
    pageSetup: pageSetupOf(build.pageSetup, build.printers),
  };
}

/** One piece as the template room prints it, whether it is included or not, and an input without pieces to print it with. */
export function templateInputOfPiece(
  build: Build,
  pieceId: string,
): { readonly input: TemplateInput; readonly piece: TemplatePiece } {
  const piece = build.pieces.find(({ id }) => id === pieceId)!;
  return { input: { ...templateInputOf(build), pieces: [] }, piece: printedPiece(build, piece) };
}

/** "3 pieces, cut 5 in all". */
export function cutListWords(pieces: readonly Piece[]): string {
  const all = pieces.reduce((sum, { count, mirroredCount }) => sum + count + mirroredCount, 0);
  return `${countWords(pieces.length, 'piece')}, cut ${all} in all`;
}
