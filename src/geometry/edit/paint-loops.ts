import type { Joint, Path } from '../path.ts';
import { tangentAt } from '../place.ts';
import { distanceMm, midpoint, type PlanePoint } from '../point.ts';
import { joinPaths, startAt } from '../split-path.ts';
import { flattenPath, isInside, polylineLengthMm } from '../measure.ts';
import { cross, dot, minus, plus, quarterLeft, times, unit } from '../vector.ts';
import { type Brush, type BrushRing, pointOnRing } from './brush.ts';
import { type Crossing, EXACT_MM } from './brush-crossings.ts';
import { edgeBetween, nextOnRing, onRing, type Paint, partBetween, type Strand } from './paint-strands.ts';
import { refitPolyline } from './refit-polyline.ts';

/** An edge of the foam after painting, with the foam on its left. */
export interface Loop {
  readonly path: Path;
  /** How much of each former line is in it, mm, by id. */
  readonly shares: ReadonlyMap<string, number>;
}

/** The edges that the brush has changed or made. Lines that it does not touch are not among them. */
export function loopsAfter(strands: readonly Strand[], brush: Brush, paint: Paint): Loop[] {
  const isBack = paint === 'out';
  const rings = brush.rings.map((_, ring) => onRing(strands, ring));
  const foam = foamTest(strands);
  const whole = brush.rings.flatMap((ring, i) =>
    rings[i]!.length === 0 && becomesEdge(ring, foam, paint) ? [wholeRing(ring, brush, isBack)] : [],
  );
  return [...chained(strands, brush, rings, isBack), ...whole];
}

/** Follows kept parts of lines and the brush's edge from crossing to crossing, until each loop is closed. */
function chained(
  strands: readonly Strand[],
  brush: Brush,
  rings: readonly (readonly Crossing[])[],
  isBack: boolean,
): Loop[] {
  const done = new Set<Crossing>();
  const strandOf = new Map(
    strands.flatMap((strand) => strand.crossings.map((one) => [one, strand] as const)),
  );
  const loops: Loop[] = [];
  for (const first of strandOf.keys()) {
    if (first.enters || done.has(first)) continue;
    const parts: Path[] = [];
    const shares = new Map<string, number>();
    for (let leave = first; !done.has(leave); ) {
      done.add(leave);
      const { crossings, path, line } = strandOf.get(leave)!;
      const at = crossings.indexOf(leave);
      const enter = crossings[(at + 1) % crossings.length]!;
      const kept = partBetween(path, leave, enter, at + 1 === crossings.length);
      if (kept) {
        parts.push(kept);
        shares.set(line.id, (shares.get(line.id) ?? 0) + roughLengthMm(kept));
      }
      leave = nextOnRing(rings[enter.ring]!, enter, isBack);
      parts.push(...newEdge(brush, enter, leave, isBack));
    }
    const used = parts.filter(({ segments }) => segments.length > 0);
    if (used.length > 0) loops.push({ path: joined(used, strandOf.get(first)!.path.start), shares });
  }
  return loops;
}

/** Long enough to be compared: exact lengths of thousands of curves would take their time. */
const roughLengthMm = (path: Path) => polylineLengthMm(flattenPath(path, ROUGH_MM), false);
const ROUGH_MM = 0.1;

/** Points of the brush's edge this near to a crossing are left out, mm. */
const ROOM_MM = 0.02;
/** A crossing that lies beside the edge is led to it on a way so many times its distance. */
const LEAD_SHARE = 20;

