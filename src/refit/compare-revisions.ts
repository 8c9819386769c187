import { type DeviationFigures, deviationFigures } from '../geometry/deviation.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { movePath, type RigidMotion } from '../geometry/motion.ts';
import { foamAreaMm2 } from '../mirror/foam-area.ts';
import { pairUp, partnerOf } from '../mirror/match-lines.ts';
import { failure, type Outcome, success } from '../outcome.ts';
import { type ComparedLine, compareLine, type RefitStretch, runLike } from './compare-line.ts';
import { asItLies, outlinedBy, type WayToLay, waysToLayPiece } from './ways-to-lay.ts';

/** What changed from one revision of a piece to the next. Places and lengths in the old revision's frame, mm. */
export interface RevisionComparison extends Omit<DeviationFigures, 'rmsMm'> {
  readonly limitMm: number;
  /** Carries the new lines into the old frame; lengths keep. */
  readonly motion: RigidMotion;
  /** True when the new piece was turned over for it. */
  readonly mirrored: boolean;
  /** Share of the new outline within 1 mm of the old one. */
  readonly agreeingShare: number;
  /** The way taken first, then others worth a look. */
  readonly ways: readonly WayToLay[];
  /** A sentence when the piece can be laid several ways that fit alike, so that what was trimmed depends on the choice. */
  readonly ambiguity?: string;
  readonly oldAreaMm2: number;
  readonly newAreaMm2: number;
  /** New less old; in per cent of the old. */
  readonly areaChangeMm2: number;
  readonly areaChangePct: number;
  /** The outline first, then openings that both have. */
  readonly lines: readonly ComparedLine[];
  /** Of all lines, largest first. */
  readonly stretches: readonly RefitStretch[];
  /** Openings that only the old revision or only the new one has; their line ids. */
  readonly goneOpenings: readonly string[];
  readonly newOpenings: readonly string[];
}

export interface CompareOptions {
  readonly limitMm: number;
  /** As told; tried both ways when left out. */
  readonly turnedOver?: boolean;
  /** Another of the ways that an earlier comparison found. */
  readonly way?: WayToLay;
  /** True when both have one frame, as revisions of one piece do: then they are compared as they lie, if they agree there. */
  readonly inPlace?: boolean;
}

/** Outlines that agree over less than this share are not one piece. */
const LEAST_AGREEING = 0.3;

/**
 * Lays the lines of a new revision (a fresh trace in its own frame, mm) on those of an old one, without scaling, so that the
 * edges that did not change coincide, and tells where the others were trimmed or added to. Inner lines do not count.
 */
export function compareRevisions(
  oldLines: readonly PieceLine[],
  newLines: readonly PieceLine[],
  { limitMm, turnedOver, way, inPlace = false }: CompareOptions,
): Outcome<RevisionComparison, 'no-outline' | 'not-the-same-piece'> {
  if (!(limitMm > 0)) throw new RangeError('the limit must be above 0 mm');
  const [old, fresh] = [outlinedBy(oldLines), outlinedBy(newLines)];
  if (!old || !fresh) {
    return failure(
      'no-outline',
      'One of the two revisions has no closed cut line, so they cannot be laid on each other. Trace it first.',
    );
  }
  const told = way ?? (inPlace ? asItLies(fresh, old) : undefined);
  const found = told ? [] : waysToLayPiece(fresh, old, turnedOver);
  const taken = told ?? found[0]!;
  if (!told && taken.agreeingShare < LEAST_AGREEING) {
    return failure(
      'not-the-same-piece',
      'However it is laid, the edge of the new piece differs from the old one almost everywhere, so nothing tells what was trimmed. Choose the piece that this mock-up was cut from.',
    );
  }
  const ways = told ? [told] : found;
  return success(compareLaid(oldLines, newLines, limitMm, taken, ways));
}

/** The new closed cut lines and openings in the old frame. */
export function laidLines(newLines: readonly PieceLine[], motion: RigidMotion): PieceLine[] {
  return regionLines(newLines).map((line) => ({ ...line, path: movePath(line.path, motion) }));
}

function regionLines(lines: readonly PieceLine[]): PieceLine[] {
  return lines.filter(({ kind, path }) => path.closed && (kind === 'cut' || kind === 'cutout'));
}

/** Old and new lines that are one and the same; the outlines always are. */
function matched(old: readonly PieceLine[], laid: readonly PieceLine[]) {
  const outlines = [old, laid].map((lines) => lines.find(({ kind }) => kind === 'cut')!);
  const openings = [old, laid].map((lines) => lines.filter(({ kind }) => kind === 'cutout').map(partnerOf));
  const stay = { mirrored: false, angleRad: 0, shift: { x: 0, y: 0 } };
  const pairs = pairUp(openings[0]!, openings[1]!, stay);
  return [{ left: outlines[0]!, right: outlines[1]! }, ...pairs];
}

function compareLaid(
  oldLines: readonly PieceLine[],
  newLines: readonly PieceLine[],
  limitMm: number,
  { motion, agreeingShare }: WayToLay,
  ways: readonly WayToLay[],
): RevisionComparison {
  const laid = laidLines(newLines, motion);
  const pairs = matched(regionLines(oldLines), laid);
  const lines = pairs.map(({ left, right }) =>
    compareLine(left, { ...right, path: runLike(right.path, left.path) }, limitMm),
  );
  const { maxMm, maxAt, p95Mm, meanMm } = deviationFigures(
    lines.flatMap(({ samples, newSamples }) => [...samples, ...newSamples]),
  );
  const [oldAreaMm2, newAreaMm2] = [foamAreaMm2(oldLines), foamAreaMm2(newLines)];
  const ambiguity = ambiguityOf(ways);
  const lone = (lines: readonly PieceLine[], side: 'left' | 'right') =>
    lines.flatMap((line) =>
      line.kind !== 'cutout' || pairs.some((pair) => pair[side] === line) ? [] : [line.id],
    );
  return {
    limitMm,
    motion,
    mirrored: motion.mirrored,
    agreeingShare,
    ways,
    ...(ambiguity !== undefined && { ambiguity }),
    oldAreaMm2,
    newAreaMm2,
    areaChangeMm2: newAreaMm2 - oldAreaMm2,
    areaChangePct: (100 * (newAreaMm2 - oldAreaMm2)) / (oldAreaMm2 || 1),
    maxMm,
    maxAt,
    p95Mm,
    meanMm,
    lines,
    stretches: lines.flatMap(({ stretches }) => stretches).sort((a, b) => b.peakMm - a.peakMm),
    goneOpenings: lone(regionLines(oldLines), 'left'),
    newOpenings: lone(laid, 'right'),
  };
}

/** More equal ways than this with one face up: the outline is round. */
const ROUND_WAYS = 4;

function ambiguityOf(ways: readonly WayToLay[]): string | undefined {
  const equal = ways.filter(({ equalToBest }) => equalToBest);
  if (equal.length < 2) return undefined;
  const mirrored = equal.filter(({ motion }) => motion.mirrored).length;
  if (Math.max(mirrored, equal.length - mirrored) > ROUND_WAYS) {
    return `This outline is nearly round, so it can be laid on the old one turned any way: where it was trimmed is a guess. Cut a small notch into the next mock-up, at its middle.`;
  }
  const words = mirrored > 0 && mirrored < equal.length ? 'turned over or not' : 'turned round or not';
  return `This outline can be laid on the old one in ${equal.length} ways that fit alike (${words}), so which side was trimmed depends on the way you choose. Look at the marks on the piece, and choose another way if it is the wrong one.`;
}
