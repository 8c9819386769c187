import { ListChecks, Undo2 } from 'lucide-react';
import { excuseStretch, judgeStretchAgain } from '../../build/commands/excuses.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { excuseFor } from '../../mirror/excuse-stretch.ts';
import type { ExcusedFinding } from '../../mirror/excused.ts';
import type { FoldFigures } from '../../mirror/fold-figures.ts';
import type { FoldStretch } from '../../mirror/fold-stretches.ts';
import { change } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { mmWords } from '../controls/number-words.ts';
import { TextLine } from '../controls/text-line.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';

interface PlacesPartProps {
  /** The piece that a half belongs to: one and the same, or two of a pair. */
  readonly pieceOf: (half: FoldStretch['half']) => {
    readonly id: string;
    readonly lines: readonly PieceLine[];
  };
  readonly names: Readonly<Record<FoldStretch['half'], string>>;
  readonly check: FoldFigures;
}

const MOST_LISTED = 8;

/** "3.2 mm on the right half". */
export function placeWordsOf({ peakMm, half }: FoldStretch, names: PlacesPartProps['names']): string {
  return `${mmWords(Math.abs(peakMm))} mm on the ${names[half]}`;
}

/** The places over the limit, each of which may be uneven on purpose; and those that were excused. */
export function PlacesPart({ pieceOf, names, check }: PlacesPartProps) {
  const { stretches, excused } = check;
  if (stretches.length + excused.length === 0) return null;
  const excuse = (stretch: FoldStretch) => {
    const { id: pieceId, lines } = pieceOf(stretch.half);
    const named = { id: crypto.randomUUID(), name: `uneven stretch ${excused.length + 1}` };
    change('Excuse a stretch', (build) =>
      excuseStretch(build, { pieceId, stretch: excuseFor(stretch, check, lines, named) }),
    );
  };
  return (
    <PanelPart title="Place by place" icon={ListChecks}>
      {stretches.length > 0 && (
        <ol className="count-list">
          {stretches.slice(0, MOST_LISTED).map((stretch, index) => (
            <li key={`${stretch.lineId} ${stretch.fromMm}`} className="place-row">
              <span>
                <strong>{index + 1}</strong> {placeWordsOf(stretch, names)}
              </span>
              <ActionButton
                aria-label={`Place ${index + 1} is uneven on purpose`}
                onPress={() => excuse(stretch)}
              >
                On purpose
              </ActionButton>
            </li>
          ))}
        </ol>
      )}
      {excused.length > 0 && (
        <ul className="count-list">
          {excused.map((finding) => (
            <ExcusedRow key={finding.stretch.id} finding={finding} pieceOf={pieceOf} />
          ))}
        </ul>
      )}
    </PanelPart>
  );
}

interface ExcusedRowProps {
  readonly finding: ExcusedFinding;
  readonly pieceOf: PlacesPartProps['pieceOf'];
}

/** A stretch that is uneven on purpose: its name, how uneven it is, and a way back. */
function ExcusedRow({ finding, pieceOf }: ExcusedRowProps) {
  const { stretch, peakMm, lineId } = finding;
  const owner = (['left', 'right'] as const)
    .map(pieceOf)
    .find(({ lines }) => lines.some(({ id }) => id === lineId))!;
  return (
    <li className="place-row">
      <TextLine
        label={`Uneven on purpose, ${mmWords(Math.abs(peakMm))} mm: does not count`}
        value={stretch.name}
        onChange={(name) =>
          change('Name a stretch', (build) =>
            excuseStretch(build, { pieceId: owner.id, stretch: { ...stretch, name } }),
          )
        }
      />
      <ActionButton
        kind="quiet"
        icon={Undo2}
        aria-label={`Count ${stretch.name} again`}
        onPress={() =>
          change('Count a stretch again', (build) =>
            judgeStretchAgain(build, { pieceId: owner.id, stretchId: stretch.id }),
          )
        }
      >
        Count it again
      </ActionButton>
    </li>
  );
}
