import type { PieceLine } from '../../geometry/line-kinds.ts';
import { type Path, polylinePath } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { directionOf, plus, times } from '../../geometry/vector.ts';
import { type Outcome, success } from '../../outcome.ts';
import type { SeamEdge } from '../seams/seam-edge.ts';
import { CENTRE_MARK_MM, NOTCH_MM } from '../seams/notch-marks.ts';
import { arcSegments } from './arc-path.ts';
import { type BandErrorCode, type BandNeed, type BandShape, bandShape } from './band-shape.ts';

export interface JoiningBand {
  readonly shape: BandShape;
  /** Cut line, wrap line along the middle, centre marks and notches on both edges; mm. */
  readonly lines: readonly PieceLine[];
  /** The band's edges that meet A (drawn below) and B (drawn above), as edges of its cut line. */
  readonly edgeA: SeamEdge;
  readonly edgeB: SeamEdge;
}

/** Shares of a band's length at which both edges are marked; the middle one is the centre mark. */
const MARK_SHARES = [0.25, 0.5, 0.75];
const WORDS_MM = 3;
/** Words keep clear of the notches. */
const CLEAR_MM = NOTCH_MM + 1.5;

/** Places on the band by its share along (0 left, 1 right) and across (0 at edge A, 1 at edge B). */
type PlaceOnBand = (along: number, across: number) => PlanePoint;

interface Flat {
  readonly cut: Path;
  readonly middle: Path;
  readonly at: PlaceOnBand;
}

function straightBand(lengthMm: number, widthMm: number): Flat {
  const at: PlaceOnBand = (along, across) => ({ x: (along - 0.5) * lengthMm, y: across * widthMm });
  return {
    cut: polylinePath([at(0, 0), at(1, 0), at(1, 1), at(0, 1)], true),
    middle: polylinePath([at(0, 0.5), at(1, 0.5)], false),
    at,
  };
}

/** A part of a ring, its middle upright: edge A below, so the ring's centre lies below when A is the shorter, else above. */
function curvedBand(shape: BandShape & { readonly kind: 'curved' }): Flat {
  const { outerRadiusMm, innerRadiusMm, angleRad, widthMm, shorter } = shape;
  const isAbout = shorter === 'a' ? -1 : 1;
  const centre = { x: 0, y: isAbout === -1 ? -innerRadiusMm : outerRadiusMm };
  const upRad = (-isAbout * Math.PI) / 2;
  const angleAt = (along: number) => upRad + isAbout * (along - 0.5) * angleRad;
  const radiusAt = (across: number) =>
    isAbout === -1 ? innerRadiusMm + across * widthMm : outerRadiusMm - across * widthMm;
  const at: PlaceOnBand = (along, across) =>
    plus(centre, times(directionOf(angleAt(along)), radiusAt(across)));
  const arc = (across: number, from: number, to: number) =>
    arcSegments(centre, radiusAt(across), angleAt(from), angleAt(to), 'corner');
  return {
    cut: {
      closed: true,
      start: at(0, 0),
      segments: [
        ...arc(0, 0, 1),
        { kind: 'line', to: at(1, 1), joint: 'corner' },
        ...arc(1, 1, 0).map((segment, i, all) =>
          i === all.length - 1 ? { ...segment, to: at(0, 1) } : segment,
        ),
        { kind: 'line', to: at(0, 0), joint: 'corner' },
      ],
    },
    middle: { closed: false, start: at(0, 0.5), segments: arc(0.5, 0, 1) },
    at,
  };
}

function markAcross(at: PlaceOnBand, along: number, edge: 0 | 1, lengthMm: number, widthMm: number): Path {
  const share = Math.min(0.4, lengthMm / widthMm);
  const [start, to] = [at(along, edge), at(along, edge === 0 ? share : 1 - share)];
  return { closed: false, start, segments: [{ kind: 'line', to, joint: 'corner' }] };
}

/** Words along the band at a share of its width. */
function wordsAlong(id: string, at: PlaceOnBand, across: number, text: string): PieceLine {
  const path = polylinePath([at(0.04, across), at(0.24, across)], false);
  return { id, kind: 'mark', path, words: { text, sizeMm: WORDS_MM } };
}

/**
 * A band that joins two edges, straight or curved, as lines of an ordinary piece; each edge is named on it with its
 * length, the shorter one too. Lengths are those of the edges, on the middle of the foam. `hasMarks` adds centre marks
 * and quarter notches for a band that no seam marks. `idStem` begins the lines' ids.
 */
export function joiningBand(
  need: BandNeed,
  idStem: string,
  hasMarks: boolean,
): Outcome<JoiningBand, BandErrorCode> {
  const outcome = bandShape(need);
  if (!outcome.ok) return outcome;
  const shape = outcome.value;
  const flat = shape.kind === 'curved' ? curvedBand(shape) : straightBand(shape.lengthMm, shape.widthMm);
  const { cut, middle, at } = flat;
  const marks = !hasMarks
    ? []
    : ([0, 1] as const).flatMap((edge) =>
        MARK_SHARES.map((along) =>
          markAcross(at, along, edge, along === 0.5 ? CENTRE_MARK_MM : NOTCH_MM, need.widthMm),
        ),
      );
  const nameOf = (edge: 'a' | 'b', mm: number) =>
    `edge ${edge.toUpperCase()} ${mm.toFixed(1)} mm${shape.shorter === edge ? ', shorter' : ''}`;
  const lines: PieceLine[] = [
    { id: `${idStem}-cut`, kind: 'cut', path: cut },
    { id: `${idStem}-wrap`, kind: 'wrap', path: middle },
    ...marks.map((path, i): PieceLine => ({ id: `${idStem}-mark-${i + 1}`, kind: 'mark', path })),
    wordsAlong(`${idStem}-a`, at, Math.min(0.4, CLEAR_MM / need.widthMm), nameOf('a', need.aMm)),
    wordsAlong(
      `${idStem}-b`,
      at,
      Math.max(0.5, 1 - (CLEAR_MM + WORDS_MM) / need.widthMm),
      nameOf('b', need.bMm),
    ),
  ];
  return success({
    shape,
    lines,
    edgeA: { from: at(0, 0), to: at(1, 0) },
    edgeB: { from: at(1, 1), to: at(0, 1) },
  });
}
