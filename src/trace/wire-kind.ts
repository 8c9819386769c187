/**
 * What the wanted edge looks like, learnt at its two ends: what Mortensen & Barrett call training ("Intelligent
 * scissors for image composition", SIGGRAPH 1995), here of the colours on both sides of the edge as ratios of light,
 * told apart by the direction of travel, so that neither the rim of a shadow nor the foot of a side wall passes for
 * the edge of a face.
 */
import { type SeenWalls, wallSide } from './wire-walls.ts';
import type { EdgeWindow } from './wire-cost.ts';

/** Logarithms of red, green and blue light. */
type Colour = readonly [number, number, number];
/** The colours of one side at those ends that tell it. */
type Side = readonly Colour[];

/** One way to read the two ends: on which hand the material lies, and how it and what lies beside it look. */
export interface EdgeKind {
  readonly materialOnLeft: boolean;
  readonly face: Side;
  /** What a cell of way costs for the material's looking otherwise at one end than at the other. */
  readonly unlikely: number;
  /** Beside the material: where a side wall shows, and where none does. */
  readonly wall: Side;
  readonly ground: Side;
}

/** The sides of an edge are looked at beyond its blur, px, and again so far from it, mm. */
const BLUR_PX = 2.5;
const ASIDE_MM = 0.9;
/** A colour this near to the learnt ones is the same; this far off (log of light) it is quite another. */
const SAME = 0.08;
const OTHER = 0.5;
/** What another colour of the material costs a cell of way, and of what lies beside it. */
const FACE_COST = 0.7;
const BESIDE_COST = 0.3;

/** Cells from an edge to the two places where its sides are looked at; in a narrow tip the nearer is its own still. */
export function asideCells({ blockPx }: EdgeWindow, pxPerMm: number): readonly [number, number] {
  const near = Math.ceil(BLUR_PX / blockPx);
  return [near, Math.max(near + 1, Math.round((ASIDE_MM * pxPerMm) / blockPx))];
}

function colourAt({ light, columns, rows }: EdgeWindow, cell: number, du: number, dv: number): Colour {
  const row = Math.min(rows - 1, Math.max(0, Math.floor(cell / columns) + dv));
  const column = Math.min(columns - 1, Math.max(0, (cell % columns) + du));
  const at = row * columns + column;
  return [light[0]![at]!, light[1]![at]!, light[2]![at]!];
}

/** How far a difference of colour is one of stuff, 0 to 1. */
function share(difference: number): number {
  return Math.min(1, Math.max(0, difference - SAME) / (OTHER - SAME));
}

function apart(a: Colour, b: Colour): number {
  return (Math.abs(a[0] - b[0]) + Math.abs(a[1] - b[1]) + Math.abs(a[2] - b[2])) / 3;
}

/** An end of the way: the colours on both sides of its edge, the first along the direction of its slope. */
interface End {
  readonly sides: readonly [Colour, Colour];
  readonly acrossU: number;
  readonly acrossV: number;
  readonly cell: number;
}

function readEnd(window: EdgeWindow, cell: number, aside: number): End {
  const [acrossU, acrossV] = [window.acrossU[cell]!, window.acrossV[cell]!];
  const [du, dv] = [Math.round(aside * acrossU), Math.round(aside * acrossV)];
  return {
    sides: [colourAt(window, cell, du, dv), colourAt(window, cell, -du, -dv)],
    acrossU,
    acrossV,
    cell,
  };
}

/** The ways to read the two ends: either side may be the material, and it may lie on either hand. */
export function kindsOfEdge(
  window: EdgeWindow,
  from: number,
  to: number,
  aside: number,
  walls: SeenWalls | undefined,
): EdgeKind[] {
  const [a, b] = [readEnd(window, from, aside), readEnd(window, to, aside)];
  const alike = (i: 0 | 1, j: 0 | 1) => Math.min(OTHER, apart(a.sides[i], b.sides[j]));
  // The material looks alike at both ends; what lies beside it need not.
  const swapped = alike(0, 1) + alike(1, 0) < alike(0, 0) + alike(1, 1);
  const kinds = ([0, 1] as const).flatMap((i) => {
    const j = swapped ? ((1 - i) as 0 | 1) : i;
    const beside = [
      { end: a, side: (1 - i) as 0 | 1 },
      { end: b, side: (1 - j) as 0 | 1 },
    ].map(({ end, side }) => {
      const sign = side === 0 ? 1 : -1;
      const faces =
        walls !== undefined && wallSide(walls, window, end.cell, sign * end.acrossU, sign * end.acrossV) > 0;
      return { colour: end.sides[side], faces };
    });
    const face = [a.sides[i], b.sides[j]];
    const wall = beside.filter(({ faces }) => faces).map(({ colour }) => colour);
    const ground = beside.filter(({ faces }) => !faces).map(({ colour }) => colour);
    const unlikely = FACE_COST * share(apart(face[0]!, face[1]!));
    return [true, false].map((materialOnLeft) => ({ materialOnLeft, face, unlikely, wall, ground }));
  });
  const least = Math.min(...kinds.map(({ unlikely }) => unlikely));
  return kinds.filter(({ unlikely }) => unlikely <= least + FACE_COST / 2);
}

/** How unlike the colours of a side a colour is, 0 to 1; a side that no end told is unlike nothing. */
function unlike(side: Side, light: readonly Float32Array[], at: number): number {
  if (side.length === 0) return 0;
  let sum = 0;
  for (let channel = 0; channel < 3; channel++) {
    const value = light[channel]![at]!;
    const [one, two] = [side[0]![channel]!, (side[1] ?? side[0])![channel]!];
    // Light falls off along the way: all between the two ends' colours is like them.
    sum += Math.max(0, Math.min(one, two) - value, value - Math.max(one, two));
  }
  return share(sum / 3);
}

/** How many cells further on the two places lie that are looked at on a step's left hand; on its right as many back. */
export interface AsideOf {
  readonly near: number;
  readonly far: number;
}

/** What the sides of a step into a cell cost. */
export function costOfSides(
  { materialOnLeft, face, unlikely, wall, ground }: EdgeKind,
  { light }: EdgeWindow,
  cell: number,
  { near, far }: AsideOf,
  facesCamera: boolean,
): number {
  const hand = materialOnLeft ? 1 : -1;
  const within = (at: number) => Math.min(light[0]!.length - 1, Math.max(0, at));
  const nearer = (side: Side, sign: number) => {
    const off = unlike(side, light, within(cell + sign * near));
    return off === 0 ? 0 : Math.min(off, unlike(side, light, within(cell + sign * far)));
  };
  return unlikely + FACE_COST * nearer(face, hand) + BESIDE_COST * nearer(facesCamera ? wall : ground, -hand);
}
