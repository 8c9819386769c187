/** Slanting lines for shading that must read in black and white; px between them on the screen. */
const STEP_PX = 7;

/** A fill of slanting lines in `color` that keeps its look at every zoom of the canvas. */
export function hatch(
  context: CanvasRenderingContext2D,
  color: string,
  zoom: number,
): CanvasPattern | string {
  // Drawn at twice its size, so that it stays crisp on dense screens.
  const size = 2 * STEP_PX;
  const tile = document.createElement('canvas');
  tile.width = size;
  tile.height = size;
  const ink = tile.getContext('2d');
  if (!ink) return color;
  ink.strokeStyle = color;
  ink.lineWidth = 3;
  for (const shift of [-size, 0, size]) {
    ink.moveTo(shift - 2, size + 2);
    ink.lineTo(shift + size + 2, -2);
  }
  ink.stroke();
  const pattern = context.createPattern(tile, 'repeat');
  if (!pattern) return color;
  pattern.setTransform(new DOMMatrix().scale(0.5 / zoom));
  return pattern;
}
