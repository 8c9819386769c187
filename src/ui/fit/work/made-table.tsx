import { type ReactNode, useEffect, useMemo } from 'react';
import type { PieceLine } from '../../../geometry/line-kinds.ts';
import { boundsOf, flattenPath } from '../../../geometry/measure.ts';
import { usePalette } from '../../look/palette.ts';
import { Sheet } from '../../worktable/piece-shapes.tsx';
import { PlaneGrid, PlaneLine } from '../../worktable/plane-shapes.tsx';
import { hasWords, isDrawn, PlaneWords } from '../../worktable/plane-words.tsx';
import { grown } from '../../worktable/room.ts';
import { PlaneTable } from '../../worktable/worktable.tsx';
import { useWork, work } from './work-store.ts';

/** Lays what is being made to measure on the table for as long as its fields are open. */
export function useShownMade(name: string, lines: readonly PieceLine[] | undefined): void {
  // Worked out afresh at every rendering: told apart by what it says, or each would call for the next.
  const told = JSON.stringify(lines ?? null);
  useEffect(() => {
    const made = JSON.parse(told) as readonly PieceLine[] | null;
    work.setState({ made: made ? { name, lines: made } : undefined });
    return () => work.setState({ made: undefined });
  }, [name, told]);
}

/** A band or bar as it would be cut. */
export function MadeTable({ otherwise }: { readonly otherwise: ReactNode }) {
  const made = useWork((each) => each.made);
  const palette = usePalette();
  const bounds = useMemo(
    () => made && grown(boundsOf(made.lines.flatMap(({ path }) => flattenPath(path, 0.5))), 0.1),
    [made],
  );
  if (!made || !bounds) return otherwise;
  return (
    <PlaneTable label={`${made.name} as it would be cut`} fitKey={`made ${made.name}`} boundsMm={bounds}>
      <PlaneGrid boundsMm={grown(bounds, 1)} />
      <Sheet lines={made.lines} />
      {made.lines.filter(isDrawn).map(({ id, kind, path }) => (
        <PlaneLine key={id} kind={kind} path={path} />
      ))}
      {made.lines.filter(hasWords).map((line) => (
        <PlaneWords key={line.id} line={line} color={palette.ink} />
      ))}
    </PlaneTable>
  );
}
