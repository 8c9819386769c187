/** The document: everything a maker makes, as readonly data. Changed only by the commands in commands/. */
import type { Camera } from '../capture/camera.ts';
import type { Capture, CaptureOptions, PrinterCheck, Reference, TapeDistance } from '../capture/types.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { ExcusedStretch } from '../mirror/excused.ts';
import type { BridgedGap, DrawnOptions, LooseLine } from '../trace/drawn/drawn-types.ts';
import type { TraceWarning } from '../trace/types.ts';
import type { JoinRecord } from './join-types.ts';
import type { ExtraStrip, Seam, SizeRange } from './seam-types.ts';
import type { Foam, Lining, Round, Wearer, WrapPlan } from './fit-types.ts';

export type { Foam, Wearer, WrapPlan } from './fit-types.ts';

/** An upright box in a photo, px. */
export interface PhotoBox {
  readonly minU: number;
  readonly minV: number;
  readonly maxU: number;
  readonly maxV: number;
}

/** How a revision's millimetres lie in the photo they were traced from. */
export interface PhotoFrame {
  readonly camera: Camera;
  /** Height over the table of the plane that the outline was measured on, mm. */
  readonly heightMm: number;
  /** Where the piece lies in the photo. */
  readonly box: PhotoBox;
}

/** What tracing found out about a piece beside its lines. */
export interface TraceFacts {
  /** Mean colour of the piece in the photo (sRGB hex). */
  readonly color: string;
  /** How far cleaning moved the lines from the measured edge, mm. */
  readonly movedMaxMm: number;
  readonly movedMeanMm: number;
  /** Share of the outline that was seen at the foot of a thick piece rather than at its top edge. */
  readonly footShare: number;
  readonly warnings: readonly TraceWarning[];
}

export interface Revision {
  readonly id: string;
  /** ISO 8601. */
  readonly when: string;
  /** In the maker's words or ours: "traced from photo", "averaged halves", "fitted to Wren, 580 mm". */
  readonly why: string;
  readonly lines: readonly PieceLine[];
  /** One-sigma tolerance of the longest span, mm, where it was measured. */
  readonly toleranceMm?: number;
  /** Set on revisions that came straight from a photo, without the maker's hand. */
  readonly origin?: 'trace';
  /** Beside `origin: 'trace'`. */
  readonly traced?: TraceFacts;
  /** Kept by the revisions made from a traced one, for as long as they still lie where the photo showed them. */
  readonly frame?: PhotoFrame;
}

/** The fold axis in force for a piece. */
export interface FoldAxis {
  readonly point: PlanePoint;
  readonly angleRad: number;
  readonly rule: 'free' | 'by-hand' | 'vertical' | 'through-marks';
}

export interface Piece {
  readonly id: string;
  readonly name: string;
  readonly foamId: string;
  readonly count: number;
  readonly mirroredCount: number;
  /** Left out pieces stay in the build but not in template, fit or files. */
  readonly included: boolean;
  readonly captureId?: string;
  /** Oldest first; the last one is in force. */
  readonly revisions: readonly Revision[];
  readonly wrap?: WrapPlan;
  readonly axis?: FoldAxis;
  /** Stretches that are uneven on purpose: no part of the fold check's verdict. */
  readonly excused?: readonly ExcusedStretch[];
  /** The piece that this one is a mock-up of, once its outline has gone into that piece's revisions. */
  readonly mockUpOf?: string;
}

export interface CaptureRecord {
  readonly id: string;
  /** Key of the photo's bytes in storage (`photos`), and in the build file. */
  readonly photoId: string;
  readonly photoName: string;
  readonly widthPx?: number;
  readonly heightPx?: number;
  readonly capture?: Capture;
  /** What `capture` was solved with; tells whether it is still in force (lookups.ts). */
  readonly measuredWith?: CaptureOptions;
  /** Thickness of the pieces in this photo, mm. */
  readonly thicknessMm: number;
  /** One-sigma doubt of the thickness, mm, where the maker measured it. */
  readonly thicknessDoubtMm?: number;
  /** What the photo is measured by; scale cards when left out. */
  readonly references?: readonly Reference[];
  readonly tapes: readonly TapeDistance[];
  readonly edgeBias: number;
  /** Lines drawn on paper are traced in place of cut pieces, in this way. */
  readonly drawn?: DrawnOptions;
  /** Gaps that the last trace of drawn lines bridged. */
  readonly bridgedGaps?: readonly BridgedGap[];
  /** Lines outside every outline that it found. */
  readonly looseLines?: readonly LooseLine[];
}

/** A printer that the maker measured with the card page. */
export interface Printer {
  readonly id: string;
  readonly name: string;
  readonly check: PrinterCheck;
}

export type PaperName = 'A4' | 'Letter' | 'A3' | 'Tabloid';

export interface PageSetup {
  readonly paper: PaperName;
  readonly marginMm: number;
  readonly overlapMm: number;
  /** Printer whose measured scale corrects the template, or undefined for none. */
  readonly printerId?: string;
}

export interface Build {
  readonly formatVersion: 1;
  readonly id: string;
  readonly name: string;
  readonly createdAt: string;
  readonly changedAt: string;
  readonly wearers: readonly Wearer[];
  readonly wearerId?: string;
  readonly foams: readonly Foam[];
  /** Foam for new pieces. */
  readonly foamId?: string;
  readonly captures: readonly CaptureRecord[];
  /** Photos that show parts of one long piece. */
  readonly joins?: readonly JoinRecord[];
  readonly pieces: readonly Piece[];
  /** Pieces that go round the head together. */
  readonly rounds?: readonly Round[];
  readonly lining?: Lining;
  readonly printers: readonly Printer[];
  /** Printer that made the scale cards in the photos. */
  readonly cardPrinterId?: string;
  readonly pageSetup: PageSetup;
  /** How far the halves of a piece may differ, mm; 2 when left out. */
  readonly foldLimitMm?: number;
  readonly seams?: readonly Seam[];
  readonly extras?: readonly ExtraStrip[];
  readonly sizeRange?: SizeRange;
}
