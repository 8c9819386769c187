import type { ReactNode } from 'react';

/** A line drawing of our own: graphite lines, the accent for what matters; decoration beside the words. */
export function Drawing({ viewBox, children }: { readonly viewBox: string; readonly children: ReactNode }) {
  return (
    <svg
      className="drawing"
      viewBox={viewBox}
      fill="none"
      stroke="currentColor"
      strokeWidth="2"
      strokeLinecap="round"
      strokeLinejoin="round"
      aria-hidden="true"
    >
      {children}
    </svg>
  );
}

/** A scale card seen from above: a border, the marker as a block, four hourglass marks. */
export function Card({ x, y, turn }: { readonly x: number; readonly y: number; readonly turn: number }) {
  const mark = 'M0 0h5a5 5 0 0 1-5 5zM0 0h-5a5 5 0 0 1 5-5z';
  return (
    <g className="drawing-card" transform={`translate(${x} ${y}) rotate(${turn})`} stroke="currentColor">
      <rect x="-24" y="-24" width="48" height="48" rx="1" />
      <path
        d="M-12-12h24v24h-24zM-5-5h5v5h-5zM2 3h5v4h-5z"
        fill="currentColor"
        fillRule="evenodd"
        stroke="none"
      />
      {[
        [-17, -17],
        [17, -17],
        [17, 17],
        [-17, 17],
      ].map(([cx, cy]) => (
        <path
          key={`${cx} ${cy}`}
          d={mark}
          transform={`translate(${cx} ${cy})`}
          fill="currentColor"
          stroke="none"
        />
      ))}
    </g>
  );
}
