import type { PlanePoint } from '../../geometry/point.ts';
import { headFromAbove } from './head-from-above.ts';

interface HeadDrawingProps {
  readonly girthMm: number;
  readonly easeMm: number;
  readonly thicknessMm: number;
  readonly coverageRad: number;
}

function data(points: readonly PlanePoint[], closed: boolean): string {
  const run = points.map(({ x, y }, i) => `${i ? 'L' : 'M'}${x.toFixed(2)} ${(-y).toFixed(2)}`).join('');
  return closed ? `${run}Z` : run;
}

/** The wearer's head from above with the foam round it, in true proportions. */
export function HeadDrawing(props: HeadDrawingProps) {
  const { head, inner, outer, isAllRound } = headFromAbove(props);
  const reach = Math.max(
    ...outer.map(({ x, y }) => Math.max(Math.abs(x), Math.abs(y))),
    ...head.map(({ y }) => y),
  );
  const box = reach + 26;
  const brow = head[0]!;
  const ear = head[Math.round(head.length / 4)]!;
  const foam = isAllRound
    ? data(outer, true) + data(inner, true)
    : data([...outer, ...inner.toReversed()], true);
  return (
    <figure className="head-drawing">
      <svg viewBox={`${-box} ${-box} ${2 * box} ${2 * box}`} aria-hidden="true">
        <path className="head-drawing-head" d={data(head, true)} />
        <path className="head-drawing-head" d={`M-9 ${-brow.y + 2}L0 ${-brow.y - 14}L9 ${-brow.y + 2}`} />
        {[-1, 1].map((side) => (
          <path
            key={side}
            className="head-drawing-head"
            d={`M${side * (Math.abs(ear.x) - 1)} -14q${side * 14} 2 ${side * 8} 28`}
          />
        ))}
        <path className="head-drawing-foam" d={foam} fillRule="evenodd" />
      </svg>
      <figcaption className="small quiet">
        From above, in true proportions: an average head shape of this girth, and the foam over the part it
        covers.
      </figcaption>
    </figure>
  );
}
