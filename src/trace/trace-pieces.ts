import { imageToPlane, planeToImage } from '../capture/camera.ts';
import { worstToleranceMm } from '../capture/tolerance.ts';
import type { Capture } from '../capture/types.ts';
import { pathAreaMm2, pathLengthMm, polygonAreaMm2 } from '../geometry/measure.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import type { Progress } from '../outcome.ts';
import type { Vision } from '../vision/opencv.ts';
import type { Raster } from '../vision/raster.ts';
import { findRegions, type Region } from '../vision/regions.ts';
import type { ProposedHole } from '../vision/thick-holes.ts';
import { knownShapes } from './known-shapes.ts';
import { strayingShare } from './near-proposal.ts';
import { openTableLight } from './open-table.ts';
import { findSideWall } from './side-wall.ts';
import { type Proposed, pxPerMmAt, THICK_FROM_MM, traceEdge } from './trace-edge.ts';
import {
  noPiece,
  openingWarnings,
  pieceWarnings,
  type SeenOpening,
  sideWallWarning,
} from './trace-warnings.ts';
import type { TracedEdge, TracedPiece, TraceOptions, TraceResult, TraceWarning } from './types.ts';

/** Openings smaller than this are flaws in the paper, mm2. */
const SMALLEST_HOLE_MM2 = 12;
/** The proposal's areas are rough: what comes this near to the smallest area is measured before it is dropped. */
const ROUGH_AREA = 0.6;

/** Wall and shadow hide the table in an opening over this many thicknesses at most. */
const REACH_PER_THICKNESS = 2.5;
/** Half widths: up to the first it is a line drawn on the face; from the second on an opening needs no table in it, mm. */
const THIN_MM = 0.6;
const WIDE_ENOUGH_MM = 1.2;

/** Up to this thickness a piece is taken for paper, mm, and asked whether its edge shows a side wall. */
const PAPER_MM = 0.5;

/** Least scale of the photo on the table, px per mm: over a grid of places in the picture. */
function leastPxPerMm({ camera }: Capture): number {
  let least = Infinity;
  for (const shareU of [0.2, 0.5, 0.8]) {
    for (const shareV of [0.2, 0.5, 0.8]) {
      const u = shareU * camera.widthPx;
      const v = shareV * camera.heightPx;
      const at = imageToPlane(camera, { u, v });
      const right = imageToPlane(camera, { u: u + 10, v });
      const down = imageToPlane(camera, { u, v: v + 10 });
      const area = Math.abs((right.x - at.x) * (down.y - at.y) - (down.x - at.x) * (right.y - at.y));
      if (area > 0) least = Math.min(least, Math.sqrt(100 / area));
    }
  }
  return Number.isFinite(least) ? least : 1;
}

/** sRGB hex of a colour in linear light (IEC 61966-2-1). */
function hexOf(linear: readonly number[]): string {
  const bytes = linear.map((value) => {
    const coded = value <= 0.0031308 ? 12.92 * value : 1.055 * value ** (1 / 2.4) - 0.055;
    return Math.round(255 * Math.min(1, Math.max(0, coded)))
      .toString(16)
      .padStart(2, '0');
  });
  return `#${bytes.join('')}`;
}

/** Directions in which a piece's longest span is looked for: five degrees apart it is right to a thousandth. */
const DIRECTIONS = Array.from({ length: 36 }, (_, k) => (k * Math.PI) / 36);

function longestSpanMm(points: readonly PlanePoint[]): number {
  let longest = 0;
  for (const turn of DIRECTIONS) {
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    let [least, most] = [Infinity, -Infinity];
    for (const { x, y } of points) {
      least = Math.min(least, c * x + s * y);
      most = Math.max(most, c * x + s * y);
    }
    longest = Math.max(longest, most - least);
  }
  return longest;
}

/** How much longer a piece's longest span comes out measured at the capture's thickness than at its true one, mm. */
function tooLongMm(
  { camera, thicknessMm }: Capture,
  seenPx: readonly ImagePoint[],
  trulyMm: number | undefined,
): number | undefined {
  if (trulyMm === undefined) return undefined;
  const spanAt = (heightMm: number) =>
    longestSpanMm(seenPx.map((place) => imageToPlane(camera, place, heightMm)));
  return spanAt(thicknessMm) - spanAt(trulyMm);
}

/**
 * Where an opening's edge is a foot, the table ends within this of it, mm: proposals of a whole photo are good to that.
 * At tips and in blur it may not, along this share of the edge.
 */
const FOOT_STRAYS_MM = 1;
const FOOT_STRAYING = 0.1;
/** Places down a wall, from its top edge to its foot, as shares. */
const DOWN_THE_WALL = [0, 0.25, 0.5, 0.75, 1];

type Traced = ReturnType<typeof traceEdge>;
/** What a proposed edge is taken for: what shows of the table, the top edge if it does not look like a foot, the top edge. */
type TakenFor = 'table' | 'top-if-it-looks-so' | 'top';

/** What the picture may show of the wall that stands below each place of a proposed top edge. */
function wallsBelow({ camera, thicknessMm }: Capture, places: Region['outer']): ImagePoint[][] {
  return places.map((top) => {
    const foot = planeToImage(camera, imageToPlane(camera, top, thicknessMm), 0);
    return DOWN_THE_WALL.map((share) => ({
      u: top.u + share * (foot.u - top.u),
      v: top.v + share * (foot.v - top.v),
    }));
  });
}

