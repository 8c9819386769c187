import { useMemo } from 'react';
import { LIMITS, LONGEST_WORDS } from '../../build/limits.ts';
import { alongEdgeMm } from '../../geometry/edit/along-edge.ts';
import { LINE_STYLES, type PieceLine } from '../../geometry/line-kinds.ts';
import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import { useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { Figures } from '../controls/figures.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PickFrom } from '../controls/pick-from.tsx';
import { TextLine } from '../controls/text-line.tsx';
import { Tick } from '../controls/tick.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { KINDS } from './edit-keys.ts';
import { lineNear } from './edit-pointer.ts';
import { PaintFields } from './paint-part.tsx';
import { paintOf } from './paint.ts';
import { type Tool, useLines, usePicks, useSitting, useSittingState } from './sitting.ts';
import { finishDrawing, otherPieces, toolAtPicked } from './tool-actions.ts';
import { WireFields } from './wire-part.tsx';

const TOOLS: readonly { readonly id: Tool; readonly words: string; readonly note: string }[] = [
  { id: 'pick', words: 'Pick and move', note: 'Tap a joint or an edge to pick it; drag a joint to move it.' },
  { id: 'joint', words: 'Add joints', note: 'Tap an edge where the new joint belongs.' },
  {
    id: 'draw',
    words: 'Draw a line',
    note: 'Tap point after point; Enter ends it, a tap on the first point closes it.',
  },
  {
    id: 'wire',
    words: 'Follow the edge',
    note: 'Tap place after place along an edge in the photo; the line finds the edge between them. Enter, or a second tap on the last place, ends it.',
  },
  {
    id: 'paint-in',
    words: 'Paint in',
    note: 'Drag over the edge or an opening: foam is added wherever the brush passes.',
  },
  {
    id: 'paint-out',
    words: 'Paint out',
    note: 'Drag over the edge, or within the piece for a new opening: foam is taken away wherever the brush passes.',
  },
  { id: 'notch', words: 'Notches', note: 'Tap an edge: a short line square into the foam.' },
  { id: 'centre', words: 'Centre marks', note: 'Tap an edge: a triangle whose tip stands on it.' },
  { id: 'words', words: 'Words', note: 'Tap where the words begin. They are printed, not cut.' },
  {
    id: 'placement',
    words: 'Another piece’s outline',
    note: 'Tap where its middle is glued on; true to scale.',
  },
  { id: 'measure', words: 'Measure', note: 'Tap two points.' },
];

/** What a tap on the table does, with the settings of the tool in hand. */
export function ToolPart() {
  const sitting = useSitting();
  const tool = useSittingState((state) => state.tool);
  const picksMore = useSittingState((state) => state.picksMore);
  const snaps = useSittingState((state) => state.snaps);
  return (
    <PanelPart title="A tap on the table">
      <PickFrom label="Tool" options={TOOLS} value={tool} onChange={(next) => sitting.take(next)} />
      <p className="small quiet">{TOOLS.find(({ id }) => id === tool)!.note}</p>
      <ToolSettingsFields tool={tool} />
      <div className="row">
        {!paintOf(tool) && (
          <Tick isOn={snaps} onChange={(isOn) => sitting.store.setState({ snaps: isOn })}>
            Snap
          </Tick>
        )}
        {tool === 'pick' && (
          <Tick isOn={picksMore} onChange={(isOn) => sitting.store.setState({ picksMore: isOn })}>
            Keep what is picked
          </Tick>
        )}
      </div>
    </PanelPart>
  );
}

function ToolSettingsFields({ tool }: { readonly tool: Tool }) {
  switch (tool) {
    case 'notch':
    case 'centre':
      return <MarkFields isNotch={tool === 'notch'} />;
    case 'words':
      return <WordsFields />;
    case 'placement':
      return <PlacementFields />;
    case 'draw':
      return <DrawFields />;
    case 'wire':
      return <WireFields atPicked={<AtPicked words="Place at the joint" />} />;
    case 'paint-in':
    case 'paint-out':
      return <PaintFields atPicked={<AtPicked words="Brush to the joint" />} />;
    case 'measure':
      return <MeasuredFigures />;
    default:
      return null;
  }
}

/** Marks deeper than this are cuts. */
const DEPTH = { min: 1, max: 30 };

function MarkFields({ isNotch }: { readonly isNotch: boolean }) {
  const sitting = useSitting();
  const { depthMm, notches } = useSittingState((state) => state.settings);
  return (
    <>
      <MmField label="Depth" value={depthMm} {...DEPTH} onChange={(mm) => sitting.set({ depthMm: mm })} />
      {isNotch && (
        <Choice
          label="How many"
          options={[
            { id: 'one', words: 'One' },
            { id: 'two', words: 'Two side by side' },
          ]}
          value={notches === 1 ? 'one' : 'two'}
          onChange={(count) => sitting.set({ notches: count === 'one' ? 1 : 2 })}
        />
      )}
      <AtPicked words={isNotch ? 'Notch at the joint' : 'Centre mark at the joint'} />
      {!isNotch && (
        <p className="small quiet">
          With two joints picked the mark goes half-way between them, measured along the edge.
        </p>
      )}
    </>
  );
}

/** The way of the keyboard: the tool at the joint that is picked. */
function AtPicked({ words }: { readonly words: string }) {
  const sitting = useSitting();
  const picks = usePicks();
  return (
    <div className="row">
      <ActionButton isDisabled={picks.length === 0} onPress={() => toolAtPicked(sitting)}>
        {words}
      </ActionButton>
    </div>
  );
}

function WordsFields() {
  const sitting = useSitting();
  const { words, wordsSizeMm } = useSittingState((state) => state.settings);
  return (
    <>
      <TextLine
        label="Words"
        value={words}
        placeholder="glue here"
        onChange={(text) => sitting.set({ words: text.slice(0, LONGEST_WORDS) })}
      />
      <MmField
        label="Size of the letters"
        value={wordsSizeMm}
        {...LIMITS.wordsSizeMm}
        onChange={(mm) => sitting.set({ wordsSizeMm: mm })}
      />
      <AtPicked words="Words at the joint" />
    </>
  );
}

function PlacementFields() {
  const sitting = useSitting();
  const pieces = useBuild((build) => build.pieces);
  const { otherId, isMirrored, turnDeg } = useSittingState((state) => state.settings);
  const options = otherPieces(pieces, sitting.pieceId).map(({ id, name }) => ({ id, words: name }));
  return (
    <>
      <PickFrom
        label="Piece that is glued on"
        options={options}
        value={otherId}
        onChange={(id) => sitting.set({ otherId: id })}
      />
      <MmField
        label="Turned by"
        unit="°"
        value={turnDeg}
        min={-180}
        max={180}
        onChange={(deg) => sitting.set({ turnDeg: deg })}
      />
      <Tick isOn={isMirrored} onChange={(isOn) => sitting.set({ isMirrored: isOn })}>
        Mirrored
      </Tick>
      <AtPicked words="Outline at the joint" />
    </>
  );
}

function DrawFields() {
  const sitting = useSitting();
  const { drawKind } = useSittingState((state) => state.settings);
  const points = useSittingState((state) => state.points);
  return (
    <>
      <PickFrom
        label="It becomes a"
        options={KINDS.map((kind) => ({ id: kind, words: `${LINE_STYLES[kind].label} line` }))}
        value={drawKind}
        onChange={(kind) => sitting.set({ drawKind: kind })}
      />
      <div className="row">
        <ActionButton isDisabled={points.length < 2} onPress={() => finishDrawing(sitting, false)}>
          End the line
        </ActionButton>
        <ActionButton isDisabled={points.length < 3} onPress={() => finishDrawing(sitting, true)}>
          Close it
        </ActionButton>
      </div>
      <AtPicked words="Point at the joint" />
    </>
  );
}

/** Points this near to a line lie on it, mm. */
const ON_LINE_MM = 0.05;

function alongWords(
  lines: readonly PieceLine[],
  a: PlanePoint,
  b: PlanePoint,
): (readonly [string, string])[] {
  const [onA, onB] = [lineNear(lines, a, ON_LINE_MM), lineNear(lines, b, ON_LINE_MM)];
  if (!onA || onA.line !== onB?.line) return [];
  const { shorterMm, longerMm } = alongEdgeMm(onA.line.path, onA.place, onB.place);
  return [
    ['Along the edge', `${mmWords(shorterMm, 2)} mm`],
    ...(longerMm === undefined ? [] : [['… the other way round', `${mmWords(longerMm, 2)} mm`] as const]),
  ];
}

function MeasuredFigures() {
  const lines = useLines();
  const points = useSittingState((state) => state.points);
  const rows = useMemo(() => {
    const [a, b] = points;
    if (!a || !b) return [];
    return [
      ['Straight between them', `${mmWords(distanceMm(a, b), 2)} mm`] as const,
      ...alongWords(lines, a, b),
    ];
  }, [lines, points]);
  return (
    <>
      {rows.length > 0 && <Figures rows={rows} />}
      <AtPicked words="Measure from the joint" />
    </>
  );
}
