import type { PlanePoint } from '../../geometry/point.ts';
import { MmField } from '../controls/mm-field.tsx';

/** What a field shows is rounded: a smaller change than this is none, mm. */
const SHOWN_MM = 0.05;
const FARTHEST_MM = 3000;

interface EndFieldsProps {
  readonly line: { readonly from: PlanePoint; readonly to: PlanePoint };
  readonly onMove: (end: 'from' | 'to', place: PlanePoint) => void;
}

/** Both ends of a line on the piece, by number. */
export function EndFields({ line, onMove }: EndFieldsProps) {
  return (
    <div className="field-rows">
      {(['from', 'to'] as const).map((end) =>
        (['x', 'y'] as const).map((axis) => (
          <MmField
            key={end + axis}
            label={`${end === 'from' ? 'First end' : 'Second end'}, ${axis === 'x' ? 'across' : 'up'}`}
            min={-FARTHEST_MM}
            max={FARTHEST_MM}
            value={line[end][axis]}
            onChange={(mm) => {
              if (Math.abs(mm - line[end][axis]) > SHOWN_MM) onMove(end, { ...line[end], [axis]: mm });
            }}
          />
        )),
      )}
    </div>
  );
}
