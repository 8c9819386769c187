import { failure, success } from '../../outcome.ts';
import type { LineKind, PieceLine } from '../line-kinds.ts';
import { flattenPath, pathAreaMm2, polylineLengthMm } from '../measure.ts';
import type { Path } from '../path.ts';
import { pathFaults } from '../path-faults.ts';
import { type Brush, sweptBrush } from './brush.ts';
import type { EditOutcome, NewId } from './edited.ts';
import { type Loop, loopsAfter } from './paint-loops.ts';
import { boundsFoam, type Paint, type Strand, strandsUnder } from './paint-strands.ts';

export interface PaintChoice {
  readonly paint: Paint;
  /** Width of the round brush, mm. */
  readonly widthMm: number;
}

/** Where the brush only grazes a line, or meets a joint, it is tried that much wider or narrower, mm to its radius. */
const NUDGES_MM = [0, 0.004, -0.004, 0.009, -0.009];
/** Parts and openings smaller or narrower than this cannot be cut. */
const LEAST_AREA_MM2 = 0.1;
const LEAST_WIDTH_MM = 0.05;

/**
 * Adds the foam under a round brush, swept along a stroke (an open path in mm; without segments a single dab), or
 * takes it away. Only the closed cut and cut-out lines change, and of them only what the brush passes: the rest stays as
 * it is to the byte, joints and all. The new edge lies within 0.03 mm of the swept brush. Every part that comes off is kept; what
 * is too small to be cut is left out.
 */
export function paintFoam(
  lines: readonly PieceLine[],
  stroke: Path,
  { paint, widthMm }: PaintChoice,
  newId: NewId,
): EditOutcome {
  if (!lines.some((line) => line.kind === 'cut' && boundsFoam(line))) return NO_OUTLINE;
  let grazing: EditOutcome | undefined;
  for (const nudgeMm of NUDGES_MM) {
    const brush = sweptBrush(stroke, widthMm / 2 + nudgeMm);
    const strands = strandsUnder(lines, brush, paint);
    if (!strands) continue;
    const outcome = painted(lines, strands, brush, paint, newId);
    if (!outcome.ok || !crossesAnew(lines, outcome.value.lines)) return outcome;
    grazing ??= outcome;
  }
  if (grazing) return grazing;
  return failure(
    'lines-cross',
    'Lines of the piece cross or lie on each other where the brush passes, so it cannot be told what is foam there. Part them first, or paint beside that place.',
  );
}

const faultsIn = (lines: readonly PieceLine[]) =>
  lines.reduce((sum, line) => sum + (boundsFoam(line) ? pathFaults(line.path).length : 0), 0);

/** Where foam is left thinner than the fitting is true, its two edges may cross. */
function crossesAnew(before: readonly PieceLine[], after: readonly PieceLine[]): boolean {
  const changed = faultsIn(after.filter((line) => !before.includes(line)));
  return changed > 0 && changed > faultsIn(before.filter((line) => !after.includes(line)));
}

function painted(
  lines: readonly PieceLine[],
  strands: readonly Strand[],
  brush: Brush,
  paint: Paint,
  newId: NewId,
): EditOutcome {
  const touched = strands.filter(({ crossings, isCovered }) => crossings.length > 0 || isCovered);
  const all = loopsAfter(strands, brush, paint);
  if (touched.length === 0 && all.length === 0) return NOTHING_CHANGES[paint];
  if (touched.length === 0 && paint === 'in') return STANDS_ALONE;
  const result = relined(lines, touched, all.filter(isLargeEnough), newId);
  const [before, after] = [lines, result].map((some) => some.filter(isOutline));
  if (after!.length === 0) return NOTHING_LEFT;
  if (after!.length <= before!.length) return success({ lines: result, picks: [] });
  const smallest = after!.reduce((a, b) => (pathAreaMm2(b.path) < pathAreaMm2(a.path) ? b : a));
  return success({
    lines: result,
    picks: [{ lineId: smallest.id, joint: 0 }],
    note: `The foam now lies in ${after!.length} parts, and all are kept. The smallest one is picked: delete its line if it is waste.`,
  });
}

const isOutline = (line: PieceLine) => line.kind === 'cut' && boundsFoam(line);

function isLargeEnough({ path }: Loop): boolean {
  const area = Math.abs(pathAreaMm2(path));
  const lengthMm = polylineLengthMm(flattenPath(path, LEAST_WIDTH_MM), true);
  return area >= LEAST_AREA_MM2 && (2 * area) / lengthMm >= LEAST_WIDTH_MM;
}

/** Each loop takes the place of the line of its kind that it has most of; one that has none is a new line. */
function relined(
  lines: readonly PieceLine[],
  touched: readonly Strand[],
  loops: readonly Loop[],
  newId: NewId,
): PieceLine[] {
  const claims = loops
    .flatMap((loop) => [...loop.shares].map(([id, mm]) => ({ loop, id, mm, kind: kindOf(loop) })))
    .filter(({ id, kind }) => touched.some(({ line }) => line.id === id && line.kind === kind))
    .sort((a, b) => b.mm - a.mm);
  const heirs = new Map<string, Loop>();
  for (const { loop, id } of claims) {
    if (!heirs.has(id) && ![...heirs.values()].includes(loop)) heirs.set(id, loop);
  }
  const gone = new Set(touched.map(({ line }) => line));
  const settled = lines.flatMap((line) => {
    const heir = heirs.get(line.id);
    if (heir) return [{ ...line, path: heir.path }];
    return gone.has(line) ? [] : [line];
  });
  const heirless = loops.filter((loop) => ![...heirs.values()].includes(loop));
  return [...settled, ...heirless.map((loop) => ({ id: newId(), kind: kindOf(loop), path: loop.path }))];
}

const kindOf = ({ path }: Loop): LineKind => (pathAreaMm2(path) >= 0 ? 'cut' : 'cutout');

const NO_OUTLINE = failure(
  'no-outline',
  'The piece has no closed cut line, so there is no foam to paint on. Close its outline, or make it a cut line, first.',
);

const STANDS_ALONE = failure(
  'stands-alone',
  'The stroke does not touch the foam, so it would be a piece of its own. Nothing is changed: begin the stroke on the foam, or draw a line for a new shape.',
);

const NOTHING_LEFT = failure(
  'nothing-left',
  'The stroke covers the whole piece, so no foam would be left. Nothing is changed: paint out less, or remove the piece.',
);

const NOTHING_CHANGES = {
  in: failure(
    'nothing-touched',
    'There is foam already everywhere under the stroke, so nothing changes. Paint over the edge of the piece, or over an opening.',
  ),
  out: failure(
    'nothing-touched',
    'There is no foam under the stroke, so nothing changes. Paint over the piece, or from its edge inwards.',
  ),
};
