import { useMemo } from 'react';
import { Path as KonvaPath } from 'react-konva';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { usePalette } from '../look/palette.ts';
import { canvasData } from './plane-shapes.tsx';
import { isDrawn } from './plane-words.tsx';

/** The foam itself, openings left out. */
export function Sheet({ lines }: { readonly lines: readonly PieceLine[] }) {
  const palette = usePalette();
  const data = useMemo(
    () =>
      lines
        .filter(({ kind }) => kind === 'cut' || kind === 'cutout')
        .map(({ path }) => canvasData(path))
        .join(''),
    [lines],
  );
  return <KonvaPath data={data} fill={palette.paper} fillRule="evenodd" listening={false} />;
}

/** The piece as it was (dotted), or as it would become (dashed, in the accent). */
export function Ghost({
  lines,
  isAhead = false,
}: {
  readonly lines: readonly PieceLine[];
  readonly isAhead?: boolean;
}) {
  const palette = usePalette();
  const data = useMemo(
    () =>
      lines
        .filter(isDrawn)
        .map(({ path }) => canvasData(path))
        .join(''),
    [lines],
  );
  return (
    <KonvaPath
      data={data}
      stroke={isAhead ? palette.accent : palette.inkQuiet}
      strokeWidth={1.75}
      strokeScaleEnabled={false}
      dash={isAhead ? [9, 5] : [1.5, 4]}
      lineCap="round"
      listening={false}
    />
  );
}
