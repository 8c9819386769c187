import type { Foam } from '../../build/fit-types.ts';
import { wrapLengthMm, type WrapNeed } from '../../fit/wrap-length.ts';
import { mmWords } from '../controls/number-words.ts';
import { signedWords } from './signed-words.ts';

/** The wrap wanted in every foam of the build, beside that in the chosen one. */
export function FoamLengths({
  need,
  foams,
  foamId,
}: {
  readonly need: WrapNeed;
  readonly foams: readonly Foam[];
  readonly foamId: string;
}) {
  const chosenMm = wrapLengthMm(need);
  const rows = foams.toSorted((a, b) => a.thicknessMm - b.thicknessMm);
  return (
    <table className="before-after">
      <thead>
        <tr>
          <th scope="col">foam</th>
          <th scope="col">wrap, mm</th>
          <th scope="col">difference</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((foam) => {
          const mm = wrapLengthMm({ ...need, foam });
          return (
            <tr key={foam.id} {...(foam.id === foamId && { className: 'is-own', 'aria-current': 'true' })}>
              <th scope="row">{foam.name}</th>
              <td>{mmWords(mm, 2)}</td>
              <td>{signedWords(mm - chosenMm)}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
