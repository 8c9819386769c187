/** What the tools that add or measure do: where the maker taps, or at the joint that is picked. */
import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import { lineWithId } from '../../geometry/edit/edited.ts';
import { addCentreMark, addLine, addNotch, addPlacement, addWords } from '../../geometry/edit/line-verbs.ts';
import { middleBetween } from '../../geometry/edit/marks.ts';
import { jointPoint } from '../../geometry/edit/nodes.ts';
import { pickedStretch } from '../../geometry/edit/stretch-verbs.ts';
import { boundsOf, flattenPath, pathLengthMm } from '../../geometry/measure.ts';
import { mover } from '../../geometry/motion.ts';
import type { Path } from '../../geometry/path.ts';
import type { Place } from '../../geometry/place.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { minus } from '../../geometry/vector.ts';
import { bench } from '../bench.ts';
import { brushTo, paintOf } from './paint.ts';
import type { Sitting } from './sitting.ts';
import { addToWire } from './wire.ts';

const newId = () => crypto.randomUUID();

/** The place of a joint on its path. */
function placeOfJoint({ segments }: Path, joint: number): Place {
  return joint < segments.length ? { segment: joint, t: 0 } : { segment: joint - 1, t: 1 };
}

export function notchAt(sitting: Sitting, lineId: string, place: Place): void {
  const { depthMm, notches } = sitting.store.getState().settings;
  sitting.run('Add notch', (lines) => addNotch(lines, lineId, place, { depthMm, count: notches }, newId));
}

export function centreMarkAt(sitting: Sitting, lineId: string, place: Place): void {
  const { depthMm } = sitting.store.getState().settings;
  sitting.run('Add centre mark', (lines) => addCentreMark(lines, lineId, place, depthMm, newId));
}

export function wordsAt(sitting: Sitting, at: PlanePoint): void {
  const { words, wordsSizeMm } = sitting.store.getState().settings;
  const text = words.trim();
  if (!text) {
    sitting.store.setState({ news: { tone: 'look', words: 'Type the words first, then place them.' } });
    return;
  }
  sitting.run('Add words', (lines) => addWords(lines, at, { text, sizeMm: wordsSizeMm }, 0, newId));
}

/** Lays the chosen piece's outline with its middle at a point. */
export function placementAt(sitting: Sitting, at: PlanePoint): void {
  const { otherId, isMirrored, turnDeg } = sitting.store.getState().settings;
  const other = otherPieces(bench.getState().build.pieces, sitting.pieceId).find(({ id }) => id === otherId);
  if (!other) {
    sitting.store.setState({ news: { tone: 'look', words: 'Choose the piece to lay down first.' } });
    return;
  }
  const outlines = lastRevision(other).lines.filter(({ kind }) => kind === 'cut');
  const { minX, minY, maxX, maxY } = boundsOf(outlines.flatMap(({ path }) => flattenPath(path)));
  const motion = { mirrored: isMirrored, angleRad: (turnDeg * Math.PI) / 180, shift: { x: 0, y: 0 } };
  const middle = mover(motion)({ x: (minX + maxX) / 2, y: (minY + maxY) / 2 });
  const shift = minus(at, middle);
  sitting.run('Add placement', (lines) => addPlacement(lines, outlines, { ...motion, shift }, newId));
}

export function otherPieces(pieces: readonly Piece[], pieceId: string): Piece[] {
  return pieces.filter(({ id }) => id !== pieceId);
}

/** Ends the line being drawn; too few points are given up. */
export function finishDrawing(sitting: Sitting, closed: boolean): void {
  const { points, settings } = sitting.store.getState();
  sitting.store.setState({ points: [] });
  if (points.length < (closed ? 3 : 2)) return;
  sitting.run('Draw line', (lines) => addLine(lines, settings.drawKind, points, closed, newId));
}

/** Does with the picked joint what a tap would do there: the way of the keyboard. */
export function toolAtPicked(sitting: Sitting): void {
  const picks = sitting.picks();
  const [pick] = picks;
  if (!pick) return;
  const { path } = lineWithId(sitting.lines(), pick.lineId);
  const at = jointPoint(path, pick.joint);
  const { tool, points } = sitting.store.getState();
  if (tool === 'notch') notchAt(sitting, pick.lineId, placeOfJoint(path, pick.joint));
  else if (tool === 'centre') centreMarkAt(sitting, pick.lineId, centreOfPicked(sitting, path, pick.joint));
  else if (tool === 'words') wordsAt(sitting, at);
  else if (tool === 'placement') placementAt(sitting, at);
  else if (tool === 'wire') addToWire(sitting, at);
  else if (paintOf(tool)) brushTo(sitting, at);
  else if (tool === 'draw') sitting.store.setState({ points: [...points, at] });
  else if (tool === 'measure')
    sitting.store.setState({ points: points.length === 2 ? [at] : [...points, at] });
}

/** Half-way along the stretch that is picked, or the joint itself. */
function centreOfPicked(sitting: Sitting, path: Path, joint: number): Place {
  const picks = sitting.picks();
  const picked = pickedStretch(sitting.lines(), picks);
  if (!picked || picks.length < 2) return placeOfJoint(path, joint);
  const { from, to } = picked.stretch;
  return middleBetween(path, placeOfJoint(path, from), placeOfJoint(path, to), pathLengthMm(path));
}
