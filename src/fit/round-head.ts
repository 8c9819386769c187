import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { mix, unit } from '../geometry/vector.ts';
import { headOval, type HeadSize, type OvalPoint } from './head-oval.ts';
import type { WrapFoam } from './wrap-length.ts';

/** A piece that goes round the head, in the order in which they follow each other by the wearer's left. */
export interface RoundPiece {
  readonly name: string;
  /** Length of its wrap line as it is cut, mm. */
  readonly wrapMm: number;
  readonly foam: WrapFoam;
  /** Between the head (with its ease) and this piece's inner face, mm. */
  readonly underMm: number;
}

/** Where the pieces meet last: in the middle at the front or the back, or beside the first piece, which then sits at the front. */
export type ClosesAt = 'front' | 'back' | 'beside-first';

/** A piece in its place, seen from above, mm; frame of the head's oval. */
export interface PlacedPiece {
  readonly name: string;
  /** Its faces, point for point; from its beginning to its end by the wearer's left. */
  readonly inner: readonly PlanePoint[];
  readonly outer: readonly PlanePoint[];
  /** Where it begins and ends: along the head from the middle of the brow by the wearer's left, mm. */
  readonly fromMm: number;
  readonly toMm: number;
  /** Share of the head's girth that it covers. */
  readonly share: number;
}

export interface Seam {
  readonly between: readonly [string, string];
  /** On the head, and outward from it. */
  readonly at: OvalPoint;
  /** Along the head from the middle of the brow, mm: by the wearer's left above zero, by the right below. */
  readonly fromBrowMm: number;
}

export interface HeadRound {
  readonly head: readonly OvalPoint[];
  readonly pieces: readonly PlacedPiece[];
  /** Where neighbours meet; the closing is not among them. */
  readonly seams: readonly Seam[];
  /** Left open at the closing, along the middle of the foam, mm; below zero the ends lie over each other. */
  readonly gapMm: number;
  /** The middle of the gap or overlap. */
  readonly closing: OvalPoint;
  /** How much larger the head is drawn than its length and breadth say, where girth, length and breadth do not go together; 1 when they do. */
  readonly scale: number;
}

/** Lengths along the oval up to each point and once round. */
function lengthsAlong(points: readonly OvalPoint[]): number[] {
  const lengths = [0];
  points.forEach(({ at }, i) => {
    lengths.push(lengths[i]! + distanceMm(at, points[(i + 1) % points.length]!.at));
  });
  return lengths;
}

/** The oval carried outward: a parallel curve, 2 pi d longer (Steiner). */
function outward(points: readonly OvalPoint[], byMm: number): OvalPoint[] {
  return points.map(({ at, normal }) => ({
    at: { x: at.x + byMm * normal.x, y: at.y + byMm * normal.y },
    normal,
  }));
}

/** An oval that can be walked: places are lengths along it, round and round. */
class Walk {
  readonly roundMm: number;
  private readonly lengths: readonly number[];
  private readonly points: readonly OvalPoint[];

  constructor(points: readonly OvalPoint[]) {
    this.points = points;
    this.lengths = lengthsAlong(points);
    this.roundMm = this.lengths.at(-1)!;
  }

  /** Index of the stretch and share of it at a length along, and how many times round before. */
  private stretchAt(alongMm: number) {
    const turns = Math.floor(alongMm / this.roundMm);
    const rest = alongMm - turns * this.roundMm;
    let [low, high] = [0, this.points.length];
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (this.lengths[middle]! <= rest) low = middle;
      else high = middle;
    }
    const lengthMm = this.lengths[low + 1]! - this.lengths[low]!;
    return { index: low, share: lengthMm > 0 ? (rest - this.lengths[low]!) / lengthMm : 0, turns };
  }

  /** Place by point number, e.g. 3.25; the same number is the same place on every parallel of the oval. */
  numberAt(alongMm: number): number {
    const { index, share, turns } = this.stretchAt(alongMm);
    return index + share + turns * this.points.length;
  }

  alongAt(number: number): number {
    const count = this.points.length;
    const turns = Math.floor(number / count);
    const rest = number - turns * count;
    const index = Math.min(Math.floor(rest), count - 1);
    const stretch = this.lengths[index + 1]! - this.lengths[index]!;
    return turns * this.roundMm + this.lengths[index]! + (rest - index) * stretch;
  }

  pointAt(number: number): OvalPoint {
    const count = this.points.length;
    const rest = number - Math.floor(number / count) * count;
    const index = Math.min(Math.floor(rest), count - 1);
    const [a, b] = [this.points[index]!, this.points[(index + 1) % count]!];
    const normal = unit(mix(a.normal, b.normal, rest - index)) ?? a.normal;
    return { at: mix(a.at, b.at, rest - index), normal };
  }

  /** The points from one number to a later one. */
  run(from: number, to: number): OvalPoint[] {
    const inner: number[] = [];
    for (let i = Math.floor(from) + 1; i < to; i++) inner.push(i);
    return [from, ...inner, to].map((number) => this.pointAt(number));
  }
}

