import { imageToPlane } from '../../capture/camera.ts';
import type { Capture } from '../../capture/types.ts';
import { indexEdges } from '../../geometry/edge-index.ts';
import { polygonAreaMm2 } from '../../geometry/measure.ts';
import { median } from '../../geometry/median.ts';
import type { ImagePoint, PlanePoint } from '../../geometry/point.ts';
import { cleanPolyline } from '../clean-polyline.ts';
import { pxPerMmAt } from '../trace-edge.ts';
import type { TracedEdge } from '../types.ts';
import type { StrokeEdge } from './drawn-types.ts';
import { pointsOf, type Walk } from './outlines-of-graph.ts';
import { reachEnds } from './reach-ends.ts';
import { endOfStroke, refineStroke } from './refine-stroke.ts';
import { lengthPx, type StrokeGraph } from './stroke-graph.ts';
import { withStrokeEnd } from './stroke-end.ts';
import type { PaperPhoto } from './stroke-profile.ts';

/** A drawn line carried to the plane, before it is cleaned. */
export interface MeasuredLine {
  readonly closed: boolean;
  /** Centreline, mm; closed ones run counter-clockwise. */
  readonly points: readonly PlanePoint[];
  readonly seenPx: readonly ImagePoint[];
  /** Stroke width at each point, mm. */
  readonly widthsMm: readonly number[];
  readonly darkness: number;
  /** Linear light of the paper beside it, sum of the channels. */
  readonly paperLight: number;
  readonly lengthMm: number;
  /** Its first and last points are where the pencil started and stopped. */
  readonly endsSure: boolean;
}

/** Fewer measured places than this are a speck. */
const LEAST_PLACES = 6;
/** A line that is clear over less of its length than this is a smudge or a texture. */
const LEAST_CLEAR_SHARE = 0.5;

/** Rough points of a walk, end to end; a closed one ends where it began. */
function roughPoints(graph: StrokeGraph, { steps }: Walk): ImagePoint[] {
  return steps.flatMap((step, i) => (i === 0 ? pointsOf(graph, step) : pointsOf(graph, step).slice(1)));
}

/** Mean width of the stroke along a walk, px. */
function widthOf(graph: StrokeGraph, { steps }: Walk): number {
  let [sum, length] = [0, 0];
  for (const { edge } of steps) {
    const { points, widthPx } = graph.edges[edge]!;
    sum += widthPx * lengthPx(points);
    length += lengthPx(points);
  }
  return sum / (length || 1);
}

/** The line with its two ends where the pencil's middle started and stopped. */
function withEnds(
  photo: PaperPhoto,
  places: readonly ImagePoint[],
  widthPx: number,
  pxPerMm: number,
): ImagePoint[] {
  const onward = withStrokeEnd(photo, places, widthPx, pxPerMm);
  return withStrokeEnd(photo, onward.toReversed(), widthPx, pxPerMm).toReversed();
}

/** On ruled paper, where the way on may lie along a printed line: each end straight on from its last places. */
function withEndsOnRuled(
  photo: PaperPhoto,
  places: readonly ImagePoint[],
  widthPx: number,
  pxPerMm: number,
): ImagePoint[] {
  const reach = 0.5 * pxPerMm;
  const carriedOn = (line: readonly ImagePoint[]): ImagePoint[] => {
    const end = endOfStroke(photo, line, widthPx, pxPerMm);
    if (!end) return [...line];
    // What lies at the very end, or beyond it, gives way.
    const kept = line.filter(
      ({ u, v }, i) => i < 3 || Math.hypot(end.u - u, end.v - v) > reach || i < line.length - 8,
    );
    return [...kept, end];
  };
  return carriedOn(carriedOn(places).toReversed()).toReversed();
}

