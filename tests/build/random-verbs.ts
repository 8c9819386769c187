import type { EditOutcome, JointPick } from '../../src/geometry/edit/edited.ts';
import {
  addJointAt,
  addJointsAfter,
  deletePicked,
  movePicked,
  movePickedHandle,
  placePicked,
  setPickedJoints,
  setPickedLength,
  setPickedSegments,
  shapePickedCorners,
} from '../../src/geometry/edit/joint-verbs.ts';
import {
  addCentreMark,
  addLine,
  addNotch,
  addPlacement,
  addWords,
  closeLine,
  deleteLine,
  joinPicked,
  offsetPieceLine,
  reverseLine,
  setLineKind,
  splitAtPick,
} from '../../src/geometry/edit/line-verbs.ts';
import { jointCount } from '../../src/geometry/edit/nodes.ts';
import { paintFoam } from '../../src/geometry/edit/paint.ts';
import { redrawStretch } from '../../src/geometry/edit/redraw-stretch.ts';
import { fairPicked, straightenPicked } from '../../src/geometry/edit/stretch-verbs.ts';
import { LINE_STYLES, type LineKind, type PieceLine } from '../../src/geometry/line-kinds.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { pointAt } from '../../src/geometry/place.ts';
import { cleanPicked } from '../../src/trace/clean-stretch.ts';
import type { Draw } from './random-commands.ts';

type RandomVerb = (lines: readonly PieceLine[], draw: Draw) => EditOutcome;

const lineOf = (lines: readonly PieceLine[], draw: Draw) => lines[draw.int(lines.length)]!;
const place = (line: PieceLine, draw: Draw) => ({
  segment: draw.int(line.path.segments.length),
  t: (1 + draw.int(99)) / 100,
});
const step = (draw: Draw) => (draw.int(41) - 20) / 10;
const spot = (draw: Draw) => ({ x: draw.int(1200) / 10, y: draw.int(800) / 10 });

function pick(lines: readonly PieceLine[], draw: Draw): JointPick {
  const line = lineOf(lines, draw);
  return { lineId: line.id, joint: draw.int(jointCount(line.path)) };
}

/** One to three joints of one line. */
function picks(lines: readonly PieceLine[], draw: Draw): JointPick[] {
  const first = pick(lines, draw);
  const { path } = lines.find(({ id }) => id === first.lineId)!;
  const more = Array.from({ length: draw.int(3) }, () => ({
    lineId: first.lineId,
    joint: draw.int(jointCount(path)),
  }));
  return [first, ...more];
}

/** An end of an open line, where there is one. */
function end(lines: readonly PieceLine[], draw: Draw): JointPick {
  const open = lines.filter(({ path }) => !path.closed);
  if (open.length === 0) return pick(lines, draw);
  const line = lineOf(open, draw);
  return { lineId: line.id, joint: draw.int(2) === 0 ? 0 : jointCount(line.path) - 1 };
}

const KINDS = Object.keys(LINE_STYLES) as LineKind[];

