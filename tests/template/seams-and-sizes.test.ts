/** Notches and nested sizes on paper: read back from the PDF, matched on both pieces, counted off by their dashes. */
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, test } from 'vitest';
import { addPiece, setWrap } from '../../src/build/commands/pieces.ts';
import { addSeam, setExtra, setSizeRange } from '../../src/build/commands/seams.ts';
import { newBuild } from '../../src/build/commands/new-build.ts';
import { notchesOn } from '../../src/build/seam-lookups.ts';
import { buildInSize } from '../../src/build/sizes-in-force.ts';
import { lastRevision } from '../../src/build/lookups.ts';
import type { Build } from '../../src/build/types.ts';
import { joiningBand } from '../../src/fit/bands/joining-band.ts';
import { sizeDashMm } from '../../src/fit/range/dash-codes.ts';
import { cutLineOf } from '../../src/fit/scale-piece.ts';
import { edgeAt, edgePath } from '../../src/fit/seams/seam-edge.ts';
import { walkSeam } from '../../src/fit/seams/walk-seam.ts';
import { flattenPath, polylineLengthMm } from '../../src/geometry/measure.ts';
import type { Path } from '../../src/geometry/path.ts';
import { distanceMm, midpoint, type PlanePoint } from '../../src/geometry/point.ts';
import { piecesSvg } from '../../src/template/pieces-svg.ts';
import { templatePdf } from '../../src/template/template-pdf.ts';
import { templateInputOf } from '../../src/ui/template/template-input-of.ts';
import { stamp } from '../build/sample-build.ts';
import { boxPath } from './marsh-heron.ts';
import { readPdf, type ReadPage } from './read-pdf.ts';

const plate: Path = {
  closed: true,
  start: { x: 0, y: 0 },
  segments: [
    { kind: 'line', to: { x: 60, y: 5 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 78, y: 40 }, c2: { x: 82, y: 70 }, to: { x: 70, y: 100 }, joint: 'smooth' },
    { kind: 'cubic', c1: { x: 62, y: 120 }, c2: { x: 50, y: 135 }, to: { x: 30, y: 150 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 20, y: 120 }, c2: { x: 0, y: 60 }, to: { x: 0, y: 0 }, joint: 'corner' },
  ],
};
const side: Path = {
  closed: true,
  start: { x: 0, y: 0 },
  segments: [
    { kind: 'line', to: { x: 70, y: 0 }, joint: 'corner' },
    { kind: 'line', to: { x: 70, y: 150 }, joint: 'corner' },
    { kind: 'line', to: { x: 30, y: 152 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 10, y: 120 }, c2: { x: -20, y: 70 }, to: { x: 0, y: 0 }, joint: 'corner' },
  ],
};

function seamBuild(): Build {
  let build = newBuild({ stamp: stamp('build'), name: 'Marsh Heron Warden' });
  const made = (id: string, name: string, path: Path) =>
    addPiece(build, {
      stamp: stamp(id),
      name,
      why: 'drawn',
      lines: [{ id: `${id}-cut`, kind: 'cut', path }],
    });
  build = made('plate', 'Cheek plate', plate);
  build = made('side', 'Crown side', side);
  return addSeam(build, {
    stamp: stamp('seam'),
    a: { pieceId: 'plate', ...edgeAt(plate, { x: 74, y: 60 }) },
    b: { pieceId: 'side', ...edgeAt(side, { x: -5, y: 80 }) },
    facing: 'beside',
    notchesPerHalf: 1,
    foldRad: 0,
  });
}

