import { imageToPlane, planeToImage } from '../../capture/camera.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import type { ExcusedStretch } from '../../mirror/excused.ts';
import type { FoldAxis, PhotoFrame, Piece, WrapPlan } from '../types.ts';

/** A reach along the axis that is long beside the rounding and short beside the piece, mm. */
const AXIS_REACH_MM = 50;

/** The same spot of the photo, in the other frame's millimetres. */
function carryPoint(point: PlanePoint, from: PhotoFrame, to: PhotoFrame): PlanePoint {
  return imageToPlane(to.camera, planeToImage(from.camera, point, from.heightMm), to.heightMm);
}

function carryAxis(axis: FoldAxis, from: PhotoFrame, to: PhotoFrame): FoldAxis {
  const ahead = {
    x: axis.point.x + AXIS_REACH_MM * Math.cos(axis.angleRad),
    y: axis.point.y + AXIS_REACH_MM * Math.sin(axis.angleRad),
  };
  const point = carryPoint(axis.point, from, to);
  const tip = carryPoint(ahead, from, to);
  return { ...axis, point, angleRad: Math.atan2(tip.y - point.y, tip.x - point.x) };
}

function carryWrap(wrap: WrapPlan, from: PhotoFrame, to: PhotoFrame): WrapPlan {
  if (!wrap.line) return wrap;
  const line = {
    ...wrap.line,
    from: carryPoint(wrap.line.from, from, to),
    to: carryPoint(wrap.line.to, from, to),
  };
  return { ...wrap, line };
}

function carryExcused(stretch: ExcusedStretch, from: PhotoFrame, to: PhotoFrame): ExcusedStretch {
  const carry = (point: PlanePoint) => carryPoint(point, from, to);
  return { ...stretch, from: carry(stretch.from), via: carry(stretch.via), to: carry(stretch.to) };
}

type Placed = Pick<Piece, 'axis' | 'wrap' | 'excused'>;

/**
 * A piece's axis, wrap line and excused stretches, carried from the millimetres of one reading of the photo to those of another, so
 * that they stay on the same spots of the piece. Without both frames they stay as they are.
 */
export function inFrame(piece: Placed, from: PhotoFrame | undefined, to: PhotoFrame | undefined): Placed {
  if (!from || !to) return {};
  return {
    ...(piece.axis && { axis: carryAxis(piece.axis, from, to) }),
    ...(piece.wrap && { wrap: carryWrap(piece.wrap, from, to) }),
    ...(piece.excused && { excused: piece.excused.map((stretch) => carryExcused(stretch, from, to)) }),
  };
}