/** Measures one walk of the graph in the photo; undefined for specks and for what is no clear stroke. */
export function measureLine(
  photo: PaperPhoto,
  capture: Capture,
  graph: StrokeGraph,
  walk: Walk,
): MeasuredLine | undefined {
  const rough = roughPoints(graph, walk);
  const pxPerMm = pxPerMmAt(capture.camera, rough[rough.length >> 1]!);
  const { closed } = walk;
  const refined = refineStroke(photo, { points: rough, widthPx: widthOf(graph, walk), closed }, pxPerMm);
  if (refined.places.length < LEAST_PLACES || refined.clearShare < LEAST_CLEAR_SHARE) return undefined;
  const widthPx = median(refined.widths);
  const ends = photo.printed ? withEndsOnRuled : withEnds;
  const seen = closed ? refined.places : ends(photo, refined.places, widthPx, pxPerMm);
  const widths = closed ? refined.widths : seen.map(() => widthPx);
  const points = seen.map((place) => imageToPlane(capture.camera, place, capture.thicknessMm));
  const isTurned = closed && polygonAreaMm2(points) < 0;
  let lengthMm = 0;
  points.forEach(({ x, y }, i) => {
    const before = points[i - 1];
    if (before) lengthMm += Math.hypot(x - before.x, y - before.y);
  });
  const turned = <T>(values: readonly T[]): readonly T[] => (isTurned ? values.toReversed() : values);
  return {
    closed,
    points: turned(points),
    seenPx: turned(seen),
    widthsMm: turned(widths).map((width) => width / pxPerMm),
    darkness: refined.darkness,
    paperLight: refined.paperLight,
    lengthMm,
    endsSure: !closed && !photo.printed,
  };
}

/** Widths are smoothed over this many neighbours either way before an edge of the stroke is laid by them. */
const WIDTH_REACH = 8;
/** A point of the edge nearer to the centreline than this share of half the width belongs to another side's. */
const OWN_SHARE = 0.93;

/** The outer or inner edge of a closed stroke: half its smoothed width beside the centreline, corners left open. */
function besideCentre(
  { points, widthsMm, seenPx }: MeasuredLine,
  sense: 1 | -1,
): { points: PlanePoint[]; seenPx: ImagePoint[] } {
  const count = points.length;
  const index = indexEdges([{ points, closed: true }]);
  const beside: { points: PlanePoint[]; seenPx: ImagePoint[] } = { points: [], seenPx: [] };
  for (let i = 0; i < count; i++) {
    const near = Array.from(
      { length: 2 * WIDTH_REACH + 1 },
      (_, k) => widthsMm[(i + k - WIDTH_REACH + count * WIDTH_REACH) % count]!,
    );
    const half = near.sort((a, b) => a - b)[WIDTH_REACH]! / 2;
    const [a, b] = [points[(i + count - 2) % count]!, points[(i + 2) % count]!];
    const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
    // Counter-clockwise: outwards is to the right.
    const x = points[i]!.x + (sense * half * (b.y - a.y)) / length;
    const y = points[i]!.y - (sense * half * (b.x - a.x)) / length;
    if ((index.nearest(x, y)?.distanceMm ?? Infinity) < OWN_SHARE * half) continue;
    beside.points.push({ x, y });
    beside.seenPx.push(seenPx[i]!);
  }
  return beside;
}

/** Cleans a measured line into a path, along the asked-for edge of its stroke. */
export function cleanedLine(line: MeasuredLine, strokeEdge: StrokeEdge, toleranceMm: number): TracedEdge {
  const { closed } = line;
  const chosen =
    closed && strokeEdge !== 'centre' ? besideCentre(line, strokeEdge === 'outer' ? 1 : -1) : line;
  const cleaned = cleanPolyline(chosen.points, closed, toleranceMm);
  const { movedMaxMm, movedMeanMm } = cleaned;
  const path = line.endsSure
    ? reachEnds(cleaned.path, chosen.points[0]!, chosen.points[chosen.points.length - 1]!)
    : cleaned.path;
  return { path, measured: chosen.points, seenPx: chosen.seenPx, movedMaxMm, movedMeanMm, footShare: 0 };
}
