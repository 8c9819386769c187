import type { SizeRange } from '../../build/seam-types.ts';
import { headsOf } from '../../build/sizes-in-force.ts';
import { chosenWearer } from '../../build/lookups.ts';
import { useBuild } from '../bench.ts';
import { PickFrom } from '../controls/pick-from.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import type { SizeChoice } from './template-input-of.ts';

interface SizesPartProps {
  readonly range: SizeRange;
  readonly value: SizeChoice;
  readonly onChange: (choice: SizeChoice) => void;
}

/** Which sizes of the range are printed. */
export function SizesPart({ range, value, onChange }: SizesPartProps) {
  const build = useBuild((each) => each);
  const heads = headsOf(build, range);
  const wearer = chosenWearer(build);
  return (
    <PanelPart title="Sizes">
      <PickFrom
        label="Sizes printed"
        options={[
          { id: 'fitted', words: 'As the pieces are now', note: wearer.name },
          { id: 'nested', words: 'All sizes, nested' },
          ...heads.map(({ label }, index) => ({ id: `${index}`, words: `Only ${label}` })),
        ]}
        value={`${value}`}
        onChange={(id) => onChange(id === 'fitted' || id === 'nested' ? id : Number(id))}
      />
      {value === 'nested' && (
        <p className="small quiet">
          Each size has its own dash code, explained on the piece. Notches and strips to trim are printed with
          single sizes only.
        </p>
      )}
    </PanelPart>
  );
}