/** Every verb there is, with arguments that suit the lines. */
export const RANDOM_VERBS: Readonly<Record<string, RandomVerb>> = {
  movePicked: (lines, draw) => movePicked(lines, picks(lines, draw), { x: step(draw), y: step(draw) }),
  placePicked: (lines, draw) => placePicked(lines, pick(lines, draw), spot(draw)),
  movePickedHandle: (lines, draw) =>
    movePickedHandle(lines, pick(lines, draw), draw.int(2) === 0 ? 'arriving' : 'leaving', spot(draw)),
  addJointAt: (lines, draw) => {
    const line = lineOf(lines, draw);
    return addJointAt(lines, line.id, place(line, draw));
  },
  addJointsAfter: (lines, draw) => addJointsAfter(lines, picks(lines, draw)),
  deletePicked: (lines, draw) => deletePicked(lines, picks(lines, draw)),
  setPickedJoints: (lines, draw) =>
    setPickedJoints(lines, picks(lines, draw), draw.int(2) === 0 ? 'smooth' : 'corner'),
  setPickedSegments: (lines, draw) =>
    setPickedSegments(lines, picks(lines, draw), draw.int(2) === 0 ? 'line' : 'cubic'),
  setPickedLength: (lines, draw) => setPickedLength(lines, [pick(lines, draw)], 1 + draw.int(60)),
  shapePickedCorners: (lines, draw) =>
    shapePickedCorners(lines, [pick(lines, draw)], draw.int(2) === 0 ? 'cut' : 'round', 0.5 + draw.int(6)),
  setLineKind: (lines, draw) => setLineKind(lines, lineOf(lines, draw).id, KINDS[draw.int(KINDS.length)]!),
  reverseLine: (lines, draw) => reverseLine(lines, lineOf(lines, draw).id),
  deleteLine: (lines, draw) => deleteLine(lines, lineOf(lines, draw).id),
  closeLine: (lines, draw) => closeLine(lines, lineOf(lines, draw).id),
  splitAtPick: (lines, draw) => splitAtPick(lines, pick(lines, draw), () => draw.id()),
  joinPicked: (lines, draw) => joinPicked(lines, [end(lines, draw), end(lines, draw)]),
  offsetPieceLine: (lines, draw) =>
    offsetPieceLine(
      lines,
      lineOf(lines, draw).id,
      {
        distanceMm: step(draw),
        corner: draw.int(2) === 0 ? 'sharp' : 'round',
        into: draw.int(2) === 0 ? 'same' : 'score',
      },
      () => draw.id(),
    ),
  addLine: (lines, draw) =>
    addLine(lines, 'score', [spot(draw), spot(draw), spot(draw)], draw.int(2) === 0, () => draw.id()),
  addNotch: (lines, draw) => {
    const line = lineOf(lines, draw);
    return addNotch(lines, line.id, place(line, draw), { depthMm: 5, count: draw.int(2) === 0 ? 1 : 2 }, () =>
      draw.id(),
    );
  },
  addCentreMark: (lines, draw) => {
    const line = lineOf(lines, draw);
    return addCentreMark(lines, line.id, place(line, draw), 5, () => draw.id());
  },
  addWords: (lines, draw) =>
    addWords(lines, spot(draw), { text: 'glue here', sizeMm: 5 }, 0, () => draw.id()),
  addPlacement: (lines, draw) =>
    addPlacement(
      lines,
      lines.slice(0, 1),
      { mirrored: draw.int(2) === 0, angleRad: draw.int(6), shift: spot(draw) },
      () => draw.id(),
    ),
  redrawStretch: (lines, draw) => {
    const line = lineOf(lines, draw);
    const [from, to] = [pointAt(line.path, place(line, draw)), pointAt(line.path, place(line, draw))];
    return redrawStretch(lines, line.id, polylinePath([from, spot(draw), to], false), 'score', () =>
      draw.id(),
    );
  },
  paintFoam: (lines, draw) =>
    paintFoam(
      lines,
      polylinePath(
        Array.from({ length: 1 + draw.int(3) }, () => spot(draw)),
        false,
      ),
      { paint: draw.int(2) === 0 ? 'in' : 'out', widthMm: 1 + draw.int(20) },
      () => draw.id(),
    ),
  straightenPicked: (lines, draw) => straightenPicked(lines, picks(lines, draw)),
  fairPicked: (lines, draw) => fairPicked(lines, picks(lines, draw), 0.1 + draw.int(10) / 10),
  cleanPicked: (lines, draw) => cleanPicked(lines, picks(lines, draw), 0.1 + draw.int(5) / 10),
};

/** Applies a random verb; one that refuses, or meets a piece without lines, leaves them as they are. */
export function editRandomly(lines: readonly PieceLine[], name: string, draw: Draw): readonly PieceLine[] {
  if (lines.length === 0) return lines;
  const outcome = RANDOM_VERBS[name]!(lines, draw);
  return outcome.ok ? outcome.value.lines : lines;
}
