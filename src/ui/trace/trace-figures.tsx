import { useMemo } from 'react';
import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import { pathAreaMm2, pathLengthMm } from '../../geometry/measure.ts';
import { Figures } from '../controls/figures.tsx';
import { Measure } from '../controls/measure.tsx';
import { More } from '../controls/more.tsx';
import { mmWords, whenWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { pieceSize } from './piece-size.ts';

/** The numbers of the piece in hand. */
export function TraceFigures({ piece }: { readonly piece: Piece }) {
  const size = useMemo(() => pieceSize(piece), [piece]);
  const rows = useMemo(() => figuresOf(piece), [piece]);
  const tolerance = lastRevision(piece).toleranceMm;
  const withTolerance = tolerance === undefined ? {} : { toleranceMm: tolerance };
  return (
    <PanelPart title={piece.name}>
      <div className="two-up">
        <Measure label="Width" valueMm={size.widthMm} size="plain" {...withTolerance} />
        <Measure label="Height" valueMm={size.heightMm} size="plain" {...withTolerance} />
      </div>
      <Figures rows={rows} />
      <More title="Revisions">
        <Figures rows={piece.revisions.map(({ why, when }) => [why, whenWords(when)] as const).reverse()} />
      </More>
    </PanelPart>
  );
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
    ['Straight and curved runs', String(segments)],
  ];
}
