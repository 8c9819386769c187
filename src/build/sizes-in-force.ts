/** A build's pieces in the sizes that are made of it. */
import { headsInSteps, type PieceInSize, piecesInSizes, type SizeHead } from '../fit/range/size-range.ts';
import { fitPieces } from './commands/fit-pieces.ts';
import { lastRevision } from './lookups.ts';
import type { SizeRange } from './seam-types.ts';
import type { Build, Foam, Piece } from './types.ts';
import { needOf, wrapInForce } from './wrap-in-force.ts';

/** The heads of a range, smallest first; wearers that are no longer in the build are passed over. */
export function headsOf(build: Build, { heads }: SizeRange): SizeHead[] {
  if (heads.kind === 'steps') return headsInSteps(heads.fromMm, heads.toMm, heads.stepMm);
  return build.wearers
    .filter(({ id }) => heads.wearerIds.includes(id))
    .map(({ name, girthMm }) => ({ label: name, girthMm }))
    .toSorted((a, b) => a.girthMm - b.girthMm);
}

/**
 * A piece in each size of the range, in its own foam or another; undefined for a piece that does not go round the head
 * (no wrap line is kept for it), which is the same in every size.
 */
export function sizesOfPiece(
  build: Build,
  piece: Piece,
  range: SizeRange,
  foam?: Foam,
): PieceInSize[] | undefined {
  const wrap = piece.wrap?.line && wrapInForce(build, piece);
  if (!wrap) return undefined;
  const need = needOf(build, piece, wrap);
  return piecesInSizes(
    lastRevision(piece).lines,
    wrap.line,
    foam ? { ...need, foam } : need,
    headsOf(build, range),
    range.mode,
  );
}

/**
 * The build with every piece that goes round the head fitted to one head: wrap lines, fold axes and seams go along.
 * A piece that cannot be made in that size stays as it is; `sizesOfPiece` says why.
 */
export function buildInSize(build: Build, range: SizeRange, headIndex: number): Build {
  const stamp = { id: `size-${headIndex}`, when: build.changedAt };
  const fits = build.pieces.flatMap((piece, index) => {
    const size = sizesOfPiece(build, piece, range)?.[headIndex];
    return size?.plan
      ? [{ pieceId: piece.id, plan: size.plan, mode: range.mode, index, head: size.head }]
      : [];
  });
  return fits.reduce(
    (sized, fit) =>
      fitPieces(sized, {
        stamp: { ...stamp, id: `${stamp.id}-${fit.index}` },
        why: `in size ${fit.head.label}`,
        fits: [fit],
      }),
    build,
  );
}
