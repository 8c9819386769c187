import { imageToPlane } from '../../capture/camera.ts';
import { worstToleranceMm } from '../../capture/tolerance.ts';
import type { Capture } from '../../capture/types.ts';
import { isInside, pathAreaMm2, pathLengthMm, polygonAreaMm2 } from '../../geometry/measure.ts';
import { distanceMm, type ImagePoint } from '../../geometry/point.ts';
import type { Progress } from '../../outcome.ts';
import { depthInMask } from '../../vision/mats.ts';
import type { Vision } from '../../vision/opencv.ts';
import type { Raster } from '../../vision/raster.ts';
import { strokeField } from '../../vision/stroke-field.ts';
import { thinMask } from '../../vision/thin-mask.ts';
import { pxPerMmAt } from '../trace-edge.ts';
import type { TracedEdge, TracedPiece, TraceResult, TraceWarning } from '../types.ts';
import { bridgeGaps } from './bridge-gaps.ts';
import { cleanGraph } from './clean-graph.ts';
import { cleanedLine, measureLine, type MeasuredLine } from './drawn-line.ts';
import type { BridgedGap, DrawnOptions } from './drawn-types.ts';
import { sortLoose } from './loose-lines.ts';
import { outlinesAndLines, type Walk } from './outlines-of-graph.ts';
import { paperArea } from './paper-area.ts';
import { graphOfSkeleton, type StrokeGraph } from './stroke-graph.ts';
import { withoutRuling } from './remove-ruling.ts';
import { strokeMask, WEAK_SHARE } from './stroke-mask.ts';
import type { PaperPhoto } from './stroke-profile.ts';

/** Strokes are looked for at about this scale, px per mm: fine enough for a 0.35 mm line. */
const FIELD_PX_PER_MM = 3;
/** Widest stroke, mm: a broad marker. */
const WIDEST_MM = 4.5;
/** Shorter lines are specks or letters, mm. */
const SHORTEST_MM = 8;
/** Smaller outlines are no pieces, mm2. */
const SMALLEST_PIECE_MM2 = 150;

/** The drawn strokes of the photo as a cleaned graph, in photo px. */
function findStrokes(
  vision: Vision,
  photo: Raster,
  capture: Capture,
  options: DrawnOptions,
  progress?: Progress,
): { readonly graph: StrokeGraph; readonly paper: PaperPhoto } {
  const pxPerMm = pxPerMmAt(capture.camera, { u: photo.width / 2, v: photo.height / 2 });
  const block = Math.max(1, Math.floor(pxPerMm / FIELD_PX_PER_MM));
  const field = strokeField(vision, photo, block, WIDEST_MM * pxPerMm);
  progress?.('finding the paper', 0.2);
  const area = paperArea(field, capture);
  progress?.('finding the lines', 0.35);
  const { leastDarkness } = options;
  const { field: clear, printed } = withoutRuling(
    field,
    area,
    capture,
    WEAK_SHARE * leastDarkness,
    pxPerMm / block,
  );
  const mask = strokeMask(vision, clear, area, leastDarkness, pxPerMm / block);
  const { width, height } = field;
  const depth = depthInMask(vision, mask, width, height);
  thinMask(mask, width);
  const toPhoto = (at: number): ImagePoint => ({
    u: ((at % width) + 0.5) * block - 0.5,
    v: (Math.floor(at / width) + 0.5) * block - 0.5,
  });
  const graph = graphOfSkeleton(mask, width, toPhoto, (at) => (2 * depth[at]! - 1) * block);
  cleanGraph(graph, pxPerMm);
  bridgeGaps(graph, pxPerMm, options.largestGapMm, options.refusedGaps);
  cleanGraph(graph, pxPerMm);
  return { graph, paper: { ...photo, ...(printed && { printed: { mask: printed, width, block } }) } };
}

/** The gaps bridged in lines that were kept. */
function gapsOf(graph: StrokeGraph, capture: Capture, walks: readonly Walk[]): BridgedGap[] {
  const bridges = walks.flatMap(({ steps }) => steps.flatMap(({ edge }) => graph.edges[edge]!.bridges));
  return bridges.map(([fromPx, toPx]) => ({
    fromPx,
    toPx,
    lengthMm: distanceMm(
      imageToPlane(capture.camera, fromPx, capture.thicknessMm),
      imageToPlane(capture.camera, toPx, capture.thicknessMm),
    ),
  }));
}

interface Found {
  readonly walk: Walk;
  readonly line: MeasuredLine;
}

/** Paper in the same photo is lit evenly to within this factor; the table beside it is another thing. */
const LIGHT_FACTOR = 2.2;

