/**
 * One sitting of editing a piece's lines: what is picked, which tool is in hand, what a drag shows before it counts.
 * Not part of the document; ends when the maker leaves the editor. All its edits are one revision and as many undo
 * steps as gestures.
 */
import { createContext, useContext, useMemo } from 'react';
import { useStore } from 'zustand';
import { createStore, type StoreApi } from 'zustand/vanilla';
import { editLines } from '../../build/commands/edit-lines.ts';
import { lastRevision } from '../../build/lookups.ts';
import type { Build } from '../../build/types.ts';
import type { Capture } from '../../capture/types.ts';
import type { EditOutcome, JointPick } from '../../geometry/edit/edited.ts';
import type { HandleSide } from '../../geometry/edit/move-joints.ts';
import { jointCount } from '../../geometry/edit/nodes.ts';
import type { LineKind, PieceLine } from '../../geometry/line-kinds.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { bench, newStamp, useBuild } from '../bench.ts';
import { mmWords } from '../controls/number-words.ts';

/** What a tap on the table does. */
export type Tool =
  | 'pick'
  | 'joint'
  | 'draw'
  | 'wire'
  | 'paint-in'
  | 'paint-out'
  | 'notch'
  | 'centre'
  | 'words'
  | 'placement'
  | 'measure';

interface News {
  readonly tone: 'good' | 'look';
  readonly words: string;
}

interface Box {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
}

/** What the tools that add things add. */
export interface ToolSettings {
  readonly depthMm: number;
  readonly notches: 1 | 2;
  readonly words: string;
  readonly wordsSizeMm: number;
  readonly drawKind: LineKind;
  /** Width of the brush that paints foam in and out, mm. */
  readonly brushMm: number;
  /** The piece whose outline is laid down. */
  readonly otherId: string | undefined;
  readonly isMirrored: boolean;
  readonly turnDeg: number;
}

interface SittingState {
  readonly picks: readonly JointPick[];
  /** The handle that arrow keys move in place of its joint. */
  readonly handle: HandleSide | undefined;
  readonly tool: Tool;
  /** Lines as a drag in progress would leave them. */
  readonly draft: readonly PieceLine[] | undefined;
  /** A box that picks the joints in it. */
  readonly box: Box | undefined;
  /** Points set so far: of a line being drawn, of a stroke of the brush, or of what is measured. */
  readonly points: readonly PlanePoint[];
  /** Where the brush was left; none before it was first moved. */
  readonly brush: PlanePoint | undefined;
  /** The photographed edge between the points set, as far as it is found. */
  readonly stretches: readonly (readonly PlanePoint[])[];
  /** Every tap adds to what is picked, as with Shift held: for touch and pen. */
  readonly picksMore: boolean;
  readonly snaps: boolean;
  readonly news: News | undefined;
  readonly settings: ToolSettings;
}

const AT_FIRST: SittingState = {
  picks: [],
  handle: undefined,
  tool: 'pick',
  draft: undefined,
  box: undefined,
  points: [],
  brush: undefined,
  stretches: [],
  picksMore: false,
  snaps: true,
  news: undefined,
  settings: {
    depthMm: 5,
    notches: 1,
    words: '',
    wordsSizeMm: 5,
    drawKind: 'score',
    brushMm: 10,
    otherId: undefined,
    isMirrored: false,
    turnDeg: 0,
  },
};

/** The photo that the piece lies in. */
export interface PhotoUnder {
  readonly photoId: string;
  readonly capture: Capture;
}

export interface Sitting {
  readonly pieceId: string;
  /** None under pieces that were made here. */
  readonly photo: PhotoUnder | undefined;
  readonly store: StoreApi<SittingState>;
  /** The lines in force. */
  lines(): readonly PieceLine[];
  /** What is picked and still there. */
  picks(): readonly JointPick[];
  pick(picks: readonly JointPick[]): void;
  take(tool: Tool): void;
  /** Does a verb as one undo step, and tells what came of it. */
  run(label: string, verb: (lines: readonly PieceLine[]) => EditOutcome): boolean;
  /** Shows a verb's outcome as a gesture that `endGesture` makes one undo step; each call starts from where it began. */
  show(label: string, verb: (lines: readonly PieceLine[]) => EditOutcome): void;
  endGesture(): void;
  set(settings: Partial<ToolSettings>): void;
}

const WHY = 'edited by hand';

const NO_LINES: readonly PieceLine[] = [];

function linesIn(build: Build, pieceId: string): readonly PieceLine[] {
  const piece = build.pieces.find(({ id }) => id === pieceId);
  return piece ? lastRevision(piece).lines : NO_LINES;
}

/** Undo may have taken away what was picked. */
function stillThere(lines: readonly PieceLine[], picks: readonly JointPick[]): readonly JointPick[] {
  const isThere = ({ lineId, joint }: JointPick) => {
    const line = lines.find(({ id }) => id === lineId);
    return line !== undefined && joint < jointCount(line.path);
  };
  return picks.every(isThere) ? picks : picks.filter(isThere);
}

function newsOf(outcome: EditOutcome): News | undefined {
  if (!outcome.ok) return { tone: 'look', words: outcome.problem.message };
  const { moved, note } = outcome.value;
  if (note !== undefined) return { tone: 'look', words: note };
  return moved && { tone: 'good', words: `The line moved by ${mmWords(moved.maxMm, 2)} mm at most.` };
}

export function newSitting(pieceId: string, photo: PhotoUnder | undefined): Sitting {
  const store = createStore<SittingState>(() => AT_FIRST);
  const stamp = newStamp();
  const lines = () => linesIn(bench.getState().build, pieceId);
  return {
    pieceId,
    photo,
    store,
    lines,
    picks: () => stillThere(lines(), store.getState().picks),
    pick: (picks) => store.setState({ picks, handle: undefined, news: undefined }),
    take: (tool) => store.setState({ tool, points: [], stretches: [], news: undefined }),
    run(label, verb) {
      const outcome = verb(lines());
      store.setState({ draft: undefined, news: newsOf(outcome) });
      if (!outcome.ok) return false;
      const { value } = outcome;
      bench.run(label, (build) => editLines(build, { pieceId, stamp, lines: value.lines, why: WHY }));
      store.setState({ picks: value.picks });
      return true;
    },
    show(label, verb) {
      if (bench.getState().gestureLabel !== label) bench.beginGesture(label);
      bench.updateGesture((build) => {
        const outcome = verb(linesIn(build, pieceId));
        if (!outcome.ok) return build;
        return editLines(build, { pieceId, stamp, lines: outcome.value.lines, why: WHY });
      });
    },
    endGesture: () => bench.commitGesture(),
    set: (settings) => store.setState((state) => ({ settings: { ...state.settings, ...settings } })),
  };
}

export const SittingContext = createContext<Sitting | undefined>(undefined);

export function useSitting(): Sitting {
  const sitting = useContext(SittingContext);
  if (!sitting) throw new Error('useSitting outside the editor');
  return sitting;
}

/** Part of the sitting's state. */
export function useSittingState<T>(select: (state: SittingState) => T): T {
  return useStore(useSitting().store, select);
}

/** The piece's lines in force. */
export function useLines(): readonly PieceLine[] {
  const { pieceId } = useSitting();
  return useBuild((build) => linesIn(build, pieceId));
}

/** What is picked and still there. */
export function usePicks(): readonly JointPick[] {
  const lines = useLines();
  const picks = useSittingState((state) => state.picks);
  return useMemo(() => stillThere(lines, picks), [lines, picks]);
}
