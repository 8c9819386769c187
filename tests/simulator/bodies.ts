import type { PlanePoint } from '../../src/geometry/point.ts';
import { cardFace, CARD_SIZE_MM, type FaceField } from './card-face.ts';
import { slopeGain, wallGain } from './light.ts';
import { type Relief, reliefOf } from './relief.ts';
import {
  type Light,
  type Placed,
  type Rgb,
  SHEET_SIZES,
  type SimBankCard,
  type SimCard,
  type SimPiece,
  type SimSheet,
} from './scene.ts';
import { PolygonShape, rectangle, roundedRectangle, type Shape } from './shapes.ts';

/**
 * What a line of sight met. One object is reused for every pixel: nothing here may be kept.
 */
export interface Hit {
  r: number;
  g: number;
  b: number;
  x: number;
  y: number;
  z: number;
  /** Light on this face relative to a level one. */
  gain: number;
  gloss: number;
  /** Distance to the nearest visible edge so far, mm. */
  edgeMm: number;
  drawable: boolean;
}

export interface Body {
  readonly topMm: number;
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
  /**
   * Follows the line of sight that meets the table at (x, y) and moves (sx, sy) per mm of height.
   * Fills the hit and returns true when it meets the body; always lowers `edgeMm` to the nearest edge.
   */
  meet(x: number, y: number, sx: number, sy: number, hit: Hit): boolean;
  /** Signed distance from a table place to the body's outline, coarse, for shadows. */
  outline(x: number, y: number): number;
}

/** What a body needs to know of the rest of the scene. */
export interface Setting {
  readonly light: Light;
  /** Most that any line of sight moves sideways per mm of height. */
  readonly steepest: number;
}

interface Face {
  /** Paints the hit at a place in the body's frame, measured along the surface; returns the distance to the nearest painted edge. */
  paint(x: number, y: number, hit: Hit): number;
  readonly gloss: number;
  readonly drawable: boolean;
}

function setColor(hit: Hit, color: Rgb): void {
  hit.r = color[0];
  hit.g = color[1];
  hit.b = color[2];
}

const plainFace = (color: Rgb, gloss: number): Face => ({
  paint: (_x, _y, hit) => {
    setColor(hit, color);
    return Infinity;
  },
  gloss,
  drawable: true,
});

/** A thin body: one face over a shape in its own frame, flat or curled; its paper is `paperMm` thick. */
function thinBody(placed: Placed, paperMm: number, shape: Shape, face: Face, { light }: Setting): Body {
  const { centre, turnRad } = placed;
  const relief: Relief = reliefOf(placed.curl);
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  const base = placed.heightMm + paperMm;
  const topMm = base + relief.maxRiseMm;
  const corners = [
    [shape.minX, shape.minY],
    [shape.maxX, shape.minY],
    [shape.maxX, shape.maxY],
    [shape.minX, shape.maxY],
  ].map(([x, y]) => [centre.x + c * x! - s * y!, centre.y + s * x! + c * y!] as const);
  return {
    topMm,
    minX: Math.min(...corners.map(([x]) => x)),
    maxX: Math.max(...corners.map(([x]) => x)),
    minY: Math.min(...corners.map(([, y]) => y)),
    maxY: Math.max(...corners.map(([, y]) => y)),
    outline: (x, y) => {
      const dx = x - centre.x;
      const dy = y - centre.y;
      return shape.coarse(c * dx + s * dy, c * dy - s * dx);
    },
    meet: (x, y, sx, sy, hit) => {
      const dx = x - centre.x;
      const dy = y - centre.y;
      let z = base;
      // Where the sight line meets the level of the paper, in the body's frame; both parts are linear in z.
      let lx = c * (dx + z * sx) + s * (dy + z * sy);
      let ly = c * (dy + z * sy) - s * (dx + z * sx);
      let gain = 1;
      if (!relief.flat) {
        const moveX = c * sx + s * sy;
        const moveY = c * sy - s * sx;
        const move = moveX * relief.dirX + moveY * relief.dirY;
        const t0 = lx * relief.dirX + ly * relief.dirY;
        let rise = relief.rise(t0);
        for (let i = 0; i < 5; i++) {
          const t = t0 + rise * move;
          rise -= (rise - relief.rise(t)) / (1 - relief.slope(t) * move);
        }
        z = base + rise;
        lx += rise * moveX;
        ly += rise * moveY;
        const t = lx * relief.dirX + ly * relief.dirY;
        const shift = relief.arc(t) - t;
        lx += shift * relief.dirX;
        ly += shift * relief.dirY;
        const slope = relief.slope(t);
        gain = slopeGain(
          light,
          slope * (c * relief.dirX - s * relief.dirY),
          slope * (s * relief.dirX + c * relief.dirY),
        );
      }
      const d = shape.signed(lx, ly);
      const away = d < 0 ? -d : d;
      if (away < hit.edgeMm) hit.edgeMm = away;
      if (d >= 0) return false;
      const painted = face.paint(lx, ly, hit);
      if (painted < hit.edgeMm) hit.edgeMm = painted;
      hit.x = x + z * sx;
      hit.y = y + z * sy;
      hit.z = z;
      hit.gain = gain;
      hit.gloss = face.gloss;
      hit.drawable = face.drawable;
      return true;
    },
  };
}

