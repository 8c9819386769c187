import { House, Redo2, Undo2 } from 'lucide-react';
import { renameBuild } from '../../build/commands/build-setup.ts';
import { bench, change, useBench, useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { TextLine } from '../controls/text-line.tsx';
import { goToStart } from '../desk.ts';

/** The bar above the shop: home, the build's name, undo and redo. */
export function ShopBar() {
  const name = useBuild((build) => build.name);
  const undoLabel = useBench(({ undoLabel }) => undoLabel);
  const redoLabel = useBench(({ redoLabel }) => redoLabel);
  return (
    <header className="shop-bar">
      <ActionButton kind="quiet" icon={House} wordHidesOnPhone onPress={goToStart}>
        Start
      </ActionButton>
      <h1 className="only-read-aloud">{name} – Foamwright</h1>
      <div className="build-name">
        <TextLine
          label="Name of the build"
          hideLabel
          value={name}
          onChange={(next) => change('Rename build', (build) => renameBuild(build, { name: next }))}
        />
      </div>
      <div className="shop-bar-end">
        <ActionButton
          kind="quiet"
          icon={Undo2}
          wordHidesOnPhone
          isDisabled={undoLabel === undefined}
          aria-label={undoLabel === undefined ? 'Undo' : `Undo: ${undoLabel}`}
          onPress={() => bench.undo()}
        >
          Undo
        </ActionButton>
        <ActionButton
          kind="quiet"
          icon={Redo2}
          wordHidesOnPhone
          isDisabled={redoLabel === undefined}
          aria-label={redoLabel === undefined ? 'Redo' : `Redo: ${redoLabel}`}
          onPress={() => bench.redo()}
        >
          Redo
        </ActionButton>
      </div>
    </header>
  );
}
