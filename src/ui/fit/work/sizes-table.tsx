import { useMemo } from 'react';
import { lastRevision } from '../../../build/lookups.ts';
import { sizesOfPiece } from '../../../build/sizes-in-force.ts';
import type { Piece } from '../../../build/types.ts';
import { sizeDashMm } from '../../../fit/range/dash-codes.ts';
import { boundsOf, flattenPath } from '../../../geometry/measure.ts';
import { useBuild } from '../../bench.ts';
import { onCanvas, PlaneGrid, PlaneLine } from '../../worktable/plane-shapes.tsx';
import { Sheet } from '../../worktable/piece-shapes.tsx';
import { isDrawn } from '../../worktable/plane-words.tsx';
import { grown, withRoomAbove } from '../../worktable/room.ts';
import { ScreenLabel } from '../../worktable/screen-label.tsx';
import { PlaneTable } from '../../worktable/worktable.tsx';

/** A piece in all its sizes, nested. */
export function SizesTable({ piece }: { readonly piece: Piece }) {
  const build = useBuild((each) => each);
  const range = build.sizeRange;
  const sizes = useMemo(
    () => (range ? (sizesOfPiece(build, piece, range) ?? []) : []),
    [build, piece, range],
  );
  const { lines } = lastRevision(piece);
  const made = useMemo(
    () => sizes.flatMap(({ plan, head }, index) => (plan ? [{ plan, label: head.label, index }] : [])),
    [sizes],
  );
  const bounds = useMemo(() => {
    const all = [lines, ...made.map(({ plan }) => plan.lines)];
    return withRoomAbove(grown(boundsOf(all.flat().flatMap(({ path }) => flattenPath(path, 0.5))), 0.1));
  }, [lines, made]);
  return (
    <PlaneTable
      label={`${piece.name} in ${made.length} sizes`}
      fitKey={`sizes ${piece.id} ${made.length}`}
      boundsMm={bounds}
    >
      <PlaneGrid boundsMm={grown(bounds, 1)} />
      {made.length === 0 ? (
        <>
          <Sheet lines={lines} />
          {lines.filter(isDrawn).map(({ id, kind, path }) => (
            <PlaneLine key={id} kind={kind} path={path} />
          ))}
        </>
      ) : (
        made.flatMap(({ plan, label, index }) =>
          plan.lines
            .filter(isCut)
            .map(({ id, path }) => (
              <PlaneLine key={`${label} ${id}`} kind="mark" path={path} dashMm={sizeDashMm(index)} />
            )),
        )
      )}
      {[made[0], made.at(-1)].map(
        (each, i) =>
          each && (
            <ScreenLabel
              key={each.label}
              {...onCanvas(i === 0 ? each.plan.wrapLine.from : each.plan.wrapLine.to)}
              text={each.label}
              side={i === 0 ? 'below' : 'above'}
            />
          ),
      )}
    </PlaneTable>
  );
}

const isCut = ({ kind }: { readonly kind: string }) => kind === 'cut' || kind === 'cutout';
