import { CornerUpRight, Minus, Plus, Spline, Tangent, Trash2 } from 'lucide-react';
import { useMemo } from 'react';
import { FARTHEST } from '../../build/limits.ts';
import { segmentLengthMm } from '../../geometry/arc-length.ts';
import { alongEdgeMm } from '../../geometry/edit/along-edge.ts';
import { type JointPick, lineWithId } from '../../geometry/edit/edited.ts';
import { pickedSegments, placePicked, setPickedLength } from '../../geometry/edit/joint-verbs.ts';
import { jointKind, jointPoint } from '../../geometry/edit/nodes.ts';
import { LINE_STYLES, type PieceLine } from '../../geometry/line-kinds.ts';
import { segmentOf, segmentStart } from '../../geometry/place.ts';
import { distanceMm } from '../../geometry/point.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { Figures } from '../controls/figures.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { countWords, mmWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { addJoints, deleteJoints, pickedLineId, setJoints, setSegments } from './edit-actions.ts';
import { type Sitting, useLines, usePicks, useSitting } from './sitting.ts';

/** What is picked, and what can be done to it. */
export function JointPart() {
  const sitting = useSitting();
  const lines = useLines();
  const picks = usePicks();
  const [only] = picks;
  return (
    <PanelPart title={titleOf(lines, picks)}>
      {!only && (
        <p className="small quiet">
          Tap a joint, or an edge for the two joints at its ends; drag a joint to move it. Press N to walk
          from joint to joint. Shift keeps what is picked.
        </p>
      )}
      {only && <JointKind sitting={sitting} lines={lines} picks={picks} />}
      {only && picks.length === 1 && <Position sitting={sitting} lines={lines} pick={only} />}
      {only && <SegmentKind sitting={sitting} lines={lines} picks={picks} />}
      {picks.length === 2 && <Between lines={lines} picks={picks} />}
      {only && (
        <div className="row">
          <ActionButton icon={Plus} onPress={() => addJoints(sitting)}>
            Add joint after
          </ActionButton>
          <ActionButton icon={Trash2} onPress={() => deleteJoints(sitting)}>
            {picks.length === 1 ? 'Delete joint' : 'Delete joints'}
          </ActionButton>
        </div>
      )}
    </PanelPart>
  );
}

function titleOf(lines: readonly PieceLine[], picks: readonly JointPick[]): string {
  const [first] = picks;
  if (!first) return 'Nothing picked';
  const id = pickedLineId(picks);
  const label = id === undefined ? '' : `, ${LINE_STYLES[lineWithId(lines, id).kind].label} line`;
  if (picks.length === 1) return `Joint ${first.joint + 1}${label}`;
  return `${countWords(picks.length, 'joint')}${label}`;
}

interface PickedProps {
  readonly sitting: Sitting;
  readonly lines: readonly PieceLine[];
  readonly picks: readonly JointPick[];
}

function JointKind({ sitting, lines, picks }: PickedProps) {
  const kinds = new Set(picks.map(({ lineId, joint }) => jointKind(lineWithId(lines, lineId).path, joint)));
  return (
    <Choice
      label="The joint is"
      options={[
        { id: 'smooth', words: 'Smooth', icon: Tangent },
        { id: 'corner', words: 'Corner', icon: CornerUpRight },
        ...(kinds.size > 1 ? [{ id: 'both' as const, words: 'Both' }] : []),
      ]}
      value={kinds.size > 1 ? 'both' : [...kinds][0]!}
      onChange={(kind) => {
        if (kind !== 'both') setJoints(sitting, kind);
      }}
    />
  );
}

function Position({ sitting, lines, pick }: Omit<PickedProps, 'picks'> & { readonly pick: JointPick }) {
  const at = jointPoint(lineWithId(lines, pick.lineId).path, pick.joint);
  const place = (change: { readonly x?: number; readonly y?: number }) =>
    sitting.run('Place joint', (now) => placePicked(now, pick, { ...at, ...change }));
  const range = { min: -FARTHEST, max: FARTHEST, digits: 2, hasSteps: false };
  return (
    <div className="two-up">
      <MmField label="Across (x)" value={round(at.x)} {...range} onChange={(x) => place({ x })} />
      <MmField label="Up (y)" value={round(at.y)} {...range} onChange={(y) => place({ y })} />
    </div>
  );
}

const round = (mm: number) => Math.round(mm * 100) / 100;

const LONGEST_SEGMENT = { min: 0.1, max: 5000 };

/** Straight or curved, and the length, of the segments that the picked joints stand for. */
function SegmentKind({ sitting, lines, picks }: PickedProps) {
  const segments = useMemo(() => segmentsPicked(lines, picks), [lines, picks]);
  const kinds = new Set(segments.map(({ kind }) => kind));
  const [single] = segments;
  if (!single) return null;
  return (
    <>
      <Choice
        label="The line between is"
        options={[
          { id: 'line', words: 'Straight', icon: Minus },
          { id: 'cubic', words: 'Curved', icon: Spline },
          ...(kinds.size > 1 ? [{ id: 'both' as const, words: 'Both' }] : []),
        ]}
        value={kinds.size > 1 ? 'both' : single.kind}
        onChange={(kind) => {
          if (kind !== 'both') setSegments(sitting, kind);
        }}
      />
      {segments.length === 1 && (
        <MmField
          label={picks.length === 1 ? 'Length of the line after it' : 'Length of the line between'}
          value={round(single.lengthMm)}
          {...LONGEST_SEGMENT}
          digits={2}
          hasSteps={false}
          onChange={(mm) => sitting.run('Set length', (now) => setPickedLength(now, picks, mm))}
        />
      )}
    </>
  );
}

function segmentsPicked(lines: readonly PieceLine[], picks: readonly JointPick[]) {
  const id = pickedLineId(picks);
  if (id === undefined) return [];
  const { path } = lineWithId(lines, id);
  const joints = picks.map(({ joint }) => joint);
  return pickedSegments(path, joints).map((index) => {
    const segment = segmentOf(path, index);
    return { kind: segment.kind, lengthMm: segmentLengthMm(segmentStart(path, index), segment) };
  });
}

/** How far two picked joints are apart, straight and along their edge. */
function Between({ lines, picks }: Omit<PickedProps, 'sitting'>) {
  const rows = useMemo(() => {
    const [a, b] = picks as [JointPick, JointPick];
    const [lineA, lineB] = [lineWithId(lines, a.lineId), lineWithId(lines, b.lineId)];
    const apart = distanceMm(jointPoint(lineA.path, a.joint), jointPoint(lineB.path, b.joint));
    const straight = ['Straight between them', `${mmWords(apart, 2)} mm`] as const;
    if (lineA !== lineB) return [straight];
    const place = (joint: number) => {
      const last = lineA.path.segments.length;
      return joint < last ? { segment: joint, t: 0 } : { segment: joint - 1, t: 1 };
    };
    const { shorterMm, longerMm } = alongEdgeMm(lineA.path, place(a.joint), place(b.joint));
    return [
      straight,
      ['Along the edge', `${mmWords(shorterMm, 2)} mm`] as const,
      ...(longerMm === undefined ? [] : [['… the other way round', `${mmWords(longerMm, 2)} mm`] as const]),
    ];
  }, [lines, picks]);
  return <Figures rows={rows} />;
}
