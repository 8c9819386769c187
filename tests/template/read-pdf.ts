/** PDF pages read back by pdf.js, an independent reader: boxes, drawn paths and words, all in mm on the page. */
import { getDocument, OPS } from 'pdfjs-dist/legacy/build/pdf.mjs';
import type { PlanePoint } from '../../src/geometry/point.ts';

const MM_PER_POINT = 25.4 / 72;

export interface ReadCommand {
  readonly verb: 'move' | 'line' | 'cubic' | 'close';
  readonly points: readonly PlanePoint[];
}

export interface ReadPath {
  readonly painted: 'stroke' | 'fill' | 'fill-even-odd';
  readonly commands: readonly ReadCommand[];
  readonly lineWidthMm: number;
  readonly dashMm: readonly number[];
  readonly color: string;
  /** Corners of the clip rectangle in force, if any. */
  readonly clip: readonly PlanePoint[] | undefined;
}

interface ReadWords {
  readonly text: string;
  readonly at: PlanePoint;
}

export interface ReadPage {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly paths: readonly ReadPath[];
  readonly words: readonly ReadWords[];
}

type Matrix = readonly [number, number, number, number, number, number];

function times(a: Matrix, b: Matrix): Matrix {
  return [
    a[0] * b[0] + a[2] * b[1],
    a[1] * b[0] + a[3] * b[1],
    a[0] * b[2] + a[2] * b[3],
    a[1] * b[2] + a[3] * b[3],
    a[0] * b[4] + a[2] * b[5] + a[4],
    a[1] * b[4] + a[3] * b[5] + a[5],
  ];
}

interface State {
  readonly matrix: Matrix;
  readonly lineWidth: number;
  readonly dash: readonly number[];
  readonly stroke: string;
  readonly fill: string;
  readonly clip: readonly PlanePoint[] | undefined;
}

const START: State = {
  matrix: [1, 0, 0, 1, 0, 0],
  lineWidth: 1,
  dash: [],
  stroke: '#000000',
  fill: '#000000',
  clip: undefined,
};

/** pdf.js numbers its path verbs 0 move, 1 line, 2 cubic, 3 quadratic, 4 close. */
const VERBS = [
  { verb: 'move', points: 1 },
  { verb: 'line', points: 1 },
  { verb: 'cubic', points: 3 },
  undefined,
  { verb: 'close', points: 0 },
] as const;

function commandsOf(data: Float32Array, [a, b, c, d, e, f]: Matrix): ReadCommand[] {
  const commands: ReadCommand[] = [];
  for (let i = 0; i < data.length; ) {
    const kind = VERBS[data[i++]!]!;
    const points = Array.from({ length: kind.points }, () => {
      const [x, y] = [data[i++]!, data[i++]!];
      return { x: (a * x + c * y + e) * MM_PER_POINT, y: (b * x + d * y + f) * MM_PER_POINT };
    });
    commands.push({ verb: kind.verb, points });
  }
  return commands;
}

const PAINTED: Readonly<Record<number, ReadPath['painted']>> = {
  [OPS.stroke]: 'stroke',
  [OPS.fill]: 'fill',
  [OPS.eoFill]: 'fill-even-odd',
};

function pathsOf(fnArray: readonly number[], argsArray: readonly (readonly unknown[])[]): ReadPath[] {
  const paths: ReadPath[] = [];
  const saved: State[] = [];
  let state = START;
  let clipNext = false;
  fnArray.forEach((fn, i) => {
    const args = argsArray[i]!;
    if (fn === OPS.save) saved.push(state);
    else if (fn === OPS.restore) state = saved.pop() ?? START;
    else if (fn === OPS.transform)
      state = { ...state, matrix: times(state.matrix, args as unknown as Matrix) };
    else if (fn === OPS.setLineWidth) state = { ...state, lineWidth: args[0] as number };
    else if (fn === OPS.setDash) state = { ...state, dash: args[0] as number[] };
    else if (fn === OPS.setStrokeRGBColor) state = { ...state, stroke: String(args[0]) };
    else if (fn === OPS.setFillRGBColor) state = { ...state, fill: String(args[0]) };
    else if (fn === OPS.clip) clipNext = true;
    else if (fn === OPS.constructPath) {
      const [op, [data]] = args as [number, [Float32Array | null]];
      const commands = data ? commandsOf(data, state.matrix) : [];
      const painted = PAINTED[op];
      if (painted) {
        const scale = state.matrix[0] * MM_PER_POINT;
        paths.push({
          painted,
          commands,
          lineWidthMm: state.lineWidth * scale,
          dashMm: state.dash.map((length) => length * scale),
          color: painted === 'stroke' ? state.stroke : state.fill,
          clip: state.clip,
        });
      }
      if (clipNext || op === OPS.clip) state = { ...state, clip: commands.flatMap(({ points }) => points) };
      clipNext = false;
    }
  });
  return paths;
}

/** Every page of a PDF file. */
export async function readPdf(bytes: Uint8Array): Promise<ReadPage[]> {
  // pdf.js takes the buffer over, so it gets its own copy.
  const document = await getDocument({ data: bytes.slice(), verbosity: 0 }).promise;
  const pages: ReadPage[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const [left, bottom, right, top] = page.view as [number, number, number, number];
    const { fnArray, argsArray } = await page.getOperatorList();
    const { items } = await page.getTextContent();
    pages.push({
      widthMm: (right - left) * MM_PER_POINT * page.userUnit,
      heightMm: (top - bottom) * MM_PER_POINT * page.userUnit,
      paths: pathsOf(fnArray, argsArray as unknown[][]),
      words: items.flatMap((item) =>
        'str' in item
          ? [
              {
                text: item.str,
                at: { x: item.transform[4] * MM_PER_POINT, y: item.transform[5] * MM_PER_POINT },
              },
            ]
          : [],
      ),
    });
  }
  await document.destroy();
  return pages;
}