/** The lines that lie on the same paper as the largest closed one: what shows on the bare table is its texture. */
function onThePaper(
  rings: readonly Found[],
  open: readonly Found[],
): { readonly rings: Found[]; readonly open: Found[] } {
  const weight = ({ line }: Found) => (line.closed ? 10 : 1) * line.lengthMm * line.darkness;
  const [main] = [...rings, ...open].sort((a, b) => weight(b) - weight(a));
  const isOn = ({ line }: Found) =>
    Math.abs(Math.log(line.paperLight / main!.line.paperLight)) < Math.log(LIGHT_FACTOR);
  return { rings: rings.filter(isOn), open: open.filter(isOn) };
}

/** True when most of `line` lies inside the outline. */
function isWithin(line: MeasuredLine, outline: MeasuredLine): boolean {
  const some = line.points.filter((_, i) => i % 4 === 0);
  return some.filter((point) => isInside(point, outline.points)).length > some.length / 2;
}

function pieceOf(outer: TracedEdge, inner: readonly TracedEdge[], capture: Capture): TracedPiece {
  return {
    outer,
    holes: [],
    ...(inner.length > 0 && { innerLines: inner }),
    lengthMm: pathLengthMm(outer.path),
    areaMm2: pathAreaMm2(outer.path),
    color: '#ffffff',
    toleranceMm: worstToleranceMm(capture, outer.measured),
    warnings: [],
  };
}

function warningsOf(pieces: number, loose: readonly MeasuredLine[]): TraceWarning[] {
  const warnings: TraceWarning[] = [];
  if (pieces === 0) {
    warnings.push({
      code: 'no-outline',
      message:
        'No closed outline was found on the paper, so there is no piece yet. Let fainter lines count or allow larger gaps, or close the outline with a darker pencil and photograph it again.',
    });
  }
  if (loose.length > 0) {
    const longest = Math.max(...loose.map(({ lengthMm }) => lengthMm));
    warnings.push({
      code: 'loose-lines',
      message: `${loose.length === 1 ? 'A line lies' : `${loose.length} lines lie`} outside every closed outline (the longest ${longest.toFixed(0)} mm) and belong${loose.length === 1 ? 's' : ''} to no piece. If it should close an outline, allow larger gaps.`,
    });
  }
  return warnings;
}

/**
 * Traces the lines drawn on paper in the photo, in mm on the table's frame (x right, y up): the outermost closed line
 * of each drawing becomes a piece's outline, what lies in it its inner lines. Strokes are found at reduced size; each is
 * then measured across in the photo's own pixels. Cards, sheets' edges and ruling are no lines. `progress` may throw
 * to cancel.
 */
export function traceDrawn(
  vision: Vision,
  photo: Raster,
  capture: Capture,
  options: DrawnOptions,
  progress?: Progress,
): TraceResult {
  progress?.('finding the paper', 0);
  const { graph, paper } = findStrokes(vision, photo, capture, options, progress);
  const { outlines, lines } = outlinesAndLines(graph);
  progress?.('following the lines', 0.6);
  const measured = (walks: readonly Walk[]): Found[] =>
    walks.flatMap((walk) => {
      const line = measureLine(paper, capture, graph, walk);
      if (!line || line.lengthMm < SHORTEST_MM || line.darkness < options.leastDarkness) return [];
      return [{ walk, line }];
    });
  const allRings = measured(outlines);
  progress?.('following the lines', 0.8);
  const { rings, open } = onThePaper(allRings, measured(lines));
  const outermost = rings.filter(
    ({ line }) =>
      Math.abs(polygonAreaMm2(line.points)) >= SMALLEST_PIECE_MM2 &&
      !rings.some((other) => other.line !== line && isWithin(line, other.line)),
  );
  const rest = [...rings.filter((ring) => !outermost.includes(ring)), ...open];
  const clean = (line: MeasuredLine, isOutline: boolean) =>
    cleanedLine(line, isOutline ? options.strokeEdge : 'centre', options.cleaningToleranceMm);
  const loose = rest.filter(({ line }) => !outermost.some((outline) => isWithin(line, outline.line)));
  const { kept, listed } = sortLoose(
    loose.map(({ line }) => line),
    outermost.map(({ line }) => line),
    options,
  );
  const pieces = outermost.map((outline) => {
    const inner = rest.filter(({ line }) => isWithin(line, outline.line) || kept.get(line) === outline.line);
    return pieceOf(
      clean(outline.line, true),
      inner.map(({ line }) => clean(line, false)),
      capture,
    );
  });
  const left = loose.map(({ line }) => line).filter((line) => !kept.has(line));
  progress?.('following the lines', 1);
  return {
    pieces,
    gaps: gapsOf(
      graph,
      capture,
      [...rings, ...open].map(({ walk }) => walk),
    ),
    looseLines: left.map((line) => clean(line, false)),
    loose: listed,
    warnings: warningsOf(pieces.length, left),
  };
}
