import { indexEdges } from '../geometry/edge-index.ts';
import { extentMm, measuringToleranceMm } from '../geometry/flat-path.ts';
import { waysToLay } from '../geometry/lay-on.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { flattenPath, pathLengthMm } from '../geometry/measure.ts';
import { mover, type RigidMotion } from '../geometry/motion.ts';
import type { Path } from '../geometry/path.ts';
import { samplePathEvenly } from '../geometry/sample-path.ts';
import { settleLaid } from '../geometry/settle-laid.ts';

/** A way to lay the new outline on the old one. */
export interface WayToLay {
  /** Carries the new lines into the old revision's frame. */
  readonly motion: RigidMotion;
  /** Share of the new outline that then lies within `AGREE_WITHIN_MM` of the old one. */
  readonly agreeingShare: number;
  /** 0 coincident .. 1 nothing alike; half a millimetre off is half a miss. */
  readonly misfit: number;
  /** True when the lines fit this way as well as the best way, so that the figures depend on a choice. */
  readonly equalToBest: boolean;
}

/** Edges this close, mm, count as unchanged when it is asked whether two outlines are one piece. */
const AGREE_WITHIN_MM = 1;
const EQUAL_MISFIT = 0.02;
const HAIR_MISFIT = 0.005;
/** Roughly laid, the right way may misfit more than the best by this. */
const HOPEFUL_MISFIT = 0.2;
/** Openings that lie farther off than this share of the piece's extent, on average, speak against a way. */
const OPENINGS_APART = 0.01;

interface Outlined {
  readonly outline: Path;
  readonly openings: readonly Path[];
}

/** The first closed cut line, and the openings; undefined when the lines have no outline. */
export function outlinedBy(lines: readonly PieceLine[]): Outlined | undefined {
  const closed = lines.filter(({ path }) => path.closed);
  const cut = closed.find(({ kind }) => kind === 'cut');
  if (!cut) return undefined;
  return {
    outline: cut.path,
    openings: closed.filter(({ kind }) => kind === 'cutout').map(({ path }) => path),
  };
}

/**
 * Ways to lay a new outline on an old one, best first, turned over or not (or only as `turnedOver` says). Of ways
 * that the outline fits alike, those go first whose openings fit too; then what was not turned over.
 */
export function waysToLayPiece(moving: Outlined, fixed: Outlined, turnedOver?: boolean): WayToLay[] {
  const faces = turnedOver === undefined ? [false, true] : [turnedOver];
  const rough = faces.flatMap((mirrored) =>
    waysToLay(moving.outline, fixed.outline, { mirrored, agreeWithinMm: AGREE_WITHIN_MM }),
  );
  const hopeful = Math.min(...rough.map(({ misfit }) => misfit)) + HOPEFUL_MISFIT;
  const ways = rough
    .filter(({ misfit }) => misfit <= hopeful)
    .map(({ motion }) => settleLaid(moving.outline, fixed.outline, motion, AGREE_WITHIN_MM));
  const best = Math.min(...ways.map(({ misfit }) => misfit));
  const judged = ways.map((way) => ({
    way,
    apartMm: openingsApartMm(moving.openings, fixed.openings, way.motion),
    fits: way.misfit <= best + EQUAL_MISFIT,
  }));
  const nearest = Math.min(...judged.filter(({ fits }) => fits).map(({ apartMm }) => apartMm));
  const limit = nearest + OPENINGS_APART * extentMm(fixed.outline);
  // Ways that fit alike to the last doubt are told unturned first, so that the order does not hang on a hair.
  const rank = ({ equalToBest, misfit, motion }: WayToLay) =>
    (equalToBest ? 0 : 10) +
    Math.round((misfit - best) / HAIR_MISFIT) * HAIR_MISFIT +
    (motion.mirrored ? 1e-6 : 0);
  return judged
    .map(({ way, apartMm, fits }) => ({ ...way, equalToBest: fits && apartMm <= limit }))
    .sort((a, b) => rank(a) - rank(b));
}

const STAY: RigidMotion = { mirrored: false, angleRad: 0, shift: { x: 0, y: 0 } };
/** Outlines of one frame agree over at least this share; others were measured in different photos. */
const LEAST_IN_PLACE = 0.3;

/** The new outline as it lies, when both share a frame; undefined when they hardly agree there. */
export function asItLies(moving: Outlined, fixed: Outlined): WayToLay | undefined {
  const samples = samplePathEvenly(moving.outline, pathLengthMm(moving.outline) / IN_PLACE_SAMPLES);
  const index = indexEdges([
    { points: flattenPath(fixed.outline, measuringToleranceMm(fixed.outline)), closed: true },
  ]);
  const near = samples.filter(({ point: { x, y } }) => index.nearest(x, y, AGREE_WITHIN_MM));
  const agreeingShare = near.length / samples.length;
  if (agreeingShare < LEAST_IN_PLACE) return undefined;
  return { motion: STAY, agreeingShare, misfit: 1 - agreeingShare, equalToBest: true };
}

const IN_PLACE_SAMPLES = 400;

/** Mean distance of the moved openings from the fixed ones, mm; 0 when either has none. */
function openingsApartMm(moving: readonly Path[], fixed: readonly Path[], motion: RigidMotion): number {
  if (moving.length === 0 || fixed.length === 0) return 0;
  const index = indexEdges(
    fixed.map((path) => ({ points: flattenPath(path, measuringToleranceMm(path)), closed: true })),
  );
  const carry = mover(motion);
  const distances = moving.flatMap((path) =>
    samplePathEvenly(path, pathLengthMm(path) / 60).map(({ point }) => {
      const { x, y } = carry(point);
      return index.nearest(x, y)!.distanceMm;
    }),
  );
  return distances.reduce((sum, mm) => sum + mm, 0) / distances.length;
}
