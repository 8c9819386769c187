import type { PageSeam, PrintedTile } from '../geometry/printed-tiles.ts';
import { unplacer } from './placement.ts';
import { moveRect } from './rect.ts';
import type { TemplateLayout } from './sheet-types.ts';

interface TilesOnPiece {
  readonly tiles: readonly PrintedTile[];
  readonly seams: readonly PageSeam[];
}

/** The pages that a piece was printed on and the seams between them, in the piece's own frame, mm. A piece on one page has no seams. */
export function tilesOnPiece({ sheets, groups }: TemplateLayout, piece: number): TilesOnPiece {
  const group = groups.find(({ pieces }) => pieces.includes(piece));
  if (!group) return { tiles: [], seams: [] };
  const tiles: PrintedTile[] = [];
  const seams: PageSeam[] = [];
  for (const { sheet, origin, core } of group.members) {
    const { name, pieces, joins } = sheets[sheet]!;
    const placed = pieces.find((candidate) => candidate.piece === piece);
    if (!placed) continue;
    const back = unplacer(placed.placement);
    const { x, y, widthMm, heightMm } = moveRect(core, -origin.x, -origin.y);
    const corners = [
      { x, y },
      { x: x + widthMm, y },
      { x: x + widthMm, y: y + heightMm },
      { x, y: y + heightMm },
    ].map(back);
    tiles.push({ name, corners });
    // Told once, from the sheet whose neighbour is laid on it.
    for (const { neighbour, from, to, trimmed } of joins) {
      if (!trimmed) seams.push({ tiles: [name, neighbour], from: back(from), to: back(to) });
    }
  }
  const held = new Set(tiles.map(({ name }) => name));
  return { tiles, seams: seams.filter((seam) => seam.tiles.every((name) => held.has(name))) };
}
