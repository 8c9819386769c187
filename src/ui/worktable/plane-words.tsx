import type Konva from 'konva';
import { Shape } from 'react-konva';
import type { PieceLine } from '../../geometry/line-kinds.ts';

/** Draws words on a canvas in mm whose y runs down: on their line, in letters of their size. */
export function drawWords(ink: Konva.Context, { path, words }: PieceLine, color: string): void {
  const end = path.segments[0]?.to;
  if (!words || !end) return;
  const { start } = path;
  ink.save();
  ink.translate(start.x, -start.y);
  ink.rotate(-Math.atan2(end.y - start.y, end.x - start.x));
  // Letters of a few units are hinted badly: they are set large and scaled down.
  const scale = words.sizeMm / 100;
  ink.scale(scale, scale);
  ink.setAttr('fillStyle', color);
  ink.setAttr('font', '100px system-ui, sans-serif');
  ink.setAttr('textBaseline', 'alphabetic');
  ink.fillText(words.text, 0, 0);
  ink.restore();
}

/** Words written on a piece, on a PlaneTable. */
export function PlaneWords({ line, color }: { readonly line: PieceLine; readonly color: string }) {
  return <Shape listening={false} sceneFunc={(ink) => drawWords(ink, line, color)} />;
}

export const hasWords = ({ words }: PieceLine) => words !== undefined;
/** Words stand on their line in place of it. */
export const isDrawn = ({ words }: PieceLine) => words === undefined;
