import { ChartNoAxesCombined } from 'lucide-react';
import { PanelPart } from '../shell/stage-frame.tsx';
import { OffsetStrip, placeWords } from './offset-strip.tsx';
import type { EdgeOffset } from './offsets.ts';

interface EdgePartProps {
  readonly offsets: readonly EdgeOffset[];
  readonly limitMm: number;
  /** Index of the place pointed at. */
  readonly at: number | undefined;
  readonly onPoint: (index: number | undefined) => void;
  /** What is laid on the edge: "right half". */
  readonly laidName: string;
}

/** The offsets along the edge. */
export function EdgePart({ offsets, limitMm, at, onPoint, laidName }: EdgePartProps) {
  const ends = [`${laidName} reaches farther`, `${laidName} falls short`] as const;
  const pointed = at === undefined ? undefined : offsets[at];
  return (
    <PanelPart title="Along the edge" icon={ChartNoAxesCombined}>
      <OffsetStrip offsets={offsets} limitMm={limitMm} at={at} onPoint={onPoint} ends={ends} />
      <p className="small quiet">
        {pointed ? placeWords(pointed, ends) : 'Point at the strip, or tap the edge on the table.'}
      </p>
    </PanelPart>
  );
}
