import type { Path } from '../geometry/path.ts';

/** The few verbs that every output understands: PDF content, SVG path data, a canvas. */
export interface PathSink {
  moveTo(x: number, y: number): void;
  lineTo(x: number, y: number): void;
  cubicTo(x1: number, y1: number, x2: number, y2: number, x: number, y: number): void;
  close(): void;
}

/** Writes a path into a sink: cubics stay cubics, a closed path is closed once. */
export function writePath(path: Path, sink: PathSink): void {
  sink.moveTo(path.start.x, path.start.y);
  const last = path.segments.length - 1;
  path.segments.forEach((segment, i) => {
    if (segment.kind === 'cubic') {
      const { c1, c2, to } = segment;
      sink.cubicTo(c1.x, c1.y, c2.x, c2.y, to.x, to.y);
    } else if (!(path.closed && i === last)) {
      // Closing draws the last straight segment; drawing it too would double the joint.
      sink.lineTo(segment.to.x, segment.to.y);
    }
  });
  if (path.closed) sink.close();
}

/** A sink whose y runs down from `topMm`, in front of one whose y runs up or the other way round. */
export function yDown(sink: PathSink, topMm: number): PathSink {
  return {
    moveTo: (x, y) => sink.moveTo(x, topMm - y),
    lineTo: (x, y) => sink.lineTo(x, topMm - y),
    cubicTo: (x1, y1, x2, y2, x, y) => sink.cubicTo(x1, topMm - y1, x2, topMm - y2, x, topMm - y),
    close: () => sink.close(),
  };
}

/** Coordinates are written to this many decimals of a millimetre: 0.1 micrometre. */
const DECIMALS = 4;

/** A number as short text, never in exponent form. */
export function shortNumber(value: number): string {
  const text = value.toFixed(DECIMALS).replace(/\.?0+$/, '');
  return text === '-0' ? '0' : text;
}

/** Collects SVG path data in the sink's own units. */
export class SvgPathData implements PathSink {
  readonly #parts: string[] = [];

  moveTo(x: number, y: number): void {
    this.#add('M', x, y);
  }

  lineTo(x: number, y: number): void {
    this.#add('L', x, y);
  }

  cubicTo(x1: number, y1: number, x2: number, y2: number, x: number, y: number): void {
    this.#add('C', x1, y1, x2, y2, x, y);
  }

  close(): void {
    this.#parts.push('Z');
  }

  toString(): string {
    return this.#parts.join('');
  }

  #add(verb: string, ...numbers: readonly number[]): void {
    this.#parts.push(verb + numbers.map(shortNumber).join(' '));
  }
}