/** Straight solid ticks of 5 or 9 mm on a page. */
function ticksOn(
  pages: readonly ReadPage[],
): readonly { readonly from: PlanePoint; readonly to: PlanePoint }[] {
  return pages.flatMap(({ paths }) =>
    paths.flatMap(({ commands, painted, lineWidthMm, dashMm }) => {
      if (painted !== 'stroke' || dashMm.length > 0 || Math.abs(lineWidthMm - 0.3) > 0.01) return [];
      const ticks: { from: PlanePoint; to: PlanePoint }[] = [];
      commands.forEach((command, i) => {
        const next = commands[i + 1];
        if (command.verb !== 'move' || next?.verb !== 'line') return;
        const tick = { from: command.points[0]!, to: next.points[0]! };
        const lengthMm = distanceMm(tick.from, tick.to);
        if (Math.abs(lengthMm - 5) < 0.02 || Math.abs(lengthMm - 9) < 0.02) ticks.push(tick);
      });
      return ticks;
    }),
  );
}

/** Where, along a seam edge found on the page, the notches stand: the printed outline is walked in small steps. */
function alongPrinted(outlines: readonly (readonly PlanePoint[])[], feet: readonly PlanePoint[]): number[] {
  return feet.map((foot) => {
    let best = { gap: Infinity, along: 0 };
    for (const points of outlines) {
      let along = 0;
      for (let i = 1; i < points.length; i++) {
        const [a, b] = [points[i - 1]!, points[i]!];
        const gap = distanceMm(foot, a);
        if (gap < best.gap) best = { gap, along };
        along += distanceMm(a, b);
      }
    }
    expect(best.gap).toBeLessThan(0.05);
    return best.along;
  });
}

describe('a seam on paper', () => {
  const build = seamBuild();

  test('has its notches at equal arc length on both printed pieces, to 0.05 mm', async () => {
    const pages = await readPdf(await templatePdf(templateInputOf(build)));
    const ticks = ticksOn(pages);
    // One towards the beginning, the long centre mark, two towards the end: on both pieces.
    expect(ticks).toHaveLength(8);
    const long = ticks.filter(({ from, to }) => distanceMm(from, to) > 8);
    expect(long).toHaveLength(2);
    // Each printed cut line as points 0.002 mm apart along its curves, from the PDF's own numbers.
    const outlines = pages.flatMap(({ paths }) =>
      paths
        .filter(
          ({ painted, lineWidthMm, dashMm }) =>
            painted === 'stroke' && dashMm.length === 0 && Math.abs(lineWidthMm - 0.4) < 0.01,
        )
        .map(({ commands }) => flattenPath(pathOf(commands), 1e-6)),
    );
    const walk = walkSeam(
      { outline: plate, edge: edgeAt(plate, { x: 74, y: 60 }), insetMm: 0 },
      { outline: side, edge: edgeAt(side, { x: -5, y: 80 }), insetMm: 0 },
      'beside',
    );
    const wanted = Math.min(walk.aMm, walk.bMm) / 2;
    const edges = [
      { path: edgePath(plate, edgeAt(plate, { x: 74, y: 60 })), backwards: false },
      { path: edgePath(side, edgeAt(side, { x: -5, y: 80 })), backwards: true },
    ];
    const found = long.map(({ from }) => centreAlong(outlines, from, edges));
    expect(found.map(({ edge }) => edge).toSorted((one, other) => one - other)).toEqual([0, 1]);
    for (const { alongMm } of found) expect(Math.abs(alongMm - wanted)).toBeLessThan(0.05);
    // A double notch's middle and a single one lie at equal lengths either side of the centre, on each piece.
    for (const one of long) {
      const own = ticks.filter((tick) => tick !== one && distanceMm(tick.from, one.from) < 60);
      expect(own).toHaveLength(3);
      const single = own.find((tick) =>
        own.every((other) => other === tick || distanceMm(other.from, tick.from) > 5),
      )!;
      const pair = own.filter((tick) => tick !== single);
      expect(distanceMm(pair[0]!.from, pair[1]!.from)).toBeCloseTo(3, 1);
      const middle = midpoint(pair[0]!.from, pair[1]!.from);
      const [atSingle, atCentre, atPair] = alongPrinted(outlines, [single.from, one.from, middle]);
      const gaps = [Math.abs(atCentre! - atSingle!), Math.abs(atPair! - atCentre!)];
      for (const gap of gaps) expect(Math.abs(gap - wanted / 2)).toBeLessThan(0.05);
    }
  });

  test('names the seam on both pieces, in the PDF and in the SVG', async () => {
    const input = templateInputOf(build);
    const words = (await readPdf(await templatePdf(input))).flatMap((page) => page.words);
    expect(words.filter(({ text }) => text === 'A')).toHaveLength(2);
    expect(piecesSvg(input).match(/>A<\/text>/gu)).toHaveLength(2);
  });

  test('notches come and go with their seam, and a strip to trim keeps the true line', () => {
    expect(notchesOn(build, 'plate')).toHaveLength(1);
    expect(notchesOn({ ...build, pieces: build.pieces.slice(0, 1) }, 'plate')).toEqual([]);
    const printed = templateInputOf(setExtra(build, { pieceId: 'plate', widthMm: 8 })).pieces[0]!;
    expect(printed.lines.filter(({ kind }) => kind === 'cut')).toHaveLength(1);
    expect(printed.lines.find(({ id }) => id === 'plate-cut-trim')?.path).toEqual(plate);
    expect(printed.revisionLabel).toContain('8.0 mm extra');
  });
});