/** The brush's edge between two crossings, fitted; nothing where they are one place. */
function newEdge(brush: Brush, a: Crossing, b: Crossing, isBack: boolean): Path[] {
  const ring = brush.rings[a.ring]!;
  const edge = edgeBetween(brush, a, b, isBack);
  const lengthMm = polylineLengthMm(edge, false);
  const leads = [a, b].map(({ at }) => {
    const gapMm = Math.abs(brush.clearanceMm(at));
    return gapMm > EXACT_MM ? Math.min(Math.max(ROOM_MM, LEAD_SHARE * gapMm), lengthMm / 3) : 0;
  });
  const rooms = leads.map((lead) => Math.min(Math.max(ROOM_MM, lead), lengthMm / 3));
  const inner = edge
    .slice(1, -1)
    .filter((point) => distanceMm(point, a.at) > rooms[0]! && distanceMm(point, b.at) > rooms[1]!);
  const lead = ({ alongMm }: Crossing, by: number) => (by === 0 ? [] : [pointOnRing(ring, alongMm + by)]);
  const way = isBack ? -1 : 1;
  const points = [a.at, ...lead(a, way * leads[0]!), ...inner, ...lead(b, -way * leads[1]!), b.at];
  if (points.length === 2 && distanceMm(a.at, b.at) === 0) return [];
  return [refitPolyline(points, false, brush.headings)];
}

/** Directions closer than this run on smoothly, rad. */
const SMOOTH_RAD = 0.01;
/** The fitting may leave out a crumb at the end of an edge, mm. */
const GAP_MM = 0.01;

function meeting(before: Path, after: Path): Joint {
  const come = tangentAt(before, { segment: before.segments.length - 1, t: 1 });
  const go = tangentAt(after, { segment: 0, t: 0 });
  return Math.abs(Math.atan2(cross(come, go), dot(come, go))) <= SMOOTH_RAD ? 'smooth' : 'corner';
}

/** The parts as one closed line, which starts where the former one did if that place is still there. */
function joined(parts: readonly Path[], formerStart: PlanePoint): Path {
  const met = parts.map((part, i): Path => {
    const joint = meeting(part, parts[(i + 1) % parts.length]!);
    const segments = part.segments.map((segment, k) =>
      k + 1 === part.segments.length ? { ...segment, joint } : segment,
    );
    return { ...part, segments };
  });
  const path = joinPaths(met, { closed: true, gapMm: GAP_MM });
  const before = path.segments.findIndex(({ to }) => to.x === formerStart.x && to.y === formerStart.y);
  return before < 0 || before + 1 === path.segments.length
    ? path
    : startAt(path, { segment: before + 1, t: 0 });
}

function wholeRing({ points }: BrushRing, brush: Brush, isBack: boolean): Loop {
  const ring = isBack ? points.toReversed() : points;
  return { path: refitPolyline(ring, true, brush.headings), shares: new Map() };
}

/** Lines are flattened this finely to tell where foam lies, mm. */
const FLAT_MM = 0.002;

type FoamTest = (at: PlanePoint) => boolean;

/** Whether foam lies at a point, by all edges together. */
function foamTest(strands: readonly Strand[]): FoamTest {
  let polygons: readonly { readonly sign: number; readonly points: readonly PlanePoint[] }[] | undefined;
  return (at) => {
    polygons ??= strands.map(({ line, path }) => ({
      sign: line.kind === 'cut' ? 1 : -1,
      points: flattenPath(path, FLAT_MM),
    }));
    return polygons.reduce((sum, { sign, points }) => sum + (isInside(at, points) ? sign : 0), 0) > 0;
  };
}

/** A ring without crossings is asked at so many places, this far to both sides, mm. */
const ASKED = 12;
const BESIDE_MM = 0.02;

/** A ring that crosses nothing becomes an edge where both its sides are bare (adding), or foam (taking away). */
function becomesEdge({ points }: BrushRing, foam: FoamTest, paint: Paint): boolean {
  const step = Math.max(1, Math.floor(points.length / ASKED));
  return points.every((point, i) => {
    const along = i % step === 0 ? unit(minus(points[(i + 1) % points.length]!, point)) : undefined;
    if (!along) return true;
    const middle = midpoint(point, points[(i + 1) % points.length]!);
    const aside = times(quarterLeft(along), BESIDE_MM);
    return [plus(middle, aside), minus(middle, aside)].every((at) => foam(at) === (paint === 'out'));
  });
}
