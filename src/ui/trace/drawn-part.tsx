import { PencilLine, Spline } from 'lucide-react';
import { useState } from 'react';
import {
  allowRefusedGaps,
  changeDrawnOptions,
  refuseGap,
  traceDrawnLines,
} from '../../build/commands/drawn-lines.ts';
import { LIMITS } from '../../build/limits.ts';
import type { Recipe } from '../../build/store.ts';
import type { CaptureRecord } from '../../build/types.ts';
import type { BridgedGap, DrawnOptions, StrokeEdge } from '../../trace/drawn/drawn-types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { mmWords } from '../controls/number-words.ts';
import { measurePhoto } from '../measuring.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { LoosePart } from './loose-part.tsx';

const MODES = [
  { id: 'cut', words: 'Cut-out pieces' },
  { id: 'drawn', words: 'Drawn lines' },
] as const;

/** What this photo shows: pieces cut out, or lines drawn on paper. */
export function TraceModePart({ record }: { readonly record: CaptureRecord }) {
  const { id: captureId, drawn } = record;
  return (
    <PanelPart title="What the photo shows">
      <Choice
        label="What the photo shows"
        options={MODES}
        value={drawn ? 'drawn' : 'cut'}
        onChange={(mode) =>
          void measurePhoto(captureId, mode === 'drawn' ? 'Trace drawn lines' : 'Trace cut pieces', (build) =>
            traceDrawnLines(build, { captureId, isDrawn: mode === 'drawn' }),
          )
        }
      />
    </PanelPart>
  );
}

const EDGES = [
  { id: 'centre', words: 'Middle' },
  { id: 'outer', words: 'Outside' },
  { id: 'inner', words: 'Inside' },
] as const satisfies readonly { id: StrokeEdge; words: string }[];

interface DrawnPartProps {
  readonly record: CaptureRecord;
  readonly drawn: DrawnOptions;
}

/** How drawn lines are read: which line of the stroke counts, how faint it may be, and the gaps bridged in it. */
export function DrawnPart({ record, drawn }: DrawnPartProps) {
  const { id: captureId } = record;
  const [pending, setPending] = useState<Partial<DrawnOptions>>({});
  const { strokeEdge, leastDarkness, largestGapMm } = { ...drawn, ...pending };
  const again = (label: string, recipe: Recipe, shown: Partial<DrawnOptions> = {}) => {
    setPending(shown);
    void measurePhoto(captureId, label, recipe).finally(() => setPending({}));
  };
  const set = (label: string, changes: Parameters<typeof changeDrawnOptions>[1]['changes']) =>
    again(label, (build) => changeDrawnOptions(build, { captureId, changes }), changes);
  return (
    <>
      <PanelPart title="How lines are read" icon={PencilLine}>
        <Choice
          label="Line of the stroke"
          options={EDGES}
          value={strokeEdge}
          onChange={(edge) => set('Choose the line of the stroke', { strokeEdge: edge })}
        />
        <p className="small quiet">
          Where a drawn outline runs in its own stroke: its middle, or its outer or inner edge. Inner lines
          take the middle.
        </p>
        <MmField
          label="Faintest line that counts"
          value={Math.round(leastDarkness * 100)}
          min={LIMITS.leastDarkness.min * 100}
          max={LIMITS.leastDarkness.max * 100}
          digits={0}
          unit="%"
          help="Share of the paper’s light that a line must take away. Higher leaves erased lines out; lower takes in faint pencil."
          onChange={(percent) => set('Set the faintest line', { leastDarkness: percent / 100 })}
        />
        <MmField
          label="Largest gap bridged"
          value={largestGapMm}
          {...LIMITS.largestGapMm}
          help="Where both ends point at each other or meet in a corner; 0 bridges none."
          onChange={(mm) => set('Set the largest gap', { largestGapMm: mm })}
        />
      </PanelPart>
      <GapsPart record={record} refused={drawn.refusedGaps.length} again={again} />
      <LoosePart record={record} again={again} />
    </>
  );
}

interface GapsPartProps {
  readonly record: CaptureRecord;
  readonly refused: number;
  readonly again: (label: string, recipe: Recipe) => void;
}

/** The bridged gaps, numbered as on the photo; each can be left open. */
function GapsPart({ record, refused, again }: GapsPartProps) {
  const { id: captureId, bridgedGaps = [] } = record;
  if (bridgedGaps.length === 0 && refused === 0) return null;
  const middleOf = ({ fromPx, toPx }: BridgedGap) => ({
    u: (fromPx.u + toPx.u) / 2,
    v: (fromPx.v + toPx.v) / 2,
  });
  return (
    <PanelPart title="Gaps in the lines" icon={Spline}>
      <ol className="gap-list">
        {bridgedGaps.map((gap, index) => (
          <li key={`${gap.fromPx.u} ${gap.fromPx.v}`} className="gap-row">
            <span>
              Gap {index + 1}: {mmWords(gap.lengthMm)} mm, bridged
            </span>
            <ActionButton
              kind="quiet"
              aria-label={`Leave gap ${index + 1} open`}
              onPress={() =>
                again('Leave a gap open', (build) => refuseGap(build, { captureId, middlePx: middleOf(gap) }))
              }
            >
              Leave open
            </ActionButton>
          </li>
        ))}
      </ol>
      {refused > 0 && (
        <ActionButton
          kind="quiet"
          onPress={() => again('Bridge gaps again', (build) => allowRefusedGaps(build, { captureId }))}
        >
          {refused === 1 ? 'Bridge the gap left open' : `Bridge the ${refused} gaps left open`}
        </ActionButton>
      )}
    </PanelPart>
  );
}