/** Thickness of the paper of cards and sheets. */
export const PAPER_MM = 0.1;

export function cardBody(card: SimCard, setting: Setting): Body {
  const { across, along, skew = 0 } = card.print;
  const field: FaceField = cardFace(card.id);
  const scale = (across + along) / 2;
  const { paper, ink, inkSpreadMm } = card;
  const face: Face = {
    paint: (x, y, hit) => {
      const py = y / along;
      const d = field((x - skew * y) / across, py) * scale - inkSpreadMm;
      if (d < 0) {
        hit.r = ink;
        hit.g = ink;
        hit.b = ink;
        return -d;
      }
      setColor(hit, paper);
      return d;
    },
    gloss: 1,
    drawable: false,
  };
  return thinBody(card, PAPER_MM, rectangle(CARD_SIZE_MM * across, CARD_SIZE_MM * along), face, setting);
}

/** Share of a thin printed line (period and width in mm) at a place, softened by 0.15 mm. */
export function gridLine(place: number, period: number, width: number): number {
  const d = Math.abs(place - period * Math.round(place / period));
  return Math.min(1, Math.max(0, (width / 2 - d) / 0.15 + 0.5));
}

export function sheetBody(sheet: SimSheet, setting: Setting): Body {
  const [width, height] = SHEET_SIZES[sheet.size];
  const [moreX, moreY] = sheet.excessMm ?? [0, 0];
  const { color, graphMm, graphInk } = sheet;
  const face: Face =
    graphMm === undefined
      ? plainFace(color, 1)
      : {
          paint: (x, y, hit) => {
            if (graphInk !== undefined) {
              const left = 1 - graphInk * Math.max(gridLine(x, graphMm, 0.35), gridLine(y, graphMm, 0.35));
              hit.r = color[0] * left;
              hit.g = color[1] * left;
              hit.b = color[2] * left;
              return Infinity;
            }
            const fine = Math.max(gridLine(x, graphMm, 0.2), gridLine(y, graphMm, 0.2)) * 0.35;
            const bold = Math.max(gridLine(x, graphMm * 5, 0.35), gridLine(y, graphMm * 5, 0.35)) * 0.5;
            const share = Math.max(fine, bold);
            hit.r = color[0] * (1 - 0.75 * share);
            hit.g = color[1] * (1 - 0.35 * share);
            hit.b = color[2] * (1 - 0.15 * share);
            return Infinity;
          },
          gloss: 1,
          drawable: true,
        };
  return thinBody(sheet, PAPER_MM, rectangle(width + moreX, height + moreY), face, setting);
}

