import { pathLengthMm } from '../geometry/measure.ts';
import { foamAreaMm2 } from '../mirror/foam-area.ts';
import { compareRevisions, type RevisionComparison } from '../refit/compare-revisions.ts';
import { type CompareRequest, Unusable } from './command-line.ts';
import { pair, rounded, USUAL_LIMIT_MM } from './fold-check-command.ts';
import { type NamedPiece, readOutlineFile } from './outline-file.ts';

/** Lays the pieces of one file on those of an older one and gives what changed as JSON. Places in the old file's frame. */
export async function runCompare({ old, fresh, limitMm, turnedOver }: CompareRequest): Promise<string> {
  const [before, after] = [await readOutlineFile(old), await readOutlineFile(fresh)];
  const limit = limitMm ?? before.limitMm ?? USUAL_LIMIT_MM;
  const { pairs, loneOld, loneNew } = matched(before.pieces, after.pieces, limit, turnedOver);
  if (pairs.length === 0) {
    throw new Unusable(
      'No piece of one file lies on a piece of the other, however it is laid; name two files of the same headpiece.',
    );
  }
  return JSON.stringify(
    {
      limitMm: limit,
      pieces: pairs.map(figures),
      onlyInOld: loneOld.map(({ name }) => name),
      onlyInNew: loneNew.map(({ name }) => name),
    },
    undefined,
    2,
  );
}

interface MatchedPieces {
  readonly old: NamedPiece;
  readonly fresh: NamedPiece;
  readonly comparison: RevisionComparison;
}

/** Equal to this much, names decide: a left and a right guard lie on each other alike. */
const ALIKE_MISFIT = 0.02;

/** Laying takes a second a pair, so each piece is first tried on this many of about its own size. */
const NEAREST_IN_SIZE = 3;
/** A pair that agrees over less of its edge may have a better partner among those not tried yet. */
const SURE_SHARE = 0.6;

/**
 * Pairs pieces by how well they lie on each other, best first; of those that lie alike the ones of one name, then those not turned over.
 * Pieces of one name or of nearly one size are tried first; what finds no sure partner there is tried on all that are left.
 */
function matched(
  olds: readonly NamedPiece[],
  news: readonly NamedPiece[],
  limitMm: number,
  turnedOver: boolean,
) {
  const options = { limitMm, ...(turnedOver && { turnedOver }) };
  const known = new Map<NamedPiece, Map<NamedPiece, MatchedPieces | undefined>>();
  const tried = (old: NamedPiece, fresh: NamedPiece): MatchedPieces[] => {
    const row = known.get(old) ?? new Map<NamedPiece, MatchedPieces | undefined>();
    known.set(old, row);
    if (!row.has(fresh)) {
      const outcome = compareRevisions(old.lines, fresh.lines, options);
      row.set(fresh, outcome.ok ? { old, fresh, comparison: outcome.value } : undefined);
    }
    const found = row.get(fresh);
    return found ? [found] : [];
  };
  const rank = ({ old, fresh, comparison }: MatchedPieces) =>
    comparison.ways[0]!.misfit +
    (old.name === fresh.name ? 0 : ALIKE_MISFIT) +
    (comparison.mirrored && !turnedOver ? ALIKE_MISFIT : 0);
  const used = new Set<NamedPiece>();
  const take = (found: readonly MatchedPieces[]) =>
    found
      .toSorted((a, b) => rank(a) - rank(b))
      .filter(({ old, fresh }) => {
        if (used.has(old) || used.has(fresh)) return false;
        used.add(old).add(fresh);
        return true;
      });
  const lone = (pieces: readonly NamedPiece[]) => pieces.filter((piece) => !used.has(piece));
  const likely = olds.flatMap((old) => likeliest(old, news).flatMap((fresh) => tried(old, fresh)));
  const pairs = take(likely.filter(({ comparison }) => comparison.agreeingShare >= SURE_SHARE));
  const rest = lone(olds).flatMap((old) =>
    lone(news)
      .filter((fresh) => !areUnlikeInSize(old, fresh))
      .flatMap((fresh) => tried(old, fresh)),
  );
  pairs.push(...take(rest));
  pairs.sort((a, b) => olds.indexOf(a.old) - olds.indexOf(b.old));
  return { pairs, loneOld: lone(olds), loneNew: lone(news) };
}

/** The pieces nearest to one in size, and those of its name. */
function likeliest(old: NamedPiece, news: readonly NamedPiece[]): NamedPiece[] {
  const possible = news.filter((fresh) => !areUnlikeInSize(old, fresh));
  const nearest = possible
    .toSorted((a, b) => sizeApart(old, a) - sizeApart(old, b))
    .slice(0, NEAREST_IN_SIZE);
  return possible.filter((fresh) => nearest.includes(fresh) || fresh.name === old.name);
}

/** How unlike two pieces are in area and in length of edge: 0 alike. */
function sizeApart(a: NamedPiece, b: NamedPiece): number {
  const edgeMm = ({ lines }: NamedPiece) =>
    lines.reduce((sum, { kind, path }) => (kind === 'cut' ? sum + pathLengthMm(path) : sum), 0);
  const apart = (p: number, q: number) => Math.abs(Math.log(p / q));
  return apart(foamAreaMm2(a.lines), foamAreaMm2(b.lines)) + apart(edgeMm(a), edgeMm(b));
}

/** One of twice the other's area is no revision of it, so it is not tried. */
function areUnlikeInSize(old: NamedPiece, fresh: NamedPiece): boolean {
  const [a, b] = [foamAreaMm2(old.lines), foamAreaMm2(fresh.lines)];
  return 2 * Math.min(a, b) < Math.max(a, b);
}

function figures({ old, fresh, comparison }: MatchedPieces) {
  const stretches = (change: 'trimmed' | 'added') =>
    comparison.lines.flatMap(({ lineId, stretches }) =>
      stretches
        .filter((stretch) => stretch.change === change)
        .map(({ fromMm, toMm, peakMm, at, areaMm2 }) => ({
          line: lineId,
          from: rounded(fromMm),
          to: rounded(toMm),
          peakMm: rounded(peakMm),
          at: pair(at),
          areaMm2: rounded(areaMm2, 2),
        })),
    );
  const { motion, ambiguity } = comparison;
  return {
    old: old.name,
    new: fresh.name,
    turnedOver: comparison.mirrored,
    motion: { mirrored: motion.mirrored, angleRad: rounded(motion.angleRad, 7), shift: pair(motion.shift) },
    agreeingShare: rounded(comparison.agreeingShare),
    ...(ambiguity !== undefined && { ambiguity }),
    maxMm: rounded(comparison.maxMm),
    maxAt: pair(comparison.maxAt),
    p95Mm: rounded(comparison.p95Mm),
    meanMm: rounded(comparison.meanMm),
    areaChangeMm2: rounded(comparison.areaChangeMm2, 2),
    areaChangePct: rounded(comparison.areaChangePct),
    trimmed: stretches('trimmed'),
    added: stretches('added'),
    goneOpenings: comparison.goneOpenings,
    newOpenings: comparison.newOpenings,
  };
}
