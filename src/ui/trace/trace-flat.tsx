import { Fragment, useMemo } from 'react';
import type { Piece } from '../../build/types.ts';
import { lastRevision } from '../../build/lookups.ts';
import { type Bounds, boundsOf, flattenPath } from '../../geometry/measure.ts';
import { midpoint, type PlanePoint } from '../../geometry/point.ts';
import { mmWords } from '../controls/number-words.ts';
import { IN_HAND_ON_PHOTO, TRACED_ON_PHOTO } from './photo-colors.ts';
import { usePalette } from '../look/palette.ts';
import { PlaneGrid, PlaneLine, PlaneSpan } from '../worktable/plane-shapes.tsx';
import { hasWords, isDrawn, PlaneWords } from '../worktable/plane-words.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import { boxSides } from './box-sides.ts';

/** Smallest upright box round the pieces' lines in force, mm. */
export function piecesBounds(pieces: readonly Piece[]): Bounds {
  return boundsOf(
    pieces.flatMap((piece) => lastRevision(piece).lines.flatMap(({ path }) => flattenPath(path))),
  );
}

/** The same with room for the dimension lines beside each piece, whichever comes to hand. */
export function boundsWithSides(pieces: readonly Piece[]): Bounds {
  const { minX, minY, maxX, maxY } = piecesBounds(pieces);
  const sides = pieces.flatMap((piece) => boxSides(piece).flatMap(({ from, to }) => [from, to]));
  return boundsOf([{ x: minX, y: minY }, { x: maxX, y: maxY }, ...sides]);
}

/** Bounds with a hand's breadth of table round them, mm. */
export function withRoom({ minX, minY, maxX, maxY }: Bounds, roomMm: number): Bounds {
  return { minX: minX - roomMm, minY: minY - roomMm, maxX: maxX + roomMm, maxY: maxY + roomMm };
}

/** Between a piece and its dimension lines. */
const GAP_PX = 16;

interface FlatPiecesProps {
  readonly pieces: readonly Piece[];
  readonly inHandId: string | undefined;
  readonly boundsMm: Bounds;
  /** Over the photo, lines only: the photo shows the foam. */
  readonly isOverPhoto?: boolean;
}

/** The pieces as they lie on the table, flat and in true mm, with the size of the one in hand. */
export function FlatPieces({ pieces, inHandId, boundsMm, isOverPhoto = false }: FlatPiecesProps) {
  const inHand = pieces.find(({ id }) => id === inHandId);
  return (
    <>
      {!isOverPhoto && <PlaneGrid boundsMm={boundsMm} />}
      {pieces.map((piece) => (
        <FlatPiece key={piece.id} piece={piece} isInHand={piece.id === inHandId} isOverPhoto={isOverPhoto} />
      ))}
      {inHand && <SizeLines piece={inHand} />}
    </>
  );
}

interface FlatPieceProps {
  readonly piece: Piece;
  readonly isInHand: boolean;
  readonly isOverPhoto: boolean;
}

/** Catches taps without being seen. */
const CLEAR = '#00000001';

function FlatPiece({ piece, isInHand, isOverPhoto }: FlatPieceProps) {
  const palette = usePalette();
  const { lines } = lastRevision(piece);
  const bounds = useMemo(() => piecesBounds([piece]), [piece]);
  return (
    <>
      {lines.filter(hasWords).map((line) => (
        <PlaneWords key={line.id} line={line} color={palette.ink} />
      ))}
      {lines.filter(isDrawn).map(({ id, kind, path }) => (
        <PlaneLine
          key={id}
          path={path}
          kind={kind}
          id={piece.id}
          isStrong={isInHand}
          {...(kind === 'cut' && { fill: isOverPhoto ? CLEAR : palette.paper })}
          {...(isOverPhoto && { color: isInHand ? IN_HAND_ON_PHOTO : TRACED_ON_PHOTO })}
          // A cut-out shows the table through the piece.
          {...(kind === 'cutout' && !isOverPhoto && { fill: palette.table })}
          {...(!piece.included && { opacity: 0.45 })}
        />
      ))}
      {/* The one in hand shows its size there, and its name stands in the panel. */}
      {!isInHand && (
        <ScreenLabel
          x={(bounds.minX + bounds.maxX) / 2}
          y={-bounds.maxY}
          text={piece.included ? piece.name : `${piece.name}: left out`}
        />
      )}
    </>
  );
}

/** Length and breadth of the piece in hand, as dimension lines along two sides of the smallest box round it. */
function SizeLines({ piece }: { readonly piece: Piece }) {
  const palette = usePalette();
  const zoom = useZoom();
  const sides = useMemo(() => boxSides(piece), [piece]);
  return sides.map(({ from, to, out, lengthMm }) => {
    const move = ({ x, y }: PlanePoint) => ({
      x: x + (out.x * GAP_PX) / zoom,
      y: y + (out.y * GAP_PX) / zoom,
    });
    const middle = midpoint(move(from), move(to));
    return (
      <Fragment key={`${out.x} ${out.y}`}>
        <PlaneSpan from={move(from)} to={move(to)} color={palette.accent} />
        <ScreenLabel x={middle.x} y={-middle.y} side="over" text={`${mmWords(lengthMm)} mm`} />
      </Fragment>
    );
  });
}