describe('a size range on paper', () => {
  const strip = boxPath(150, 40);
  let build = newBuild({ stamp: stamp('build'), name: 'Marsh Heron Warden' });
  build = addPiece(build, {
    stamp: stamp('brow'),
    name: 'Brow',
    why: 'drawn',
    lines: [{ id: 'cut', kind: 'cut', path: strip }],
  });
  const wrap = {
    coverageRad: Math.PI / 2,
    easeMm: 0,
    line: { from: { x: 0, y: 20 }, to: { x: 150, y: 20 }, along: 'straight' as const },
  };
  build = setWrap(build, { pieceId: 'brow', wrap });
  const range = { heads: { kind: 'steps', fromMm: 540, toMm: 640, stepMm: 20 }, mode: 'along-wrap' } as const;
  build = setSizeRange(build, { range });

  test('prints all sizes nested, each with its own dash code and its name', async () => {
    const pages = await readPdf(await templatePdf(templateInputOf(build, 'nested')));
    const codes = pages.flatMap(({ paths }) =>
      paths.map(({ dashMm }) => dashMm.map((mm) => mm.toFixed(1)).join(' ')),
    );
    for (let size = 0; size < 6; size++) {
      expect(codes).toContain(
        sizeDashMm(size)
          .map((mm) => mm.toFixed(1))
          .join(' '),
      );
    }
    const words = pages.flatMap((page) => page.words.map(({ text }) => text));
    for (const name of ['54 cm', '56 cm', '58 cm', '60 cm', '62 cm', '64 cm']) expect(words).toContain(name);
  });

  test('prints one size by itself, as long as that head asks for', () => {
    const { pieces } = templateInputOf(build, 2);
    expect(pieces[0]!.sizeLabel).toBe('size 58 cm');
    const outline = pieces[0]!.lines.find(({ kind }) => kind === 'cut')!.path;
    // A quarter of 580 mm and the bend of 5 mm foam half-way through.
    const wanted = 580 / 4 + (Math.PI / 2) * 2.5;
    expect(polylineLengthMm(flattenPath(outline), true)).toBeCloseTo(2 * wanted + 80, 6);
    expect(lastRevision(buildInSize(build, range, 2).pieces[0]!).why).toBe('in size 58 cm');
    expect(cutLineOf(lastRevision(build.pieces[0]!).lines)).toEqual(strip);
  });
});

