import type { PlanePoint } from '../geometry/point.ts';
import { foldLine } from '../mirror/axis.ts';
import { checkFold } from '../mirror/check-fold.ts';
import { findAxes } from '../mirror/find-axes.ts';
import type { FoldCheckRequest } from './command-line.ts';
import { type NamedPiece, readOutlineFile } from './outline-file.ts';

/** Common practice, no source. */
export const USUAL_LIMIT_MM = 2;

export const rounded = (value: number, digits = 4): number => Number(value.toFixed(digits));
export const pair = ({ x, y }: PlanePoint): readonly [number, number] => [rounded(x), rounded(y)];

/** Folds every piece of a file and gives the figures as JSON. Lengths mm, places in the frame of the file. */
export async function runFoldCheck({ file, limitMm }: FoldCheckRequest): Promise<string> {
  const { pieces, limitMm: keptLimitMm } = await readOutlineFile(file);
  const limit = limitMm ?? keptLimitMm ?? USUAL_LIMIT_MM;
  return JSON.stringify(
    { limitMm: limit, pieces: pieces.map((piece) => foldFigures(piece, limit)) },
    undefined,
    2,
  );
}

/** The axis kept with the piece, or the best one found. */
function axisOf({ lines, axis }: NamedPiece) {
  if (axis) return foldLine(axis, axis.rule);
  const outline = lines.find(({ kind, path }) => kind === 'cut' && path.closed)!;
  const others = lines.filter((line) => line !== outline && line.kind !== 'wrap').map(({ path }) => path);
  return findAxes(outline.path, others)[0]!.axis;
}

function foldFigures(piece: NamedPiece, limitMm: number) {
  const check = checkFold(piece.lines, axisOf(piece), limitMm, piece.excused);
  const { axis, maxMm, maxAt, p95Mm, meanMm, areaDifferencePct, stretches, excused } = check;
  return {
    name: piece.name,
    axis: { point: pair(axis.point), angleRad: rounded(axis.angleRad, 7), rule: axis.rule },
    maxMm: rounded(maxMm),
    maxAt: pair(maxAt),
    p95Mm: rounded(p95Mm),
    meanMm: rounded(meanMm),
    areaDifferencePct: rounded(areaDifferencePct),
    stretches: stretches.map(({ fromMm, toMm, peakMm, at }) => ({
      from: rounded(fromMm),
      to: rounded(toMm),
      peakMm: rounded(peakMm),
      at: pair(at),
    })),
    // Uneven on purpose: in none of the figures above.
    ...(excused.length > 0 && {
      excused: excused.map(({ stretch, fromMm, toMm, peakMm, at }) => ({
        name: stretch.name,
        from: rounded(fromMm),
        to: rounded(toMm),
        peakMm: rounded(peakMm),
        at: pair(at),
      })),
    }),
  };
}
