/** What lies on the printed sheets: plain data in each sheet's frame (mm, origin at the pattern area's lower left). */
import type { PlanePoint } from '../geometry/point.ts';
import type { Problem } from '../outcome.ts';
import type { SheetFrame } from './paper.ts';
import type { Placement } from './placement.ts';
import type { Rect } from './rect.ts';

export interface PlacedPiece {
  /** Index in the template's pieces. */
  readonly piece: number;
  readonly placement: Placement;
}

/** Printed on both neighbours at the same place of the pattern, under the same name. */
interface RegistrationMark {
  /** "A1|A2 · 1" */
  readonly name: string;
  readonly at: PlanePoint;
}

/** Where a sheet meets its neighbour: the middle of the strip that they share. */
export interface Join {
  readonly neighbour: string;
  /** The side of this sheet that the neighbour lies on. */
  readonly side: 'left' | 'right' | 'top' | 'bottom';
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  readonly marks: readonly RegistrationMark[];
  /** Of each pair the right or lower sheet is trimmed along the join and laid on the other. */
  readonly trimmed: boolean;
  /** Middle of the line of words beside the join. */
  readonly wordsAt: PlanePoint;
}

export interface PieceLabel {
  readonly piece: number;
  readonly lines: readonly string[];
  readonly sizeMm: number;
  readonly box: Rect;
  /** Text runs upwards. */
  readonly upright: boolean;
  /** From the label to the piece, where the label lies beside it. */
  readonly leader?: { readonly from: PlanePoint; readonly to: PlanePoint };
}

export interface CheckSquare {
  readonly label: '50 mm' | '2 in';
  readonly box: Rect;
  /** False when the sheet had no room that is clear of lines. */
  readonly clear: boolean;
}

export interface TemplateSheet {
  /** Row letter and column figure, unique in the template: "A1". */
  readonly name: string;
  /** Pages are numbered through, the cover first. */
  readonly pageNumber: number;
  readonly pieces: readonly PlacedPiece[];
  readonly joins: readonly Join[];
  readonly labels: readonly PieceLabel[];
  readonly squares: readonly CheckSquare[];
}

/** Sheets that belong together: one sheet, or the tiles of large pieces. */
export interface SheetGroup {
  /** The tiled pieces; none for a single sheet. */
  readonly pieces: readonly number[];
  readonly widthMm: number;
  readonly heightMm: number;
  readonly members: readonly {
    /** Index in the layout's sheets. */
    readonly sheet: number;
    /** The sheet's origin in the group's frame, mm. */
    readonly origin: PlanePoint;
    /** The part of the group that the sheet answers for, in the group's frame. */
    readonly core: Rect;
  }[];
}

export interface TemplateLayout {
  readonly frame: SheetFrame;
  readonly sheets: readonly TemplateSheet[];
  readonly groups: readonly SheetGroup[];
  /** Cover and list pages before the first sheet. */
  readonly coverPageCount: number;
  readonly pageCount: number;
  readonly warnings: readonly Problem<TemplateWarningCode>[];
}

export type TemplateWarningCode = 'letters-missing' | 'square-crossed';
