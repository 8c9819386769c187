import type Konva from 'konva';
import { useMemo } from 'react';
import { Shape } from 'react-konva';
import type { JointPick } from '../../geometry/edit/edited.ts';
import { handlesAt, jointCount, jointKind, jointPoint } from '../../geometry/edit/nodes.ts';
import { LINE_STYLES, type PieceLine } from '../../geometry/line-kinds.ts';
import type { Path } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { type Palette, usePalette } from '../look/palette.ts';
import { DASH_PX_PER_MM, lineColor } from '../worktable/plane-shapes.tsx';
import { drawWords } from '../worktable/plane-words.tsx';

type Ink = Konva.Context;

/** Drawn once for each path, whatever the zoom: y turned down. */
const drawings = new WeakMap<Path, Path2D>();

function drawingOf(path: Path): Path2D {
  const known = drawings.get(path);
  if (known) return known;
  const drawing = new Path2D();
  drawing.moveTo(path.start.x, -path.start.y);
  for (const s of path.segments) {
    if (s.kind === 'line') drawing.lineTo(s.to.x, -s.to.y);
    else drawing.bezierCurveTo(s.c1.x, -s.c1.y, s.c2.x, -s.c2.y, s.to.x, -s.to.y);
  }
  if (path.closed) drawing.closePath();
  drawings.set(path, drawing);
  return drawing;
}

/** What is in sight, in mm, with a hand's breadth more. */
interface Sight {
  readonly zoom: number;
  readonly left: number;
  readonly right: number;
  readonly low: number;
  readonly high: number;
}

function sightOf(shape: Konva.Shape): Sight {
  const stage = shape.getStage()!;
  const zoom = stage.scaleX();
  const room = 20 / zoom;
  return {
    zoom,
    left: -stage.x() / zoom - room,
    right: (stage.width() - stage.x()) / zoom + room,
    high: stage.y() / zoom + room,
    low: (stage.y() - stage.height()) / zoom - room,
  };
}

const isInSight = ({ x, y }: PlanePoint, { left, right, low, high }: Sight) =>
  x >= left && x <= right && y >= low && y <= high;

interface Look {
  readonly palette: Palette;
  /** Over the photo lines have a pale casing, so that they show on light and dark ground alike. */
  readonly isOverPhoto: boolean;
}

function drawLine(
  ink: Ink,
  line: PieceLine,
  isPicked: boolean,
  zoom: number,
  { palette, isOverPhoto }: Look,
): void {
  const drawing = drawingOf(line.path);
  const width = isPicked ? 3 : 2;
  ink.setAttr('lineJoin', 'round');
  if (isOverPhoto) {
    ink.setLineDash([]);
    ink.setAttr('strokeStyle', 'rgba(255,255,255,0.8)');
    ink.setAttr('lineWidth', (width + 2.5) / zoom);
    ink.stroke(drawing);
  }
  ink.setLineDash(LINE_STYLES[line.kind].dashMm.map((mm) => (mm * DASH_PX_PER_MM) / zoom));
  ink.setAttr('strokeStyle', isOverPhoto ? LINE_STYLES[line.kind].color : lineColor(line.kind, palette));
  ink.setAttr('lineWidth', width / zoom);
  ink.stroke(drawing);
  ink.setLineDash([]);
}

/** Half the side of a joint's mark, px; where joints crowd, marks shrink so that the line stays in sight. */
const MARK_PX = 4.5;
const CROWDED_PX = 2;
const CROWD = 1500;