/**
 * An opening traced by the edge of the face; where that looks like the wall's foot, by what shows of the table. Then
 * the table ends where the face does, or down the wall where that differs from the face. Where it ends elsewhere, at
 * the rim of a shadow, the wall could not be told, and the edge of the face stands, in doubt. Flaws of the paper are
 * left out.
 */
function traceHole(
  { places, isTop, showsTable, instead }: ProposedHole,
  trace: (proposal: Region['outer'], as: TakenFor) => Traced,
  capture: Capture,
): (SeenOpening & { readonly edge: TracedEdge })[] {
  const whole = trace(places, isTop ? 'top-if-it-looks-so' : 'table');
  const take = (found: readonly Traced[], wallUntold: boolean) =>
    found.flatMap((hole) =>
      hole && -polygonAreaMm2(hole.edge.measured) >= SMALLEST_HOLE_MM2
        ? [{ edge: hole.edge, showsTable, faintShare: hole.faintShare, wallUntold }]
        : [],
    );
  if (whole || !isTop) return take([whole], false);
  const byTable = (instead.length > 0 ? instead : [places]).map((hole) => trace(hole, 'table'));
  const lines = byTable.flatMap((hole) => (hole ? [hole.edge.seenPx] : []));
  const withinPx = FOOT_STRAYS_MM * pxPerMmAt(capture.camera, places[0]!);
  const straying = strayingShare(wallsBelow(capture, places), lines, withinPx);
  if (straying < FOOT_STRAYING) return take(byTable, false);
  const byFace = trace(places, 'top');
  return take(byFace ? [byFace] : byTable, true);
}

/** One region traced, or undefined when it turns out to be dust. */
function tracePiece(
  photo: Raster,
  capture: Capture,
  region: Region,
  options: TraceOptions,
): TracedPiece | undefined {
  const cutOff = region.touchesBorder;
  const trace = (proposal: Region['outer'], proposed: Omit<Proposed, 'cutOff'>) =>
    traceEdge(photo, capture, proposal, { cutOff, ...proposed }, options.cleaningToleranceMm);
  const traced = trace(region.outer, { isTop: false });
  if (!traced || polygonAreaMm2(traced.edge.measured) < options.smallestAreaMm2) return undefined;
  const { edge: outer, faintShare, refined } = traced;
  const wall = capture.thicknessMm <= PAPER_MM ? findSideWall(photo, capture.camera, refined) : undefined;
  const openTable = openTableLight(photo, refined);
  const traceAs = (proposal: Region['outer'], as: TakenFor) =>
    trace(proposal, { isTop: as !== 'table', ...(as === 'top-if-it-looks-so' && { openTable }) });
  const traces = region.holes.flatMap((hole) => traceHole(hole, traceAs, capture));
  const holes = traces.map(({ edge }) => edge);
  return {
    outer,
    holes,
    lengthMm: pathLengthMm(outer.path),
    areaMm2: holes.reduce((sum, hole) => sum + pathAreaMm2(hole.path), pathAreaMm2(outer.path)),
    color: hexOf(region.linearColor),
    toleranceMm: worstToleranceMm(capture, outer.measured),
    warnings: [
      ...pieceWarnings(region, faintShare),
      ...openingWarnings(traces),
      ...(wall ? [sideWallWarning(wall, tooLongMm(capture, outer.seenPx, wall.heightMm))] : []),
    ],
  };
}

/**
 * Traces every cut piece in the photo with its holes, in mm on the table's frame (x right, y up). Regions are proposed
 * at reduced size, each edge is then found in the photo's own pixels, carried to the plane of the edge that is seen
 * (the top edge at the capture's thickness, or the foot), and cleaned. Cards and other references are left out; a
 * sheet that the pieces lie on is their table. A photo without a piece
 * gives none, and the warning `no-piece`. `progress` may throw to cancel.
 */
export function tracePieces(
  vision: Vision,
  photo: Raster,
  capture: Capture,
  options: TraceOptions,
  progress?: Progress,
): TraceResult {
  progress?.('finding the pieces', 0);
  const pxPerMm = leastPxPerMm(capture);
  const { ignoredPx, halfHiddenPx, groundPx } = knownShapes(capture);
  const { regions } = findRegions(vision, photo, ignoredPx, {
    ...(groundPx && { groundPx }),
    halfHiddenPx,
    bias: options.edgeBias,
    smallestAreaPx: ROUGH_AREA * options.smallestAreaMm2 * pxPerMm ** 2,
    smallestHolePx: ROUGH_AREA * SMALLEST_HOLE_MM2 * pxPerMm ** 2,
    ...(capture.thicknessMm >= THICK_FROM_MM && {
      face: {
        reachPx: REACH_PER_THICKNESS * capture.thicknessMm * pxPerMm,
        thinPx: THIN_MM * pxPerMm,
        wideEnoughPx: WIDE_ENOUGH_MM * pxPerMm,
      },
    }),
  });
  const pieces: TracedPiece[] = [];
  const whole = regions.reduce((sum, region) => sum + region.outer.length, 0);
  let done = 0;
  for (const region of regions) {
    progress?.('following the edges', 0.4 + (0.6 * done) / whole);
    const piece = tracePiece(photo, capture, region, options);
    if (piece) pieces.push(piece);
    done += region.outer.length;
  }
  progress?.('following the edges', 1);
  const warnings: TraceWarning[] = pieces.length === 0 ? [noPiece()] : [];
  return { pieces, warnings };
}
