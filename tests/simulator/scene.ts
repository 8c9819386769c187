import type { PhotoFacts } from '../../src/capture/types.ts';
import type { ImagePoint, PlanePoint } from '../../src/geometry/point.ts';
import type { SimCamera } from './lens.ts';

/** What the simulator renders. World: mm, x right, y up on the table, z towards the camera. Colours: linear reflectance. */
export interface Scene {
  readonly seed: number;
  readonly camera: SimCamera;
  readonly picture: Picture;
  readonly light: Light;
  readonly table: Table;
  /** Share of uneven reflectance that fibres give paper and table. */
  readonly mottle: number;
  readonly cards: readonly SimCard[];
  readonly pieces: readonly SimPiece[];
  readonly sheets: readonly SimSheet[];
  readonly bankCards: readonly SimBankCard[];
  readonly lines: readonly SimLine[];
  /** What the photo's header says, right or wrong. */
  readonly facts: PhotoFacts;
}

export type Rgb = readonly [number, number, number];

/** A flat thing's place on the table; the turn is counter-clockwise. */
export interface Placed {
  readonly centre: PlanePoint;
  readonly turnRad: number;
  /** Height of its lower face over the table, mm (more than 0 when it lies on something). */
  readonly heightMm: number;
  readonly curl?: Curl;
}

/**
 * How far from flat it lies: a parabola along one direction in its own frame. Lengths along the surface are kept,
 * as paper keeps them.
 */
export interface Curl {
  readonly directionRad: number;
  /** Rise at `halfSpanMm` from the middle; positive: the ends rise, negative: the middle rises. */
  readonly riseMm: number;
  readonly halfSpanMm: number;
  /** Rise per mm along the direction: it leans on something. */
  readonly slope?: number;
}

export interface SimCard extends Placed {
  readonly id: number;
  /** True size of a printed millimetre, and x shift per mm of y. */
  readonly print: { readonly across: number; readonly along: number; readonly skew?: number };
  /** Every black edge moves outwards by this, mm (negative: starved ink). */
  readonly inkSpreadMm: number;
  readonly paper: Rgb;
  readonly ink: number;
}

export interface SimPiece {
  /** Counter-clockwise outline of the flat piece, mm on the table. */
  readonly outer: readonly PlanePoint[];
  readonly holes: readonly (readonly PlanePoint[])[];
  readonly thicknessMm: number;
  readonly heightMm?: number;
  readonly color: Rgb;
  readonly wallColor?: Rgb;
  /** About the middle of the outline's bounds; only thin pieces curl. */
  readonly curl?: Curl;
}

export type SheetSize = 'A4' | 'A3' | 'Letter';

/** Sizes in mm: ISO 216 and ANSI/ASME Y14.1. */
export const SHEET_SIZES: Readonly<Record<SheetSize, readonly [number, number]>> = {
  A4: [210, 297],
  A3: [297, 420],
  Letter: [215.9, 279.4],
};

export interface SimSheet extends Placed {
  readonly size: SheetSize;
  /** True size minus nominal, mm. */
  readonly excessMm?: readonly [number, number];
  readonly color: Rgb;
  /** Graph paper: squares of this size, mm. */
  readonly graphMm?: number;
  /** Its lines are printed in grey that takes this share of the paper's light, 0..1, in place of pale blue. */
  readonly graphInk?: number;
}

/** ISO/IEC 7810 ID-1: 85.60 x 53.98 mm, corner radius 3.18 mm, 0.76 mm thick. */
export interface SimBankCard extends Placed {
  readonly color: Rgb;
  /** A dark stripe along a long side (the back), or large fields of other colours that run off the sides. */
  readonly print?: { readonly kind: 'stripe' | 'fields'; readonly color: Rgb };
  readonly excessMm?: readonly [number, number];
}

export interface SimLine {
  /** World mm; drawn on whatever sheet, piece or table lies there. */
  readonly points: readonly PlanePoint[];
  readonly closed: boolean;
  readonly widthMm: number;
  /** `smudge`: graphite that a hand has dragged along, with a soft edge of some millimetres. */
  readonly tool: 'pencil' | 'pen' | 'marker' | 'smudge';
  /** 0 faint .. 1 black. */
  readonly darkness: number;
}

export type TableKind = 'plain' | 'wood' | 'cloth' | 'grid';

export interface Table {
  readonly kind: TableKind;
  readonly dark: Rgb;
  readonly bright: Rgb;
  /** Direction of the grain or weave. */
  readonly turnRad: number;
}

export interface Light {
  /** Colour and strength of the light on a flat white sheet at `centre`. */
  readonly color: Rgb;
  readonly centre: PlanePoint;
  /** Relative change of light per mm. */
  readonly gradientPerMm: PlanePoint;
  /** Distance at which the light has fallen to a half, mm (Infinity: even). */
  readonly halfAtMm: number;
  /** Horizontal way towards the lamp per mm of height. */
  readonly towards: PlanePoint;
  /** Width of a shadow's soft edge per mm of height. */
  readonly penumbra: number;
  /** Share of the light that comes from all round (not shadowed by the lamp's side). */
  readonly ambient: number;
  readonly glare?: { readonly centre: PlanePoint; readonly radiusMm: number; readonly strength: number };
}

export interface Picture {
  /** Gaussian blur of lens and focus, px; the pixel's own square comes on top. */
  readonly blurSigmaPx: number;
  /** Straight camera shake during the exposure, px from end to end. */
  readonly motionPx?: ImagePoint;
  readonly exposure: number;
  /** Light lost in the corner of the picture, 0..1. */
  readonly falloff: number;
  /** Noise variance per unit of linear signal, and the standard deviation at black. */
  readonly shotNoise: number;
  readonly readNoise: number;
  /** Sharpening after tone coding, as phones do: share of the difference to a blurred copy. */
  readonly sharpen: number;
  readonly sharpenSigmaPx: number;
  /** Undefined: no JPEG. */
  readonly jpegQuality?: number;
  /** Samples per pixel along edges (a Fibonacci number). */
  readonly edgeSamples?: 21 | 34 | 55 | 89 | 233;
}