function drawJoints(
  ink: Ink,
  { path }: PieceLine,
  sight: Sight,
  isCrowded: boolean,
  { palette }: Look,
): void {
  const half = (isCrowded ? CROWDED_PX : MARK_PX) / sight.zoom;
  const rim = 1.5 / sight.zoom;
  const count = jointCount(path);
  for (let joint = 0; joint < count; joint++) {
    const at = jointPoint(path, joint);
    if (!isInSight(at, sight)) continue;
    const [x, y] = [at.x, -at.y];
    ink.setAttr('fillStyle', palette.ink);
    if (isCrowded) {
      ink.fillRect(x - half, y - half, 2 * half, 2 * half);
    } else if (jointKind(path, joint) === 'corner') {
      ink.fillRect(x - half, y - half, 2 * half, 2 * half);
      ink.setAttr('fillStyle', palette.paper);
      ink.fillRect(x - half + rim, y - half + rim, 2 * (half - rim), 2 * (half - rim));
    } else {
      ink.beginPath();
      ink.arc(x, y, half, 0, 2 * Math.PI, false);
      ink.fill();
      ink.setAttr('fillStyle', palette.paper);
      ink.beginPath();
      ink.arc(x, y, half - rim, 0, 2 * Math.PI, false);
      ink.fill();
    }
  }
}

/** Handles are drawn for as many joints as can be told apart. */
const MOST_HANDLES = 12;

function drawPicked(
  ink: Ink,
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  sight: Sight,
  { palette }: Look,
): void {
  const px = 1 / sight.zoom;
  for (const { lineId, joint } of picks) {
    const line = lines.find(({ id }) => id === lineId);
    if (!line || joint >= jointCount(line.path)) continue;
    const at = jointPoint(line.path, joint);
    if (picks.length <= MOST_HANDLES) drawHandles(ink, line.path, joint, px, palette);
    ink.setAttr('fillStyle', palette.accent);
    ink.beginPath();
    if (jointKind(line.path, joint) === 'corner')
      ink.rect(at.x - 6.5 * px, -at.y - 6.5 * px, 13 * px, 13 * px);
    else ink.arc(at.x, -at.y, 7 * px, 0, 2 * Math.PI, false);
    ink.fill();
    ink.setAttr('strokeStyle', palette.paper);
    ink.setAttr('lineWidth', 2 * px);
    ink.stroke();
  }
}

function drawHandles(ink: Ink, path: Path, joint: number, px: number, palette: Palette): void {
  const at = jointPoint(path, joint);
  const { arriving, leaving } = handlesAt(path, joint);
  for (const handle of [arriving, leaving]) {
    if (!handle) continue;
    ink.setAttr('strokeStyle', palette.accent);
    ink.setAttr('lineWidth', 1.5 * px);
    ink.beginPath();
    ink.moveTo(at.x, -at.y);
    ink.lineTo(handle.x, -handle.y);
    ink.stroke();
    ink.setAttr('fillStyle', palette.paper);
    ink.beginPath();
    ink.arc(handle.x, -handle.y, 5 * px, 0, 2 * Math.PI, false);
    ink.fill();
    ink.stroke();
  }
}

interface EditShapeProps {
  readonly lines: readonly PieceLine[];
  readonly picks: readonly JointPick[];
  readonly isOverPhoto: boolean;
}

/**
 * A piece's lines with all their joints as one shape: thousands of nodes of their own would be too slow to drag among.
 * Joints out of sight are left out.
 */
export function EditShape({ lines, picks, isOverPhoto }: EditShapeProps) {
  const palette = usePalette();
  const pickedIds = useMemo(() => new Set(picks.map(({ lineId }) => lineId)), [picks]);
  const look: Look = { palette, isOverPhoto };
  return (
    <Shape
      listening={false}
      perfectDrawEnabled={false}
      sceneFunc={(ink, shape) => {
        const sight = sightOf(shape);
        for (const line of lines) {
          if (line.words) drawWords(ink, line, look.palette.ink);
          else drawLine(ink, line, pickedIds.has(line.id), sight.zoom, look);
        }
        const isCrowded = crowds(lines, sight);
        for (const line of lines) drawJoints(ink, line, sight, isCrowded, look);
        drawPicked(ink, lines, picks, sight, look);
      }}
    />
  );
}

/** More joints in sight than can each have a mark of full size. */
function crowds(lines: readonly PieceLine[], sight: Sight): boolean {
  if (lines.reduce((sum, { path }) => sum + jointCount(path), 0) <= CROWD) return false;
  let seen = 0;
  for (const { path } of lines) {
    const count = jointCount(path);
    for (let joint = 0; joint < count; joint++) if (isInSight(jointPoint(path, joint), sight)) seen++;
  }
  return seen > CROWD;
}
