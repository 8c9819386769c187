import { failure, success } from '../../outcome.ts';
import type { PieceLine } from '../line-kinds.ts';
import { pathLengthMm } from '../measure.ts';
import type { Path } from '../path.ts';
import { type EditOutcome, type JointPick, lineWithId, NOTHING_PICKED, withPath } from './edited.ts';
import { fairStretch } from './fair.ts';
import { jointCount } from './nodes.ts';
import {
  jointsOfStretch,
  type Move,
  farthestFrom,
  pathOfStretch,
  type Stretch,
  straightenStretch,
} from './stretch.ts';

/** The verbs on a stretch of a line. */

export interface PickedStretch {
  readonly lineId: string;
  readonly stretch: Stretch;
}

const NOT_ONE = failure(
  'not-one-stretch',
  'This needs a stretch of one line: pick the joints at its two ends, the second with Shift held.',
);

/**
 * The stretch between the first and the last joint picked, both of one line. Of the two ways round a closed line it is
 * the one with more of the picked joints, else the shorter. One picked joint stands for the whole line.
 */
export function pickedStretch(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
): PickedStretch | undefined {
  const [first, last] = [picks[0], picks.at(-1)];
  if (!first || !last || picks.some(({ lineId }) => lineId !== first.lineId)) return undefined;
  const { path } = lineWithId(lines, first.lineId);
  const joints = picks.map(({ joint }) => joint);
  return { lineId: first.lineId, stretch: stretchThrough(path, first.joint, last.joint, joints) };
}

function stretchThrough(path: Path, a: number, b: number, joints: readonly number[]): Stretch {
  if (a === b) return path.closed ? { from: a, to: a } : { from: 0, to: jointCount(path) - 1 };
  if (!path.closed) return { from: Math.min(a, b), to: Math.max(a, b) };
  const [there, back] = [
    { from: a, to: b },
    { from: b, to: a },
  ];
  const held = (stretch: Stretch) => {
    const inside = new Set(jointsOfStretch(jointCount(path), true, stretch));
    return joints.filter((joint) => inside.has(joint)).length;
  };
  const more = held(there) - held(back);
  if (more !== 0) return more > 0 ? there : back;
  return pathLengthMm(pathOfStretch(path, there)) <= pathLengthMm(pathOfStretch(path, back)) ? there : back;
}

/** Changes the picked stretch; afterwards its line has no joint picked, for their numbers are others. */
export function onStretch(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  change: (path: Path, stretch: Stretch) => EditOutcome | { readonly path: Path; readonly moved: Move },
): EditOutcome {
  if (picks.length === 0) return NOTHING_PICKED;
  const picked = pickedStretch(lines, picks);
  if (!picked) return NOT_ONE;
  const { path } = lineWithId(lines, picked.lineId);
  const result = change(path, picked.stretch);
  if ('ok' in result) return result;
  return success({ lines: withPath(lines, picked.lineId, result.path), picks: [], moved: result.moved });
}

export function straightenPicked(lines: readonly PieceLine[], picks: readonly JointPick[]): EditOutcome {
  return onStretch(lines, picks, (path, stretch) => {
    if (stretch.from === stretch.to) return NOT_ONE;
    const before = pathOfStretch(path, stretch);
    const ends = {
      closed: false,
      start: before.start,
      segments: [{ kind: 'line', to: before.segments.at(-1)!.to, joint: 'corner' }],
    } as const;
    // A line crosses every upright on the chord between its ends, so no place of the chord lies farther from it.
    return { path: straightenStretch(path, stretch), moved: farthestFrom(ends, before) };
  });
}

/** Makes the picked stretch's curvature even without moving it farther than `limitMm`. */
export function fairPicked(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  limitMm: number,
): EditOutcome {
  return onStretch(lines, picks, (path, stretch) => fairStretch(path, stretch, limitMm));
}
