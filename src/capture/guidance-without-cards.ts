/** What could be done beside a bank card or a sheet where no scale card is at hand. */
import type { PlanePoint } from '../geometry/point.ts';
import { distanceMm } from '../geometry/point.ts';
import { withLength, withShape } from './belief-update.ts';
import { imageToPlane, planeToImage } from './camera.ts';
import { pairSigmaPx } from './found-reference.ts';
import {
  changed,
  type GuidanceAsked,
  laidCorners,
  measuredBy,
  type Option,
  USUAL_NOISE_PX,
} from './guidance-options.ts';
import { along, fitsInPicture, freeSpots, liesOn, overlaps, type Spot } from './guidance-places.ts';
import { shapeCorners, sheetShape } from './reference-shapes.ts';
import type { Capture, ReferenceFinding, SheetName } from './types.ts';

/** What stands already on the table: pieces, and where references lie (outlines, mm). */
export interface OnTable {
  readonly pieces: readonly (readonly PlanePoint[])[];
  readonly references: readonly (readonly PlanePoint[])[];
}

/** A finding's corners where they lie on the table, mm. */
function onTable({ camera }: Capture, { cornersPx }: ReferenceFinding): readonly PlanePoint[] {
  return cornersPx.map((corner) => imageToPlane(camera, corner));
}

/** Outlines of the bank card and sheets in the photo, mm on the table. */
export function referenceOutlines(capture: Capture): readonly (readonly PlanePoint[])[] {
  return (capture.references ?? [])
    .filter(({ kind }) => kind !== 'two-points')
    .map((finding) => onTable(capture, finding));
}

const usedSheet = ({ references = [] }: Capture): ReferenceFinding | undefined =>
  references.find(({ kind, used }) => kind === 'sheet' && used);

/** Nothing nearer to the middle than this share of the way to the border is an end or a corner; sheets are large. */
const LEAST_SHEET_SHARE = 0.15;
/** So much of the table must show all round a sheet for its sides to be found, mm. */
const MARGIN_MM = 12;
/** Pieces on a sheet leave this much of it free all round, mm. */
const SHEET_RIM_MM = 12;

const withMargin = (corners: readonly PlanePoint[]): readonly PlanePoint[] =>
  corners.map(({ x, y }) => ({ x: x + Math.sign(x) * MARGIN_MM, y: y + Math.sign(y) * MARGIN_MM }));

/** Under all the pieces, where they fit on the sheet. */
function underPieces(
  capture: Capture,
  { pieces, references }: OnTable,
  corners: readonly PlanePoint[],
  turnRad: number,
): readonly Spot[] {
  const points = pieces.flat();
  if (points.length === 0) return [];
  const middleOf = (values: readonly number[]): number =>
    (values.reduce((a, b) => Math.min(a, b)) + values.reduce((a, b) => Math.max(a, b))) / 2;
  const at = { x: middleOf(points.map(({ x }) => x)), y: middleOf(points.map(({ y }) => y)) };
  const [halfX, halfY] = [corners[1]!.x - SHEET_RIM_MM, corners[1]!.y - SHEET_RIM_MM];
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  const isOn = points.every(({ x, y }) => {
    const [dx, dy] = [x - at.x, y - at.y];
    return Math.abs(c * dx + s * dy) < halfX && Math.abs(c * dy - s * dx) < halfY;
  });
  const outline = laidCorners(withMargin(corners), at, turnRad);
  const isFree = references.every((other) => !overlaps(outline, other, 0));
  return isOn && isFree && fitsInPicture(capture.camera, outline) ? [{ at, words: 'under the pieces' }] : [];
}

/** A sheet whose sides are measured, laid in each place that has room for it. */
export function sheetOptions(
  capture: Capture,
  { sheet = 'A4' }: GuidanceAsked,
  table: OnTable,
): readonly Option[] {
  if (capture.references?.some(({ kind }) => kind === 'sheet')) return [];
  const nominal = sheetShape(sheet);
  const shape = sheetShape(sheet, { shortMm: nominal.heightMm, longMm: nominal.widthMm });
  const corners = shapeCorners(shape);
  return [0, Math.PI / 2].flatMap((turnRad) => {
    const beside = freeSpots(
      capture,
      [...table.pieces, ...table.references],
      (at) => laidCorners(withMargin(corners), at, turnRad),
      LEAST_SHEET_SHARE,
    );
    return [...underPieces(capture, table, corners, turnRad), ...beside].map(
      ({ at, words }): Option => ({
        action: 'add-sheet',
        at,
        ...(turnRad > 0 && { isTurned: true }),
        words:
          `${sheet === 'Letter' ? 'A Letter' : `An ${sheet}`} sheet with measured sides, laid flat ${words}, long side ` +
          `${turnRad > 0 ? 'upright' : 'across'} in the photo, and chosen as a reference beside ${measuredBy(capture)},`,
        done: changed(
          capture,
          withShape(capture, capture.covariance, shape, { ...at, turnRad }, USUAL_NOISE_PX),
        ),
        covers: laidCorners(corners, at, turnRad),
      }),
    );
  });
}

