import type { ReactNode } from 'react';
import type { HeadMeasure } from '../../fit/head-measures.ts';

/** Heads of our own: from the side (looking left), from the front, from above (brow up). */
const SIDE =
  'M24 70c1-5 0-8-4-8-6 0-8-2-7-7l1-4-3-2 2-4-6-3c4-6 6-10 6-16C14 13 26 4 41 4c17 0 28 11 28 27 0 8-3 12-7 17-3 4-4 12-2 22';
const SIDE_EAR = 'M42 36c-4-5 6-9 8-2 1 5-5 7-6 11';
const FRONT =
  'M40 4c14 0 22 10 22 26 0 10-2 17-6 24-4 8-9 15-16 15s-12-7-16-15c-4-7-6-14-6-24C18 14 26 4 40 4z';
const FRONT_EARS = 'M18 31c-5-2-5 12 2 13M62 31c5-2 5 12-2 13';
const FRONT_FACE = 'M27 36h6M47 36h6M36 58q4 2 8 0M40 38v10';
const ABOVE = 'M40 8c15 0 24 12 24 31S55 72 40 72 16 58 16 39 25 8 40 8z';
const ABOVE_FACE = 'M36 9q4-8 8 0M16 38c-5-1-5 9 1 10M64 38c5-1 5 9-1 10';

const side = (
  <>
    <path d={SIDE} />
    <path d={SIDE_EAR} />
  </>
);
const front = (
  <>
    <path d={FRONT} />
    <path d={FRONT_EARS} />
    <path d={FRONT_FACE} />
  </>
);
const above = (
  <>
    <path d={ABOVE} />
    <path d={ABOVE_FACE} />
  </>
);

/** The head behind, and where the tape goes. */
const DRAWINGS: Readonly<Record<HeadMeasure, readonly [head: ReactNode, tape: string]>> = {
  girthMm: [side, 'M13 22C30 27 52 33 68 33'],
  headLengthMm: [above, 'M40 4v71M34 4h12M34 75h12'],
  headBreadthMm: [above, 'M13 41h54M13 35v12M67 35v12'],
  earToEarMm: [front, 'M17 34C15 14 26 2 40 2s25 12 23 32'],
  browToNapeMm: [side, 'M11 23C13 10 26 2 41 2c18 0 30 12 30 29 0 8-3 13-7 18'],
  browToChinMm: [side, 'M4 30v33M0 30h9M0 63h22'],
  earToBrowMm: [side, 'M43 36C34 34 22 28 13 23'],
};

/** Where the tape goes for a measure, as a small drawing beside its words. */
export function TapeDrawing({ measure }: { readonly measure: HeadMeasure }) {
  const [head, tape] = DRAWINGS[measure];
  return (
    <svg className="tape-drawing" viewBox="-3 -2 80 80" aria-hidden="true">
      <g className="tape-drawing-head">{head}</g>
      <path className="tape-drawing-tape" d={tape} />
    </svg>
  );
}
