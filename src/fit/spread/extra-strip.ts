import { offsetLine } from '../../geometry/edit/offset-line.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { pathAreaMm2 } from '../../geometry/measure.ts';
import { cutLineOf } from '../scale-piece.ts';

/**
 * A piece with a strip left on outside its cut line, for trying on first and trimming after: the new cut line runs
 * `widthMm` outside, and the true one is kept as a mark to trim to. Undefined for a piece without a closed cut line.
 */
export function withExtraStrip(lines: readonly PieceLine[], widthMm: number): PieceLine[] | undefined {
  const outline = cutLineOf(lines);
  if (!outline) return undefined;
  const outside = offsetLine(outline, widthMm, 'sharp');
  if (!outside.ok) return undefined;
  // A hollow that closes up leaves a ring inside; the outermost line is the one to cut.
  const [outermost] = outside.value.toSorted((a, b) => Math.abs(pathAreaMm2(b)) - Math.abs(pathAreaMm2(a)));
  if (!outermost) return undefined;
  return lines.flatMap((line): PieceLine[] =>
    line.path === outline
      ? [
          { ...line, path: outermost },
          { ...line, id: `${line.id}-trim`, kind: 'mark' },
        ]
      : [line],
  );
}
