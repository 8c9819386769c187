import { hatSizeOf } from '../../fit/hat-size.ts';

/** Girths of the table, cm. */
const FROM_CM = 52;
const TO_CM = 64;

/** Hat sizes by girth, the wearer's row marked. */
export function HatSizes({ girthMm }: { readonly girthMm: number }) {
  const rows = Array.from({ length: TO_CM - FROM_CM + 1 }, (_, i) => hatSizeOf((FROM_CM + i) * 10));
  const own = hatSizeOf(girthMm).euCm;
  return (
    <>
      <table className="before-after hat-sizes">
        <thead>
          <tr>
            <th scope="col">girth, cm (EU)</th>
            <th scope="col">US</th>
            <th scope="col">UK</th>
            <th scope="col">letters</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ us, uk, euCm, band }) => (
            <tr key={euCm} {...(euCm === own && { className: 'is-own', 'aria-current': 'true' })}>
              <th scope="row">{euCm}</th>
              <td>{us}</td>
              <td>{uk}</td>
              <td>{band}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="small quiet">
        Letters differ from maker to maker: go by the girth. One US size is 10 mm of girth.
      </p>
    </>
  );
}
