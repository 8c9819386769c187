import type { Bounds } from '../../geometry/measure.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import type { SheetFrame } from '../../template/paper.ts';
import type { SheetGroup, TemplateLayout } from '../../template/sheet-types.ts';

/** `apart`: every page by itself, in its place beside its neighbours. `taped`: overlapping as they are joined. */
export type ArrangementMode = 'apart' | 'taped';

/** A page on the worktable. */
export interface PageSpot {
  /** Index in the layout's sheets; undefined for a cover page. */
  readonly sheet: number | undefined;
  readonly pageNumber: number;
  /** Lower left corner of the paper on the worktable, mm. */
  readonly at: PlanePoint;
}

export interface PageArrangement {
  readonly spots: readonly PageSpot[];
  readonly boundsMm: Bounds;
}

interface Block {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Corners relative to the block's lower left one. */
  readonly spots: readonly PageSpot[];
}

/** Room for a page's title above it: one line of words also where three pages share the height of a phone's table. */
export const TITLE_ROOM_MM = 60;
const GAP_BESIDE_MM = 17;
const GAP_BETWEEN_BLOCKS_MM = 50;
/** Width to height of a usual worktable. */
const WIDE = 1.15;

/** Where the sheet frame's origin lies from the paper's lower left corner once printed, mm. */
export function originOnPaper({ originOnPage, printerScale }: SheetFrame): PlanePoint {
  return { x: originOnPage.x * printerScale.across, y: originOnPage.y * printerScale.along };
}

/** The different values among `values`, smallest first: the columns or rows of a grid of tiles. */
function steps(values: readonly number[]): number[] {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.filter((value, i) => i === 0 || value - sorted[i - 1]! > 1e-6);
}

function indexOfStep(all: readonly number[], value: number): number {
  return all.findIndex((step) => Math.abs(step - value) <= 1e-6);
}

function groupBlock(layout: TemplateLayout, group: SheetGroup, mode: ArrangementMode): Block {
  const { paper } = layout.frame;
  const columns = steps(group.members.map(({ origin }) => origin.x));
  const rows = steps(group.members.map(({ origin }) => origin.y));
  const place = ({ x, y }: PlanePoint): PlanePoint =>
    mode === 'taped'
      ? { x: x - columns[0]!, y: y - rows[0]! }
      : {
          x: indexOfStep(columns, x) * (paper.widthMm + GAP_BESIDE_MM),
          y: indexOfStep(rows, y) * (paper.heightMm + TITLE_ROOM_MM),
        };
  const spots = group.members.map(({ sheet, origin }) => ({
    sheet,
    pageNumber: layout.sheets[sheet]!.pageNumber,
    at: place(origin),
  }));
  return {
    widthMm: Math.max(...spots.map(({ at }) => at.x)) + paper.widthMm,
    heightMm: Math.max(...spots.map(({ at }) => at.y)) + paper.heightMm,
    spots,
  };
}

function coverBlock({ frame: { paper } }: TemplateLayout, index: number): Block {
  const spot = { sheet: undefined, pageNumber: index + 1, at: { x: 0, y: 0 } };
  return { ...paper, spots: [spot] };
}

/** Blocks in rows like lines of text, each row hanging from a common top edge. */
function inRows(blocks: readonly Block[], rowMm: number): PageArrangement {
  const spots: PageSpot[] = [];
  let [x, top, rowHeight, widest] = [0, 0, 0, 0];
  for (const block of blocks) {
    if (x > 0 && x + block.widthMm > rowMm) {
      top -= rowHeight + TITLE_ROOM_MM;
      [x, rowHeight] = [0, 0];
    }
    const corner = { x, y: top - block.heightMm };
    for (const spot of block.spots) {
      spots.push({ ...spot, at: { x: corner.x + spot.at.x, y: corner.y + spot.at.y } });
    }
    x += block.widthMm + GAP_BETWEEN_BLOCKS_MM;
    widest = Math.max(widest, x - GAP_BETWEEN_BLOCKS_MM);
    rowHeight = Math.max(rowHeight, block.heightMm);
  }
  return { spots, boundsMm: { minX: 0, minY: top - rowHeight, maxX: widest, maxY: 0 } };
}

/** How small a worktable must show it, the less the better. */
function shrinkage({ boundsMm: { minX, minY, maxX, maxY } }: PageArrangement): number {
  return Math.max((maxX - minX) / WIDE, maxY - minY);
}

/** Lays every page of a template on the worktable, cover first, then group by group, so that they show as large as can be. */
export function arrangePages(layout: TemplateLayout, mode: ArrangementMode): PageArrangement {
  const blocks = [
    ...Array.from({ length: layout.coverPageCount }, (_, index) => coverBlock(layout, index)),
    ...layout.groups.map((group) => groupBlock(layout, group, mode)),
  ];
  const widest = Math.max(...blocks.map(({ widthMm }) => widthMm));
  let best = inRows(blocks, widest);
  let rowMm = 0;
  for (const { widthMm } of blocks) {
    rowMm += widthMm + GAP_BETWEEN_BLOCKS_MM;
    const arrangement = inRows(blocks, Math.max(rowMm, widest));
    if (shrinkage(arrangement) < shrinkage(best)) best = arrangement;
  }
  return best;
}
