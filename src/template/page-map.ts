/** The page map: every sheet drawn small, joined as it will be on the table, with the pieces in true shape. */
import { mapPath } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { PdfDrawing, Pen } from './pdf-drawing.ts';
import { middleOf } from './piece-label.ts';
import { pieceShape } from './piece-shape.ts';
import { placer } from './placement.ts';
import { isInRect, moveRect, type Rect, rectCentre } from './rect.ts';
import type { SheetGroup, TemplateLayout, TemplateSheet } from './sheet-types.ts';
import type { TemplateInput } from './template-input.ts';

const GAP_MM = 5;
const LARGEST_SCALE = 0.32;
const SHEET_PEN: Pen = { widthMm: 0.15, color: '#6a6a6a' };
const PIECE_PEN: Pen = { widthMm: 0.25 };

interface MapPlace {
  readonly group: SheetGroup;
  /** The group's lower left corner, mm. */
  readonly at: PlanePoint;
}

/** Rows of groups, left to right and top down; undefined when they do not fit at this scale. */
function flow(groups: readonly SheetGroup[], area: Rect, scale: number): MapPlace[] | undefined {
  const places: MapPlace[] = [];
  let [x, top, rowHigh] = [area.x, area.y + area.heightMm, 0];
  for (const group of groups) {
    const [wide, high] = [group.widthMm * scale, group.heightMm * scale];
    if (x > area.x && x + wide > area.x + area.widthMm) {
      [x, top, rowHigh] = [area.x, top - rowHigh - GAP_MM, 0];
    }
    if (x + wide > area.x + area.widthMm + 1e-9 || top - high < area.y - 1e-9) return undefined;
    places.push({ group, at: { x, y: top - high } });
    x += wide + GAP_MM;
    rowHigh = Math.max(rowHigh, high);
  }
  return places;
}

/** Draws the map as large as fits into the area. */
export function drawPageMap(
  drawing: PdfDrawing,
  input: TemplateInput,
  layout: TemplateLayout,
  area: Rect,
): void {
  let scale = LARGEST_SCALE;
  let places = flow(layout.groups, area, scale);
  while (!places && scale > 0.005) {
    scale *= 0.95;
    places = flow(layout.groups, area, scale);
  }
  for (const place of places ?? []) drawGroup(drawing, input, layout, place, scale);
}

function drawGroup(
  drawing: PdfDrawing,
  input: TemplateInput,
  layout: TemplateLayout,
  { group, at: corner }: MapPlace,
  scale: number,
): void {
  const nameMm = Math.min(3.4, layout.frame.widthMm * scale * 0.22);
  for (const { sheet: index, core, origin } of group.members) {
    const sheet = layout.sheets[index]!;
    const onMap = ({ x, y }: PlanePoint): PlanePoint => ({
      x: corner.x + (x + origin.x) * scale,
      y: corner.y + (y + origin.y) * scale,
    });
    const box = scaleRect(core, scale, corner);
    for (const { piece, placement } of sheet.pieces) {
      const place = placer(placement);
      const paths = input.pieces[piece]!.lines.filter(({ kind }) => kind === 'cut' || kind === 'cutout').map(
        ({ path }) => mapPath(path, (point) => onMap(place(point))),
      );
      drawing.clipped(box, () => drawing.stroke(paths, PIECE_PEN));
      const middle = middleOf(pieceShape(input.pieces[piece]!.lines, placement));
      const { x, y } = numberPlace(sheet, piece, middle, core, origin);
      const at = onMap({ x, y });
      drawing.text(String(piece + 1), at.x, at.y - 1.1, { sizeMm: 3.2, align: 'middle' });
    }
    drawing.frame(box, SHEET_PEN);
    // Pieces are laid from the top of a sheet, so its lower corner is the likeliest to be bare.
    drawing.text(sheet.name, box.x + 1, box.y + 1, { sizeMm: nameMm });
  }
}

/** Where the piece's label lies on it, else its middle; of a tiled piece, whatever of it the sheet holds. On the sheet. */
function numberPlace(
  { labels }: TemplateSheet,
  piece: number,
  middle: PlanePoint,
  core: Rect,
  origin: PlanePoint,
): PlanePoint {
  const label = labels.find((each) => each.piece === piece && !each.leader);
  if (label) return rectCentre(label.box);
  const own = moveRect(core, -origin.x, -origin.y);
  return isInRect(middle, own) ? middle : rectCentre(own);
}

function scaleRect(rect: Rect, scale: number, at: PlanePoint): Rect {
  const { x, y, widthMm, heightMm } = rect;
  return moveRect(
    { x: x * scale, y: y * scale, widthMm: widthMm * scale, heightMm: heightMm * scale },
    at.x,
    at.y,
  );
}