/** Where each piece begins and ends, as point numbers, when the first begins at `start`. */
function laidFrom(start: number, walks: readonly Walk[], pieces: readonly RoundPiece[]) {
  let at = start;
  return pieces.map(({ wrapMm }, i) => {
    const from = at;
    at = walks[i]!.numberAt(walks[i]!.alongAt(from) + wrapMm);
    return { from, to: at };
  });
}

/** Halving of a value that grows with the start. */
function startWhere(of: (start: number) => number, wanted: number, count: number): number {
  let [low, high] = [-2 * count, 2 * count];
  for (let i = 0; i < 60; i++) {
    const start = (low + high) / 2;
    if (of(start) < wanted) low = start;
    else high = start;
  }
  return (low + high) / 2;
}

/**
 * Lays pieces round a head, one after the other, each as long on its own neutral surface as it is cut, and says what is
 * left open or lies double where the last meets the first. Ease stands between head and foam all round: `easeMm` more
 * girth is a gap of easeMm / 2 pi.
 */
export function layRound(
  size: HeadSize,
  easeMm: number,
  pieces: readonly RoundPiece[],
  closesAt: ClosesAt,
): HeadRound {
  const { points, scale } = headOval(size);
  const count = points.length;
  const headWalk = new Walk(points);
  const roomMm = easeMm / (2 * Math.PI);
  const walkAt = (depthMm: number) => new Walk(outward(points, roomMm + depthMm));
  const neutral = pieces.map(({ underMm, foam }) => walkAt(underMm + foam.neutralK * foam.thicknessMm));
  const laid = (start: number) => laidFrom(start, neutral, pieces);
  const middleOf = (start: number): number => {
    const spans = laid(start);
    if (closesAt === 'beside-first') {
      const walk = neutral[0]!;
      return (walk.alongAt(spans[0]!.from) + walk.alongAt(spans[0]!.to)) / 2 / walk.roundMm;
    }
    // The middle of what is covered, which lies opposite the closing.
    return (headWalk.alongAt(spans[0]!.from) + headWalk.alongAt(spans.at(-1)!.to)) / 2 / headWalk.roundMm;
  };
  const wanted = closesAt === 'front' ? 0.5 : 0;
  const spans = pieces.length === 0 ? [] : laid(startWhere(middleOf, wanted, count));
  const placed = pieces.map(({ name, underMm, foam }, i): PlacedPiece => {
    const { from, to } = spans[i]!;
    const at = (depthMm: number) =>
      walkAt(depthMm)
        .run(from, to)
        .map((point) => point.at);
    const [fromMm, toMm] = [headWalk.alongAt(from), headWalk.alongAt(to)];
    return {
      name,
      inner: at(underMm),
      outer: at(underMm + foam.thicknessMm),
      fromMm,
      toMm,
      share: (toMm - fromMm) / headWalk.roundMm,
    };
  });
  return {
    head: points,
    pieces: placed,
    seams: seamsOf(placed, spans, headWalk),
    ...closingOf(spans, neutral, headWalk, count),
    scale,
  };
}

type Span = ReturnType<typeof laidFrom>[number];

function seamsOf(placed: readonly PlacedPiece[], spans: readonly Span[], head: Walk): Seam[] {
  return placed.slice(1).map((piece, i) => {
    const alongMm = head.alongAt(spans[i]!.to);
    // The nearer way from the brow.
    const fromBrowMm = alongMm - head.roundMm * Math.round(alongMm / head.roundMm);
    return {
      between: [placed[i]!.name, piece.name] as const,
      at: head.pointAt(spans[i]!.to),
      fromBrowMm,
    };
  });
}

function closingOf(spans: readonly Span[], neutral: readonly Walk[], head: Walk, count: number) {
  const [first, last] = [spans[0], spans.at(-1)];
  if (!first || !last) return { gapMm: head.roundMm, closing: head.pointAt(count / 2) };
  const begin = first.from + count;
  // The two ends may lie in foam of two kinds: the mean of both middles.
  const gaps = [neutral[0]!, neutral.at(-1)!].map((walk) => walk.alongAt(begin) - walk.alongAt(last.to));
  const middleMm = (head.alongAt(begin) + head.alongAt(last.to)) / 2;
  return { gapMm: (gaps[0]! + gaps[1]!) / 2, closing: head.pointAt(head.numberAt(middleMm)) };
}
