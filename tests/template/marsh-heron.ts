/** The invented Marsh Heron Warden's headpiece: traced outlines of the practice photos and cubic shapes by formula. */
import type { LineKind, PieceLine } from '../../src/geometry/line-kinds.ts';
import { mapPath, type Path, polylinePath } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import type { TemplateInput, TemplatePiece } from '../../src/template/template-input.ts';
import { type PracticePhoto, readTruth } from '../setup/truth.ts';

let lineCount = 0;
export function line(kind: LineKind, path: Path): PieceLine {
  return { id: `line-${++lineCount}`, kind, path };
}

function piece(name: string, lines: readonly PieceLine[], more: Partial<TemplatePiece> = {}): TemplatePiece {
  return {
    name,
    count: 1,
    mirroredCount: 0,
    foamName: 'EVA',
    foamThicknessMm: 6,
    sizeLabel: 'head 580 mm',
    revisionLabel: 'traced from photo',
    lines,
    ...more,
  };
}

/** A piece of one cut outline. */
export function plainPiece(name: string, outline: Path): TemplatePiece {
  return piece(name, [line('cut', outline)]);
}

function traced(photo: PracticePhoto, index: number): PieceLine[] {
  const { outer, holes } = readTruth(photo).pieces[index]!;
  return [
    line('cut', polylinePath(outer, true)),
    ...holes.map((hole) => line('cutout', polylinePath(hole, true))),
  ];
}

/** A leaf between two tips: two cubics, symmetric about its long axis. */
export function leafPath(lengthMm: number, bulgeMm: number): Path {
  const tip = { x: lengthMm, y: 0 };
  return {
    closed: true,
    start: { x: 0, y: 0 },
    segments: [
      {
        kind: 'cubic',
        c1: { x: lengthMm / 3, y: -bulgeMm },
        c2: { x: (2 * lengthMm) / 3, y: -bulgeMm },
        to: tip,
        joint: 'corner',
      },
      {
        kind: 'cubic',
        c1: { x: (2 * lengthMm) / 3, y: bulgeMm },
        c2: { x: lengthMm / 3, y: bulgeMm },
        to: { x: 0, y: 0 },
        joint: 'corner',
      },
    ],
  };
}

function straight(...points: readonly PlanePoint[]): Path {
  return polylinePath(points, false);
}

export function boxPath(widthMm: number, heightMm: number): Path {
  return polylinePath(
    [
      { x: 0, y: 0 },
      { x: widthMm, y: 0 },
      { x: widthMm, y: heightMm },
      { x: 0, y: heightMm },
    ],
    true,
  );
}

/** A band with a fold line in the middle, notches and a centre mark on both edges. */
function joiningBand(): PieceLine[] {
  const [long, wide] = [598.85, 30];
  const notch = (x: number): PieceLine => line('mark', straight({ x, y: 0 }, { x, y: 4 }));
  return [
    line('cut', boxPath(long, wide)),
    line('fold', straight({ x: long / 2, y: 0 }, { x: long / 2, y: wide })),
    line('wrap', straight({ x: 0, y: wide / 2 }, { x: long, y: wide / 2 })),
    ...[0.25, 0.5, 0.75].map((share) => notch(share * long)),
  ];
}

export function marshHeronPieces(): TemplatePiece[] {
  return [
    piece('Łuk čelní', [
      ...traced('brow-band', 0),
      line('wrap', straight({ x: -150, y: 0 }, { x: 150, y: 0 })),
      line('fold', straight({ x: 0, y: -60 }, { x: 0, y: 78 })),
    ]),
    piece('Crown front', traced('crown-front', 0), { foamThicknessMm: 10 }),
    piece('Guard', [...traced('guards-and-crest', 0)], { count: 2, mirroredCount: 1 }),
    piece('Crest <script>alert(1)</script> & "fin"', traced('guards-and-crest', 2)),
    piece('Joining band', joiningBand(), { revisionLabel: 'made to measure' }),
    piece(
      'Перо шапки',
      [line('cut', leafPath(120, 28)), line('score', straight({ x: 8, y: 0 }, { x: 112, y: 0 }))],
      {
        count: 6,
        mirroredCount: 3,
        foamThicknessMm: 2,
      },
    ),
    piece('Reed', [line('cut', leafPath(150, 8))], { count: 9, foamThicknessMm: 2 }),
    piece('Lantern plate 灯', [
      line('cut', boxPath(60, 40)),
      line(
        'placement',
        mapPath(leafPath(40, 12), ({ x, y }) => ({ x: x + 10, y: y + 20 })),
      ),
      line('mark', straight({ x: 30, y: 40 }, { x: 30, y: 36 })),
    ]),
  ];
}

export function marshHeron(more: Partial<TemplateInput> = {}): TemplateInput {
  return {
    buildName: 'Marsh Heron Warden',
    date: '25 November 2026',
    pieces: marshHeronPieces(),
    pageSetup: { paper: 'A4', marginMm: 8, overlapMm: 10 },
    ...more,
  };
}