/** A thick body: level top, upright walls between foot and top. */
function slabBody(
  rings: readonly (readonly PlanePoint[])[],
  footMm: number,
  thicknessMm: number,
  color: Rgb,
  wall: Rgb,
  gloss: number,
  { light, steepest }: Setting,
  paint?: Face['paint'],
): Body {
  const top = footMm + thicknessMm;
  const shape = new PolygonShape(rings, 1.5 + steepest * thicknessMm);
  const { grid } = shape;
  const crossing = new Float64Array(2);
  return {
    topMm: top,
    minX: shape.minX,
    maxX: shape.maxX,
    minY: shape.minY,
    maxY: shape.maxY,
    outline: (x, y) => shape.coarse(x, y),
    meet: (x, y, sx, sy, hit) => {
      const tx = x + top * sx;
      const ty = y + top * sy;
      const fx = x + footMm * sx;
      const fy = y + footMm * sy;
      const d = shape.signed(tx, ty);
      const away = d < 0 ? -d : d;
      if (away < hit.edgeMm) hit.edgeMm = away;
      hit.drawable = true;
      hit.gloss = gloss;
      if (d < 0) {
        setColor(hit, color);
        if (paint) hit.edgeMm = Math.min(hit.edgeMm, paint(tx, ty, hit));
        hit.x = tx;
        hit.y = ty;
        hit.z = top;
        hit.gain = 1;
        return true;
      }
      // Beyond the reach of any wall.
      if (d >= grid.reachMm) return false;
      const foot = Math.abs(shape.signed(fx, fy));
      if (foot < hit.edgeMm) hit.edgeMm = foot;
      if (!grid.firstCrossing(tx, ty, fx, fy, crossing)) return false;
      const e = crossing[0]!;
      const share = crossing[1]!;
      let nx = grid.by[e]! - grid.ay[e]!;
      let ny = grid.ax[e]! - grid.bx[e]!;
      const length = Math.hypot(nx, ny) || 1;
      // The wall that is seen faces the place where the sight line came from.
      const towards = nx * (tx - fx) + ny * (ty - fy) >= 0 ? 1 : -1;
      nx *= towards / length;
      ny *= towards / length;
      setColor(hit, wall);
      hit.x = tx + share * (fx - tx);
      hit.y = ty + share * (fy - ty);
      hit.z = top - share * thicknessMm;
      // Darker towards the table, which hides the light from below.
      hit.gain = wallGain(light, nx, ny) * (1 - 0.35 * share);
      return true;
    },
  };
}

const THIN_BELOW_MM = 0.35;

export function pieceBody(piece: SimPiece, setting: Setting): Body {
  const rings = [piece.outer, ...piece.holes];
  const foot = piece.heightMm ?? 0;
  if (piece.thicknessMm >= THIN_BELOW_MM) {
    if (piece.curl) throw new Error('Only thin pieces curl in the simulator.');
    const wall = piece.wallColor ?? piece.color;
    return slabBody(rings, foot, piece.thicknessMm, piece.color, wall, 0.25, setting);
  }
  const xs = piece.outer.map((p) => p.x);
  const ys = piece.outer.map((p) => p.y);
  const centre = {
    x: (Math.min(...xs) + Math.max(...xs)) / 2,
    y: (Math.min(...ys) + Math.max(...ys)) / 2,
  };
  const local = rings.map((ring) => ring.map((p) => ({ x: p.x - centre.x, y: p.y - centre.y })));
  const placed: Placed = { centre, turnRad: 0, heightMm: foot, ...(piece.curl && { curl: piece.curl }) };
  return thinBody(placed, piece.thicknessMm, new PolygonShape(local, 3), plainFace(piece.color, 1), setting);
}

export function bankCardBody(card: SimBankCard, setting: Setting): Body {
  const [moreX, moreY] = card.excessMm ?? [0, 0];
  const [c, s] = [Math.cos(card.turnRad), Math.sin(card.turnRad)];
  const outline = roundedRectangle(85.6 + moreX, 53.98 + moreY, 3.18).map(({ x, y }) => ({
    x: card.centre.x + c * x - s * y,
    y: card.centre.y + s * x + c * y,
  }));
  const wall: Rgb = [0.7, 0.7, 0.7];
  return slabBody([outline], card.heightMm, 0.76, card.color, wall, 1.2, setting, bankCardPrint(card));
}

/** Paints the card's print at a place of the world; the distance to the nearest printed edge is given back. */
function bankCardPrint({ print, centre, turnRad }: SimBankCard): Face['paint'] | undefined {
  if (!print) return undefined;
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  return (wx, wy, hit) => {
    const [dx, dy] = [wx - centre.x, wy - centre.y];
    const [x, y] = [c * dx + s * dy, c * dy - s * dx];
    // Magnetic stripe: 12.7 mm wide, 4 mm from the long side (ISO/IEC 7811; from memory). Fields: two slanting bands.
    const d = print.kind === 'stripe' ? Math.abs(y - 16.6) - 6.35 : Math.abs(x + 0.6 * y - 18) / 1.166 - 8;
    const other = print.kind === 'stripe' ? d : Math.min(d, Math.abs(y - 0.3 * x + 14) / 1.044 - 5);
    if (other < 0) setColor(hit, print.color);
    return Math.abs(other);
  };
}
