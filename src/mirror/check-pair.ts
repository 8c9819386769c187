import { layOn } from '../geometry/lay-on.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { mover, type RigidMotion, undoMotion } from '../geometry/motion.ts';
import type { Path } from '../geometry/path.ts';
import { settleLaid } from '../geometry/settle-laid.ts';
import { failure, type Outcome, success } from '../outcome.ts';
import type { Half } from './axis.ts';
import { type ExcusedStretch, excusedSpans } from './excused.ts';
import type { FoldFigures } from './fold-figures.ts';
import { foamAreaMm2 } from './foam-area.ts';
import { layLineOn } from './folded-line.ts';
import { judgeHalves } from './judge-halves.ts';
import { pairUp, partnerOf } from './match-lines.ts';

/** How well two pieces meant as mirror images match; `half` says which piece, and places lie in that piece's own frame. */
export interface PairCheck extends FoldFigures {
  /** Lays the right piece, turned over, on the left one. */
  readonly motion: RigidMotion;
  /** Lines of one piece with nothing like them on the other; they are in none of the figures. */
  readonly unmatched: readonly { readonly piece: Half; readonly lineId: string }[];
}

/** What is uneven on purpose, kept with either piece. */
export interface PairExcuses {
  readonly left?: readonly ExcusedStretch[];
  readonly right?: readonly ExcusedStretch[];
}

/** Pieces whose outlines agree over less than this share are not a pair. */
const LEAST_AGREEING = 0.3;
const AGREE_WITHIN_MM = 2;

/**
 * Turns the right piece over and lays it on the left one, without scaling, so that their outlines coincide as far as they
 * can (parts that differ do not drag the rest); then measures every line as checkFold does. Lines in mm.
 */
export function checkPair(
  left: readonly PieceLine[],
  right: readonly PieceLine[],
  limitMm: number,
  excused: PairExcuses = {},
): Outcome<PairCheck, 'no-outline' | 'not-a-pair'> {
  if (!(limitMm > 0)) throw new RangeError('the limit must be above 0 mm');
  const [a, b] = [cutLine(left), cutLine(right)];
  if (!a || !b) {
    return failure(
      'no-outline',
      'One of the two pieces has no closed cut line, so they cannot be laid on each other. Trace it first.',
    );
  }
  const laid = layTurnedOver(b.path, a.path);
  if (laid.agreeingShare < LEAST_AGREEING) {
    return failure(
      'not-a-pair',
      'However they are laid, the edges of these two pieces differ almost everywhere, so they are not left and right of one shape. Choose the two pieces of a pair.',
    );
  }
  return success(compare(left, right, limitMm, laid.motion, excused));
}

/** The best way to lay one outline, turned over, on another; robust to large parts that were cut differently. */
function layTurnedOver(moving: Path, fixed: Path) {
  const rough = layOn(moving, fixed, { mirrored: true, agreeWithinMm: AGREE_WITHIN_MM });
  const settled = settleLaid(moving, fixed, rough.motion, AGREE_WITHIN_MM);
  return settled.agreeingShare >= rough.agreeingShare ? settled : rough;
}

function compare(
  left: readonly PieceLine[],
  right: readonly PieceLine[],
  limitMm: number,
  motion: RigidMotion,
  excused: PairExcuses,
): PairCheck {
  const back = undoMotion(motion);
  const [lefts, rights] = [checked(left), checked(right)];
  const pairs = pairUp(lefts.map(partnerOf), rights.map(partnerOf), back);
  const folded = pairs.flatMap((pair) => [
    layLineOn(pair.left, pair.right, back, () => 'left'),
    layLineOn(pair.right, pair.left, motion, () => 'right'),
  ]);
  const [toLeft, toRight] = [mover(motion), mover(back)];
  const figures = judgeHalves({
    folded,
    lines: [...lefts, ...rights],
    toTwin: (point, from) => (from === 'left' ? toRight(point) : toLeft(point)),
    limitMm,
    leftAreaMm2: foamAreaMm2(left),
    rightAreaMm2: foamAreaMm2(right),
    spans: [...excusedSpans(lefts, excused.left ?? []), ...excusedSpans(rights, excused.right ?? [])],
  });
  const paired = new Set(pairs.flatMap((pair) => [pair.left, pair.right]));
  const lone = (lines: readonly PieceLine[], piece: Half) =>
    checked(lines).flatMap((line) => (paired.has(line) ? [] : [{ piece, lineId: line.id }]));
  return { ...figures, motion, unmatched: [...lone(left, 'left'), ...lone(right, 'right')] };
}

function cutLine(lines: readonly PieceLine[]): PieceLine | undefined {
  return lines.find(({ kind, path }) => kind === 'cut' && path.closed);
}

const checked = (lines: readonly PieceLine[]) => lines.filter(({ kind }) => kind !== 'wrap');
