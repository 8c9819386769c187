import { Check, TriangleAlert } from 'lucide-react';
import { Fragment } from 'react';
import { mmWords } from '../controls/number-words.ts';

export interface JudgedRow {
  readonly name: string;
  readonly valueMm: number;
  /** What the figure is made of, in small. */
  readonly note?: string;
}

/** Figures in mm, each beside a mark that says whether it keeps the limit: the mark's shape tells it too. */
export function Judged({ rows, limitMm }: { readonly rows: readonly JudgedRow[]; readonly limitMm: number }) {
  return (
    <dl className="judged">
      {rows.map(({ name, valueMm, note }) => (
        <Fragment key={name}>
          <dt>
            {name}
            {note !== undefined && <span className="small"> {note}</span>}
          </dt>
          <dd>{mmWords(valueMm, 2)} mm</dd>
          <dd>
            {valueMm <= limitMm ? (
              <Check size={18} role="img" aria-label="within the limit" className="judged-good" />
            ) : (
              <TriangleAlert size={18} role="img" aria-label="over the limit" className="judged-over" />
            )}
          </dd>
        </Fragment>
      ))}
    </dl>
  );
}
