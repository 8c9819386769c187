import { LINE_STYLES, type LineKind, type LineWords } from '../geometry/line-kinds.ts';
import { mapPath, type Path } from '../geometry/path.ts';
import { pieceShape } from './piece-shape.ts';
import { movePlacement, type Placement, placer } from './placement.ts';
import { shortNumber, SvgPathData, writePath, yDown } from './sink.ts';
import { cutPhrase, foamPhrase, type TemplateLine, type TemplatePiece } from './template-input.ts';

/** Between pieces and round them, mm. */
const GAP_MM = 10;
/** Pieces are laid in rows no wider than this, unless one is wider itself. */
const ROW_WIDTH_MM = 1000;

/** An SVG path's data for a path in mm whose y runs up, drawn downwards from `topMm`. */
function svgPathData(path: Path, topMm: number): string {
  const data = new SvgPathData();
  writePath(path, yDown(data, topMm));
  return data.toString();
}

/**
 * The pieces as SVG in true mm (width, height and viewBox in mm), laid side by side without overlap: a layer (`g` with
 * the kind's name as id) per kind of line, in it a group per piece with its name as title; cubics kept.
 */
export function piecesSvg(input: { readonly pieces: readonly TemplatePiece[] }): string {
  const { placements, widthMm, heightMm } = sideBySide(input.pieces);
  const layers = (Object.keys(LINE_STYLES) as LineKind[])
    .map((kind) => layer(kind, input.pieces, placements, heightMm))
    .filter((text) => text !== '');
  const [width, height] = [shortNumber(widthMm), shortNumber(heightMm)];
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}">`,
    ...layers,
    '</svg>',
    '',
  ].join('\n');
}

/** Rows of pieces, the first at the top; y up. */
function sideBySide(pieces: readonly TemplatePiece[]) {
  const boxes = pieces.map(({ lines }) => pieceShape(lines, { turnRad: 0, shift: { x: 0, y: 0 } }).bounds);
  const corners: { x: number; down: number }[] = [];
  let [x, down, rowHigh, widthMm] = [GAP_MM, GAP_MM, 0, GAP_MM];
  for (const { minX, minY, maxX, maxY } of boxes) {
    if (x > GAP_MM && x + maxX - minX + GAP_MM > ROW_WIDTH_MM) {
      [x, down, rowHigh] = [GAP_MM, down + rowHigh + GAP_MM, 0];
    }
    corners.push({ x, down });
    x += maxX - minX + GAP_MM;
    widthMm = Math.max(widthMm, x);
    rowHigh = Math.max(rowHigh, maxY - minY);
  }
  const heightMm = down + rowHigh + GAP_MM;
  const placements = boxes.map(({ minX, maxY }, i): Placement => {
    const { x, down } = corners[i]!;
    return movePlacement({ turnRad: 0, shift: { x: 0, y: 0 } }, x - minX, heightMm - down - maxY);
  });
  return { placements, widthMm, heightMm };
}

function layer(
  kind: LineKind,
  pieces: readonly TemplatePiece[],
  placements: readonly Placement[],
  heightMm: number,
): string {
  const groups = pieces.flatMap((piece, i) => {
    const place = placer(placements[i]!);
    const paths = piece.lines
      .filter((line) => line.kind === kind)
      .map((line) => svgLine(line, mapPath(line.path, place), heightMm));
    if (paths.length === 0) return [];
    const facts = [cutPhrase(piece), foamPhrase(piece), piece.sizeLabel, piece.revisionLabel].filter(
      (fact) => fact,
    );
    const head = `<title>${escaped(piece.name)}</title><desc>${escaped(facts.join(', '))}</desc>`;
    return [`    <g>${head}`, ...paths, '    </g>'];
  });
  if (groups.length === 0) return '';
  const { color, widthMm, dashMm } = LINE_STYLES[kind];
  const dash = dashMm.length > 0 ? ` stroke-dasharray="${dashMm.join(' ')}"` : '';
  const pen = `fill="none" stroke="${color}" stroke-width="${widthMm}"${dash}`;
  return [`  <g id="${kind}" ${pen}>`, ...groups, '  </g>'].join('\n');
}

/** Words on their line, in the colour of their layer. */
function svgWords({ start, segments }: Path, { text, sizeMm }: LineWords, topMm: number): string {
  const end = segments[0]?.to ?? start;
  const turnDeg = (-Math.atan2(end.y - start.y, end.x - start.x) * 180) / Math.PI;
  const at = `translate(${shortNumber(start.x)} ${shortNumber(topMm - start.y)}) rotate(${shortNumber(turnDeg)})`;
  const style = `font-family="sans-serif" font-size="${shortNumber(sizeMm)}" fill="${LINE_STYLES.mark.color}" stroke="none"`;
  return `<text transform="${at}" ${style}>${escaped(text)}</text>`;
}

function svgLine({ dashMm, words }: TemplateLine, path: Path, heightMm: number): string {
  if (words) return `      ${svgWords(path, words, heightMm)}`;
  const dash = dashMm ? ` stroke-dasharray="${dashMm.join(' ')}"` : '';
  return `      <path d="${svgPathData(path, heightMm)}"${dash}/>`;
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text as XML text: names are never markup, and letters that XML forbids are left out. */
function escaped(text: string): string {
  return text
    .replace(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '')
    .replace(/[&<>"']/g, (letter) => ENTITIES[letter]!);
}
