import { Circle } from 'react-konva';
import { referenceName } from '../../capture/reference-warnings.ts';
import type { Capture } from '../../capture/types.ts';
import { PhotoLine } from '../worktable/photo-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import { meanPlacePx } from '../../geometry/point.ts';
import { type Pointing, sizeWords } from './pointing.ts';

/** As the cards are drawn: one set of colours in both themes, for the photo does not change with them. */
const FOUND = '#1d6355';
const AMISS = '#b25a00';
const POINTED = '#7a2f7a';

/** Bank card, sheets and two points as solved, each with its name and how far off it lies. */
export function ReferencesInPhoto({ capture }: { readonly capture: Capture }) {
  return (capture.references ?? []).map((found) => {
    const { kind, cornersPx, used } = found;
    const top = cornersPx.reduce((a, b) => (b.v < a.v ? b : a));
    const middleU = meanPlacePx(cornersPx).u;
    const name = referenceName(found).replace(/^the /u, '');
    const color = used ? FOUND : AMISS;
    return (
      <PhotoLineWithLabel
        key={`${kind} ${found.sheet ?? ''}`}
        points={cornersPx}
        closed={kind !== 'two-points'}
        color={color}
        isAmiss={!used}
        at={{ u: middleU, v: top.v }}
        text={used ? `${name}: ${sizeWords(found)}` : `${name}: left out`}
      />
    );
  });
}

interface LabelledLine {
  readonly points: readonly { readonly u: number; readonly v: number }[];
  readonly closed: boolean;
  readonly color: string;
  readonly isAmiss: boolean;
  readonly at: { readonly u: number; readonly v: number };
  readonly text: string;
}

function PhotoLineWithLabel({ points, closed, color, isAmiss, at, text }: LabelledLine) {
  return (
    <>
      <PhotoLine
        points={points}
        closed={closed}
        color={color}
        widthPx={2.5}
        {...(isAmiss && { dash: [8, 5] })}
      />
      <ScreenLabel x={at.u} y={at.v} text={text} color={color} />
    </>
  );
}

/** The places pointed out so far, numbered. */
export function PointedPlaces({ pointing }: { readonly pointing: Pointing }) {
  const zoom = useZoom();
  const { placesPx } = pointing;
  return (
    <>
      {placesPx.length > 1 && <PhotoLine points={placesPx} closed={false} color={POINTED} dash={[10, 6]} />}
      {placesPx.map(({ u, v }, index) => (
        <Circle
          key={`${index} ${u} ${v}`}
          x={u}
          y={v}
          radius={9 / zoom}
          stroke={POINTED}
          strokeWidth={3}
          strokeScaleEnabled={false}
          fill="#ffffff66"
          listening={false}
        />
      ))}
    </>
  );
}
