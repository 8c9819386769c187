import { useMemo } from 'react';
import { lastRevision } from '../../../build/lookups.ts';
import { notchesOn, seamsInForce } from '../../../build/seam-lookups.ts';
import type { PieceEdge } from '../../../build/seam-types.ts';
import type { Piece } from '../../../build/types.ts';
import { edgeAt, edgePath } from '../../../fit/seams/seam-edge.ts';
import { walkSeam } from '../../../fit/seams/walk-seam.ts';
import { boundsOf, flattenPath } from '../../../geometry/measure.ts';
import { nearestOnPath } from '../../../geometry/nearest.ts';
import type { Path } from '../../../geometry/path.ts';
import { placeAtLength, pointAt } from '../../../geometry/place.ts';
import { pathLengthMm } from '../../../geometry/measure.ts';
import type { PlanePoint } from '../../../geometry/point.ts';
import { useBuild } from '../../bench.ts';
import { mmWords } from '../../controls/number-words.ts';
import { usePalette } from '../../look/palette.ts';
import { Sheet } from '../../worktable/piece-shapes.tsx';
import { onCanvas, PlaneGrid, PlaneLine } from '../../worktable/plane-shapes.tsx';
import { hasWords, isDrawn, PlaneWords } from '../../worktable/plane-words.tsx';
import { grown, withRoomAbove } from '../../worktable/room.ts';
import { ScreenLabel } from '../../worktable/screen-label.tsx';
import { PlaneTable } from '../../worktable/worktable.tsx';
import { pickEdge, useWork, work } from './work-store.ts';

/** A tap this far from the edge, as a share of the piece's size, is not meant for it. */
const FARTHEST_SHARE = 0.12;

/** The piece with the edges picked on it, and the notches of its seams. */
export function SeamsTable({ piece, outline }: { readonly piece: Piece; readonly outline: Path }) {
  const edges = useWork((each) => each.edges);
  const build = useBuild((each) => each);
  const palette = usePalette();
  const { lines } = lastRevision(piece);
  const bounds = useMemo(() => withRoomAbove(grown(boundsOf(flattenPath(outline, 0.5)), 0.12)), [outline]);
  const notches = useMemo(() => notchesOn(build, piece.id), [build, piece.id]);
  const tap = (at: PlanePoint) => {
    const reachMm = FARTHEST_SHARE * Math.max(bounds.maxX - bounds.minX, bounds.maxY - bounds.minY);
    if (nearestOnPath(outline, at).distanceMm > reachMm) return;
    pickEdge(work.getState().picking, { pieceId: piece.id, ...edgeAt(outline, at) });
  };
  return (
    <PlaneTable
      label={`${piece.name}: tap an edge to pick it`}
      fitKey={`seams ${piece.id}`}
      boundsMm={bounds}
      onTap={tap}
      isPicking
    >
      <PlaneGrid boundsMm={grown(bounds, 1)} />
      <Sheet lines={lines} />
      {lines.filter(isDrawn).map(({ id, kind, path }) => (
        <PlaneLine key={id} kind={kind} path={path} />
      ))}
      {lines.filter(hasWords).map((line) => (
        <PlaneWords key={line.id} line={line} color={palette.ink} />
      ))}
      {notches.flatMap(({ marks }) =>
        marks.map(({ id, path, words }) =>
          words ? null : <PlaneLine key={id} kind="mark" path={path} isStrong />,
        ),
      )}
      {notches.flatMap(({ marks }) =>
        marks.flatMap(({ id, path, words }) =>
          words ? [<ScreenLabel key={id} {...onCanvas(path.start)} text={words.text} side="over" />] : [],
        ),
      )}
      {(['a', 'b'] as const).map((side) => {
        const edge = edges[side];
        return edge?.pieceId === piece.id ? (
          <PickedEdge key={side} edge={edge} outline={outline} name={side.toUpperCase()} />
        ) : null;
      })}
      <ShortEnds piece={piece} />
    </PlaneTable>
  );
}

function PickedEdge({
  edge,
  outline,
  name,
}: {
  readonly edge: PieceEdge;
  readonly outline: Path;
  readonly name: string;
}) {
  const palette = usePalette();
  const path = edgePath(outline, edge);
  if (path.segments.length === 0) return null;
  const lengthMm = pathLengthMm(path);
  const middle = pointAt(path, placeAtLength(path, lengthMm / 2));
  return (
    <>
      <PlaneLine path={path} kind="cut" isStrong color={palette.accent} />
      <ScreenLabel {...onCanvas(middle)} text={`${name}: ${mmWords(lengthMm)} mm`} />
    </>
  );
}

/** Where, on this piece, the other edge of a seam comes to its end. */
function ShortEnds({ piece }: { readonly piece: Piece }) {
  const build = useBuild((each) => each);
  const ends = useMemo(
    () =>
      seamsInForce(build).flatMap(({ seam, a, b }) => {
        const { shorterEndsAt, differenceMm } = walkSeam(a, b, seam.facing);
        const longer = shorterEndsAt.edge === 'a' ? a : b;
        if (Math.abs(differenceMm) < 1 || longer.piece.id !== piece.id) return [];
        return [{ id: seam.id, at: shorterEndsAt.at, text: `${seam.name} ends here` }];
      }),
    [build, piece.id],
  );
  return ends.map(({ id, at, text }) => <ScreenLabel key={id} {...onCanvas(at)} text={text} side="below" />);
}
