import { Fragment } from 'react';

/** A short list of names and figures. */
export function Figures({ rows }: { readonly rows: readonly (readonly [name: string, figure: string])[] }) {
  return (
    <dl className="figures">
      {rows.map(([name, figure]) => (
        <Fragment key={name}>
          <dt>{name}</dt>
          <dd>{figure}</dd>
        </Fragment>
      ))}
    </dl>
  );
}