test('a joining band is printed with edges as long as the seams it joins, to 0.1 mm', async () => {
  const [aMm, bMm] = [150, 185];
  const band = joiningBand({ aMm, bMm, widthMm: 35 }, 'band', true);
  if (!band.ok) throw new Error(band.problem.message);
  const build = addPiece(newBuild({ stamp: stamp('build'), name: 'Marsh Heron Warden' }), {
    stamp: stamp('band'),
    name: 'Joining band',
    why: 'made to measure',
    lines: band.value.lines,
  });
  const pages = await readPdf(await templatePdf(templateInputOf(build)));
  const [outline] = pages.flatMap(({ paths }) =>
    // The cover shows it too, small and in thin lines.
    paths.filter(
      ({ commands, lineWidthMm }) =>
        Math.abs(lineWidthMm - 0.4) < 0.01 && commands.filter(({ verb }) => verb === 'cubic').length >= 6,
    ),
  );
  // Runs of curves between the two straight ends.
  const arcs: number[] = [];
  let [from, isArc] = [outline!.commands[0]!.points[0]!, false];
  for (const { verb, points } of outline!.commands.slice(1)) {
    if (verb === 'cubic') {
      const [c1, c2, to] = points as readonly [PlanePoint, PlanePoint, PlanePoint];
      const data = `M${from.x} ${from.y}C${c1.x} ${c1.y} ${c2.x} ${c2.y} ${to.x} ${to.y}`;
      const lengthMm = new svgPathProperties(data).getTotalLength();
      if (isArc) arcs[arcs.length - 1]! += lengthMm;
      else arcs.push(lengthMm);
    }
    isArc = verb === 'cubic';
    from = points.at(-1) ?? from;
  }
  expect(arcs).toHaveLength(2);
  const [short, long] = arcs.toSorted((one, other) => one - other);
  expect(Math.abs(short! - aMm)).toBeLessThan(0.1);
  expect(Math.abs(long! - bMm)).toBeLessThan(0.1);
  const words = pages.flatMap((page) => page.words.map(({ text }) => text));
  expect(words).toContain('edge A 150.0 mm, shorter');
});

interface Edge {
  readonly path: Path;
  readonly backwards: boolean;
}

/** Printed commands as a path again. */
function pathOf(commands: ReadPage['paths'][number]['commands']): Path {
  const [first] = commands;
  const start = first!.points[0]!;
  const segments = commands.slice(1).map(({ verb, points }): Path['segments'][number] => {
    if (verb === 'cubic')
      return { kind: 'cubic', c1: points[0]!, c2: points[1]!, to: points[2]!, joint: 'corner' };
    return { kind: 'line', to: verb === 'close' ? start : points[0]!, joint: 'corner' };
  });
  return { closed: false, start, segments };
}

/** Which edge a centre mark stands on, and how far from the seam's beginning, by the printed corners that bound it. */
function centreAlong(outlines: readonly (readonly PlanePoint[])[], foot: PlanePoint, edges: readonly Edge[]) {
  const outline = outlines.find((points) => points.some((point) => distanceMm(point, foot) < 0.05))!;
  const [at] = alongPrinted([outline], [foot]);
  for (const [edge, { path, backwards }] of edges.entries()) {
    const chordMm = distanceMm(path.start, path.segments[path.segments.length - 1]!.to);
    const lengthMm = polylineLengthMm(flattenPath(path, 1e-6), false);
    // The printed edge is the stretch of that length about the foot whose ends are as far apart as the edge's own.
    let along = 0;
    for (let i = 1; i < outline.length; i++) {
      if (along <= at! && along + lengthMm >= at!) {
        const end = pointAtLength(outline, along + lengthMm);
        if (end && Math.abs(distanceMm(outline[i - 1]!, end) - chordMm) < 0.004) {
          const fromStart = at! - along;
          return { edge, alongMm: backwards ? lengthMm - fromStart : fromStart };
        }
      }
      along += distanceMm(outline[i - 1]!, outline[i]!);
    }
  }
  throw new Error('the centre mark stands on no edge of the seam');
}

function pointAtLength(points: readonly PlanePoint[], lengthMm: number): PlanePoint | undefined {
  let along = 0;
  for (let i = 1; i < points.length; i++) {
    if (along >= lengthMm - 1e-3) return points[i - 1];
    along += distanceMm(points[i - 1]!, points[i]!);
  }
  return along >= lengthMm - 1e-3 ? points[points.length - 1] : undefined;
}
