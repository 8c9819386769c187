import type { PieceSizes } from '../../fit/scale-piece.ts';
import { mmWords } from '../controls/number-words.ts';
import { signedWords } from './signed-words.ts';

const ROWS: readonly {
  readonly name: string;
  readonly unit: string;
  readonly of: (sizes: PieceSizes) => number;
}[] = [
  { name: 'Wrap line', unit: 'mm', of: ({ wrapMm }) => wrapMm },
  { name: 'Along it', unit: 'mm', of: ({ alongMm }) => alongMm },
  { name: 'Across it', unit: 'mm', of: ({ acrossMm }) => acrossMm },
  { name: 'Edge', unit: 'mm', of: ({ outlineMm }) => outlineMm },
  { name: 'Area', unit: 'cm²', of: ({ areaMm2 }) => areaMm2 / 100 },
];

/** Sizes of a piece before and after a change. */
export function BeforeAfter({
  before,
  after,
  isStale,
  words,
}: {
  readonly before: PieceSizes;
  readonly after: PieceSizes;
  readonly isStale: boolean;
  /** Heads the column of what it becomes. */
  readonly words: string;
}) {
  return (
    <table className={`before-after${isStale ? ' is-stale' : ''}`}>
      <thead>
        <tr>
          <td />
          <th scope="col">now</th>
          <th scope="col">{words}</th>
          <th scope="col">change</th>
        </tr>
      </thead>
      <tbody>
        {ROWS.map(({ name, unit, of }) => (
          <tr key={name}>
            <th scope="row">
              {name} <span className="small">{unit}</span>
            </th>
            <td>{mmWords(of(before))}</td>
            <td>
              <strong>{mmWords(of(after))}</strong>
            </td>
            <td>{signedWords(of(after) - of(before))}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
