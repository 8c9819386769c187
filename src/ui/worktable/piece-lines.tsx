import type { PieceLine } from '../../geometry/line-kinds.ts';
import { usePalette } from '../look/palette.ts';
import { PlaneLine } from './plane-shapes.tsx';
import { hasWords, isDrawn, PlaneWords } from './plane-words.tsx';

/** A piece's lines, each in its kind's dash and colour, and its words in place of the lines that they stand on. */
export function PieceLines({ lines }: { readonly lines: readonly PieceLine[] }) {
  const palette = usePalette();
  return (
    <>
      {lines.filter(isDrawn).map(({ id, kind, path }) => (
        <PlaneLine key={id} kind={kind} path={path} />
      ))}
      {lines.filter(hasWords).map((line) => (
        <PlaneWords key={line.id} line={line} color={palette.ink} />
      ))}
    </>
  );
}
