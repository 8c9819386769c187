import { CircleQuestionMark, Maximize, ZoomIn, ZoomOut } from 'lucide-react';
import { DialogTrigger, Popover } from 'react-aria-components';
import { ActionButton } from '../controls/action-button.tsx';

interface TableToolsProps {
  readonly onZoom: (closer: boolean) => void;
  readonly onFit: () => void;
}

const KEYS: readonly (readonly [readonly string[], string])[] = [
  [['←', '→', '↑', '↓'], 'move the table'],
  [['+', '−'], 'closer, farther'],
  [['0'], 'show the whole'],
  [['Ctrl Z'], 'undo'],
  [['Ctrl Shift Z'], 'do again'],
];

/** The buttons in the table's corner. */
export function TableTools({ onZoom, onFit }: TableToolsProps) {
  return (
    <div className="table-tools">
      <span className="hide-on-phone">
        <ActionButton kind="quiet" icon={ZoomOut} onPress={() => onZoom(false)}>
          Farther
        </ActionButton>
        <ActionButton kind="quiet" icon={ZoomIn} onPress={() => onZoom(true)}>
          Closer
        </ActionButton>
      </span>
      <ActionButton kind="quiet" icon={Maximize} onPress={onFit}>
        Whole
      </ActionButton>
      <DialogTrigger>
        <ActionButton kind="quiet" icon={CircleQuestionMark}>
          Help
        </ActionButton>
        <Popover className="pop" placement="top end" aria-label="Moving and zooming">
          <div className="pop-inside">
            <p>Drag to move. Wheel or pinch to zoom. Double click to show the whole.</p>
            <div className="keys">
              {KEYS.map(([keys, words]) => (
                <KeyRow key={words} keys={keys} words={words} />
              ))}
            </div>
            <p className="small quiet">
              The keys for moving work once the table is clicked or reached with Tab.
            </p>
          </div>
        </Popover>
      </DialogTrigger>
    </div>
  );
}

function KeyRow({ keys, words }: { readonly keys: readonly string[]; readonly words: string }) {
  return (
    <>
      <span className="row">
        {keys.map((key) => (
          <kbd key={key}>{key}</kbd>
        ))}
      </span>
      <span>{words}</span>
    </>
  );
}
