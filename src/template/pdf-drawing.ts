/** Draws on a PDF page in millimetres. The content stream itself is in mm: one matrix at its start sets the scale. */
import {
  appendBezierCurve,
  beginText,
  clip,
  closePath,
  concatTransformationMatrix,
  endPath,
  endText,
  fill,
  fillEvenOdd,
  lineTo,
  moveTo,
  type PDFFont,
  type PDFName,
  PDFNumber,
  PDFOperator,
  PDFOperatorNames,
  type PDFPage,
  popGraphicsState,
  pushGraphicsState,
  rectangle,
  setDashPattern,
  setFillingRgbColor,
  setLineWidth,
  setStrokingRgbColor,
  setTextMatrix,
  showText,
  stroke,
} from '@cantoo/pdf-lib';
import type { Path } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { printableText } from './printable-text.ts';
import type { Rect } from './rect.ts';
import { type PathSink, shortNumber, writePath } from './sink.ts';

/** PDF default user space: 1/72 in (ISO 32000-1, 8.3.2.3). */
export const POINTS_PER_MM = 72 / 25.4;

export interface Pen {
  readonly widthMm: number;
  /** sRGB hex. */
  readonly color?: string;
  readonly dashMm?: readonly number[];
}

export interface TextStyle {
  readonly sizeMm: number;
  readonly color?: string;
  readonly align?: 'left' | 'middle' | 'right';
  /** Counter-clockwise. */
  readonly turnRad?: number;
  /** Drawn narrower when it would be wider than this, mm; then cut off. */
  readonly widestMm?: number;
}

/** Where the drawing's origin lies on the page, mm from the lower left corner, and mm drawn per mm meant. */
export interface PageFrame {
  readonly x: number;
  readonly y: number;
  readonly scaleX: number;
  readonly scaleY: number;
}

/** Text is squeezed to this share of its width before it is cut off. */
const NARROWEST = 0.75;
const BLACK = '#000000';

function channels(hex: string): [number, number, number] {
  const value = Number.parseInt(hex.slice(1), 16);
  return [(value >> 16) / 255, ((value >> 8) & 255) / 255, (value & 255) / 255];
}

/** Rounded to what `shortNumber` writes, so that files stay small. */
function rounded(value: number): number {
  return Number(shortNumber(value));
}

export class PdfDrawing {
  readonly #operators: PDFOperator[] = [];
  readonly #fontKey: PDFName;
  readonly #sink: PathSink;

  constructor(
    readonly page: PDFPage,
    readonly font: PDFFont,
    frame: PageFrame,
  ) {
    this.#fontKey = page.node.newFontDictionary(font.name, font.ref);
    const add = (operator: PDFOperator): void => this.#add(operator);
    this.#sink = {
      moveTo: (x, y) => add(moveTo(rounded(x), rounded(y))),
      lineTo: (x, y) => add(lineTo(rounded(x), rounded(y))),
      cubicTo: (x1, y1, x2, y2, x, y) =>
        add(appendBezierCurve(rounded(x1), rounded(y1), rounded(x2), rounded(y2), rounded(x), rounded(y))),
      close: () => add(closePath()),
    };
    this.#add(
      pushGraphicsState(),
      concatTransformationMatrix(
        POINTS_PER_MM * frame.scaleX,
        0,
        0,
        POINTS_PER_MM * frame.scaleY,
        POINTS_PER_MM * frame.x,
        POINTS_PER_MM * frame.y,
      ),
    );
  }

  /** Writes what was drawn to the page. */
  finish(): void {
    this.page.pushOperators(...this.#operators, popGraphicsState());
  }

  stroke(paths: readonly Path[], pen: Pen): void {
    if (paths.length === 0) return;
    this.#usePen(pen);
    for (const path of paths) writePath(path, this.#sink);
    this.#add(stroke());
  }

  /** Fills the paths as one shape; holes by the even-odd rule. */
  fillPaths(paths: readonly Path[], color = BLACK): void {
    this.#add(setFillingRgbColor(...channels(color)));
    for (const path of paths) writePath(path, this.#sink);
    this.#add(paths.length > 1 ? fillEvenOdd() : fill());
  }

  line(from: PlanePoint, to: PlanePoint, pen: Pen): void {
    this.#usePen(pen);
    this.#add(moveTo(rounded(from.x), rounded(from.y)), lineTo(rounded(to.x), rounded(to.y)), stroke());
  }

  frame({ x, y, widthMm, heightMm }: Rect, pen: Pen): void {
    this.#usePen(pen);
    this.#add(rectangle(rounded(x), rounded(y), rounded(widthMm), rounded(heightMm)), stroke());
  }

  /** Draws with everything outside the rectangle cut off. */
  clipped({ x, y, widthMm, heightMm }: Rect, draw: () => void): void {
    this.#add(pushGraphicsState(), rectangle(x, y, widthMm, heightMm), clip(), endPath());
    draw();
    this.#add(popGraphicsState());
  }

  textWidthMm(text: string, sizeMm: number): number {
    return this.font.widthOfTextAtSize(printableText(text), sizeMm);
  }

  /** One line of text, its baseline starting (or centred, or ending) at (x, y). */
  text(text: string, x: number, y: number, style: TextStyle): void {
    const widestMm = style.widestMm ?? Infinity;
    const letters = this.#cutToWidth(printableText(text), style.sizeMm, widestMm / NARROWEST);
    if (letters === '') return;
    const natural = this.font.widthOfTextAtSize(letters, style.sizeMm);
    const squeeze = Math.min(1, widestMm / natural);
    const back = natural * squeeze * { left: 0, middle: 0.5, right: 1 }[style.align ?? 'left'];
    const [c, s] = [Math.cos(style.turnRad ?? 0), Math.sin(style.turnRad ?? 0)];
    const matrix = [c * squeeze, s * squeeze, -s, c, x - back * c, y - back * s].map(rounded);
    this.#add(
      setFillingRgbColor(...channels(style.color ?? BLACK)),
      beginText(),
      PDFOperator.of(PDFOperatorNames.SetFontAndSize, [this.#fontKey, PDFNumber.of(style.sizeMm)]),
      setTextMatrix(...(matrix as [number, number, number, number, number, number])),
      showText(this.font.encodeText(letters)),
      endText(),
    );
  }

  #cutToWidth(text: string, sizeMm: number, widestMm: number): string {
    const letters = Array.from(text);
    let cut = text;
    while (letters.length > 0 && this.font.widthOfTextAtSize(cut, sizeMm) > widestMm) {
      letters.pop();
      cut = `${letters.join('').trimEnd()}…`;
    }
    return cut;
  }

  #usePen({ widthMm, color = BLACK, dashMm = [] }: Pen): void {
    this.#add(setLineWidth(widthMm), setStrokingRgbColor(...channels(color)), setDashPattern([...dashMm], 0));
  }

  #add(...operators: readonly PDFOperator[]): void {
    this.#operators.push(...operators);
  }
}