/**
 * Doubt of a second reading of a sheet's size, mm, that together with its nominal size leaves what measuring it leaves
 * (both sides' shifts; information adds up).
 */
function measuringDoubtMm(sheet: SheetName): number {
  const nominal = sheetShape(sheet);
  const measured = sheetShape(sheet, { shortMm: nominal.heightMm, longMm: nominal.widthMm });
  const information = ({ shiftDoubtMm }: typeof nominal): number => 1 / (2 * shiftDoubtMm ** 2);
  return 1 / Math.sqrt(information(measured) - information(nominal));
}

/** Measuring the sheet that lies there. */
export function measureSheetOption(capture: Capture, { hasSheetSides }: GuidanceAsked): Option | undefined {
  const finding = usedSheet(capture);
  if (!finding?.sheet || hasSheetSides) return undefined;
  const corners = onTable(capture, finding);
  const middles = corners.map((a, i) => {
    const b = corners[(i + 1) % 4]!;
    return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  });
  const doubtMm = measuringDoubtMm(finding.sheet);
  const once = withLength(capture, capture.covariance, middles[0]!, middles[2]!, doubtMm);
  return {
    action: 'measure-sheet',
    words: `Measuring both sides of the ${finding.sheet} sheet with a ruler and entering them`,
    done: changed(capture, withLength(capture, once, middles[1]!, middles[3]!, doubtMm)),
  };
}

/** From corner to corner of what the photo shows, -1 left or top and 1 right or bottom: along its borders and across. */
const LINES: readonly (readonly [
  from: readonly [number, number],
  to: readonly [number, number],
  words: string,
])[] = [
  [[-1, -1], [1, -1], 'along the top'],
  [[-1, 1], [1, 1], 'along the bottom'],
  [[-1, -1], [-1, 1], 'along the left side'],
  [[1, -1], [1, 1], 'along the right side'],
  [[-1, -1], [1, 1], 'from top left to bottom right'],
  [[-1, 1], [1, -1], 'from bottom left to top right'],
];
/** The ends lie at such shares of the way from the middle to the border, the farthest first. */
const INSETS = [0.94, 0.9, 0.86, 0.82, 0.78, 0.74];
/** A tape is about this wide, and is laid this clear of everything, mm. */
const TAPE_ROOM_MM = 14;

/** Two places on a tape or ruler that lies on the table, clear of all that lies there, whose distance is read off it. */
export function knownDistanceOptions(capture: Capture, { pieces, references }: OnTable): readonly Option[] {
  const { camera } = capture;
  if (capture.references?.some(({ kind }) => kind === 'two-points')) return [];
  const [u, v] = [(camera.widthPx - 1) / 2, (camera.heightPx - 1) / 2];
  // On a sheet under the pieces a tape may lie as well as on the table.
  const isGround = capture.references?.some(({ isUnderPieces }) => isUnderPieces) ?? false;
  const taken = isGround ? pieces : [...pieces, ...references];
  const placeAt = ([right, down]: readonly [number, number], share: number): PlanePoint =>
    imageToPlane(camera, { u: u * (1 + share * right), v: v * (1 + share * down) });
  return LINES.flatMap(([from, to, words]): Option[] => {
    const lines = INSETS.map((share) => [placeAt(from, share), placeAt(to, share)] as const);
    const clear = lines.find(
      ([a, b]) =>
        Number.isFinite(a.x + b.x) &&
        along(a, b, TAPE_ROOM_MM).every((at) => taken.every((other) => !liesOn(other, at, TAPE_ROOM_MM))),
    );
    if (!clear) return [];
    const lengthMm = distanceMm(...clear);
    const [p, q] = clear.map((end) => planeToImage(camera, end));
    const pxPerMm = Math.hypot(p!.u - q!.u, p!.v - q!.v) / lengthMm;
    const doubtMm = (Math.SQRT2 * pairSigmaPx(lengthMm, pxPerMm)) / pxPerMm;
    return [
      {
        action: 'known-distance',
        ends: clear,
        words:
          `A tape or ruler laid on the table ${words} of the photo, and two places on it about ${10 * Math.round(lengthMm / 10)} mm apart ` +
          `chosen as two points beside ${measuredBy(capture)},`,
        done: changed(capture, withLength(capture, capture.covariance, ...clear, doubtMm)),
      },
    ];
  });
}
