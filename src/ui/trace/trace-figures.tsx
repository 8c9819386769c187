import { useMemo } from 'react';
import { lastRevision } from '../../build/lookups.ts';
import type { Piece, TraceFacts } from '../../build/types.ts';
import { pathAreaMm2, pathLengthMm } from '../../geometry/measure.ts';
import { Figures } from '../controls/figures.tsx';
import { Measure, StatedNote } from '../controls/measure.tsx';
import { More } from '../controls/more.tsx';
import { Notice } from '../controls/notice.tsx';
import { mmWords, percentWords, whenWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { lastTrace } from './last-trace.ts';
import { pieceSize } from './piece-size.ts';
import { WallNote } from './wall-note.tsx';

/** The numbers of the piece in hand. */
export function TraceFigures({ piece }: { readonly piece: Piece }) {
  const size = useMemo(() => pieceSize(piece), [piece]);
  const rows = useMemo(() => figuresOf(piece), [piece]);
  const tolerance = lastRevision(piece).toleranceMm;
  const withTolerance = tolerance === undefined ? {} : { toleranceMm: tolerance };
  return (
    <PanelPart title={piece.name}>
      <div className="two-up">
        <Measure label="Long side" valueMm={size.longMm} size="plain" {...withTolerance} />
        <Measure label="Short side" valueMm={size.shortMm} size="plain" {...withTolerance} />
      </div>
      {tolerance !== undefined && <StatedNote />}
      <Figures rows={rows} />
      <WallNote piece={piece} />
      {lastTrace(piece)
        ?.warnings.filter(({ code }) => code !== 'side-wall') // said with the field that answers it
        .map(({ code, message }) => (
          <Notice key={`${code} ${message}`} tone="look">
            <p>{message}</p>
          </Notice>
        ))}
      <More title="Revisions">
        <Figures rows={piece.revisions.map(({ why, when }) => [why, whenWords(when)] as const).reverse()} />
      </More>
    </PanelPart>
  );
}

/** How far cleaning moved the lines, and how much of a thick piece was seen at its foot. */
function cleaningFigures(traced: TraceFacts | undefined): readonly (readonly [string, string])[] {
  if (!traced) return [];
  const moved = `${mmWords(traced.movedMaxMm, 2)} mm`;
  return [
    ['Cleaning moved the line at most', moved],
    ['… and on average', `${mmWords(traced.movedMeanMm, 3)} mm`],
    ...(traced.footShare > 0 ? ([['Edge seen at the table', percentWords(traced.footShare)]] as const) : []),
  ];
}

function figuresOf(piece: Piece): readonly (readonly [string, string])[] {
  const { lines } = lastRevision(piece);
  const outer = lines.find(({ kind }) => kind === 'cut');
  const holes = lines.filter(({ kind }) => kind === 'cutout');
  const areaMm2 = [...(outer ? [outer] : []), ...holes].reduce((sum, { path }) => sum + pathAreaMm2(path), 0);
  const segments = lines.reduce((sum, { path }) => sum + path.segments.length, 0);
  return [
    ...(outer ? ([['Length of the edge', `${mmWords(pathLengthMm(outer.path))} mm`]] as const) : []),
    ['Area', `${mmWords(areaMm2 / 100)} cm²`],
    ['Cut-outs', String(holes.length)],
    ...cleaningFigures(lastTrace(piece)),
    ['Straight and curved runs', String(segments)],
  ];
}
