import type { PlanePoint } from '../../src/geometry/point.ts';
import { factsOf, phoneLens, phonePicture, TABLES } from './captures.ts';
import { cameraAt, distanceToShow, REGION_SIZES, type RegionSize } from './poses.ts';
import { emptyScene, rectangleOutline, ROOM_LIGHT, table } from './presets.ts';
import { type Rgb, type Scene, SHEET_SIZES, type SheetSize, type SimPiece, type SimSheet } from './scene.ts';
import { type Random, seeded } from './seeded.ts';

/** How a maker's photo with a bank card, a sheet or two known points comes about; the rest is drawn by the seed. */
export interface ReferenceCase {
  readonly kind: 'bank-card' | 'sheet' | 'two-points';
  readonly megapixels: number;
  /** Where lengths are measured; pieces lie there. A sheet that the piece lies on is its own region. */
  readonly region: RegionSize;
  readonly sheet?: SheetSize;
  /** The piece lies on the sheet, or beside it. */
  readonly isOnSheet?: boolean;
  readonly tiltDeg: number;
  readonly exif?: 'width' | 'diagonal' | 'none';
  /** No pieces at all. */
  readonly isBare?: boolean;
}

/** A photo with one reference, and the rectangle on the table inside which lengths are asked for. */
export interface ReferenceScene {
  readonly scene: Scene;
  readonly halfWidthMm: number;
  readonly halfHeightMm: number;
}

const CARD_COLORS: readonly Rgb[] = [
  [0.75, 0.76, 0.78],
  [0.03, 0.06, 0.22],
  [0.55, 0.05, 0.05],
  [0.55, 0.42, 0.12],
  [0.05, 0.28, 0.2],
  [0.02, 0.02, 0.02],
];
const PIECE_COLORS: readonly Rgb[] = [
  [0.5, 0.33, 0.18],
  [0.02, 0.025, 0.03],
  [0.6, 0.1, 0.08],
];

/** A rounded, notched outline about a place: nothing that could be taken for a card. */
function pieceOutline(centre: PlanePoint, halfX: number, halfY: number): PlanePoint[] {
  return Array.from({ length: 120 }, (_, i) => {
    const angle = (2 * Math.PI * i) / 120;
    const wave = 0.82 + 0.12 * Math.cos(3 * angle) + 0.06 * Math.sin(5 * angle);
    return { x: centre.x + halfX * wave * Math.cos(angle), y: centre.y + halfY * wave * Math.sin(angle) };
  });
}

/** Draws an ISO 216 sheet's own error: evenly within the ±2 mm that the standard allows from 150 to 600 mm. */
function sheetExcess(random: Random): readonly [number, number] {
  return [random.between(-2, 2), random.between(-2, 2)];
}

/** A piece follows the sheet that it lies on. */
function lieOn({ curl, turnRad, heightMm }: SimSheet): Partial<SimPiece> {
  if (!curl) return { heightMm: heightMm + 0.15 };
  return {
    heightMm: heightMm + 0.15 + 0.3 * Math.abs(curl.riseMm),
    curl: { ...curl, directionRad: curl.directionRad + turnRad },
  };
}

interface Laid {
  readonly change: Partial<Scene>;
  readonly corners: readonly PlanePoint[];
  readonly halfWidthMm: number;
  readonly halfHeightMm: number;
}

function layBankCard(how: ReferenceCase, random: Random): Laid {
  const [width, height] = REGION_SIZES[how.region];
  const side = random.below(4);
  const gap = random.between(12, 30);
  const turnRad = (side % 2 === 0 ? Math.PI / 2 : 0) + random.normal(0.15);
  const away = 54 / 2 + gap;
  const centre = [
    { x: -width / 2 - away, y: random.between(-0.3, 0.3) * height },
    { x: random.between(-0.3, 0.3) * width, y: height / 2 + away },
    { x: width / 2 + away, y: random.between(-0.3, 0.3) * height },
    { x: random.between(-0.3, 0.3) * width, y: -height / 2 - away },
  ][side]!;
  const color = CARD_COLORS[random.below(CARD_COLORS.length)]!;
  const kinds = [undefined, 'stripe', 'fields'] as const;
  const kind = kinds[random.below(3)];
  const printColor = CARD_COLORS[random.below(CARD_COLORS.length)]!;
  return {
    change: {
      bankCards: [
        {
          centre,
          turnRad,
          heightMm: 0,
          color,
          // Edge limits of an unused card about the nominal size (FACTS section 1).
          excessMm: [random.between(-0.13, 0.12), random.between(-0.06, 0.05)],
          ...(kind && { print: { kind, color: printColor } }),
        },
      ],
    },
    corners: [
      ...rectangleOutline(centre, 92, 60, turnRad),
      ...rectangleOutline({ x: 0, y: 0 }, width, height, 0),
    ],
    halfWidthMm: width / 2,
    halfHeightMm: height / 2,
  };
}

function laySheet(how: ReferenceCase, random: Random): Laid {
  const size = how.sheet ?? 'A4';
  const [short, long] = SHEET_SIZES[size];
  const isOnSheet = how.isOnSheet ?? true;
  const [width, height] = REGION_SIZES[how.region];
  // Lying landscape under the piece, upright beside it.
  const turnRad = (isOnSheet ? Math.PI / 2 : 0) + random.normal(0.08);
  const centre = isOnSheet ? { x: 0, y: 0 } : { x: width / 2 + short / 2 + random.between(20, 45), y: 0 };
  const isGraph = random.next() < 0.25;
  return {
    change: {
      sheets: [
        {
          size,
          centre,
          turnRad,
          heightMm: random.between(0, 0.1),
          excessMm: sheetExcess(random),
          color: [0.84, 0.84, 0.83],
          curl: {
            directionRad: random.between(0, Math.PI),
            riseMm: Math.abs(random.normal(0.6)),
            halfSpanMm: long / 2,
          },
          ...(isGraph && { graphMm: 5 }),
        },
      ],
    },
    corners: [
      ...rectangleOutline(centre, short + 8, long + 8, turnRad),
      ...(isOnSheet ? [] : rectangleOutline({ x: 0, y: 0 }, width, height, 0)),
    ],
    halfWidthMm: isOnSheet ? 0.42 * long : width / 2,
    halfHeightMm: isOnSheet ? 0.42 * short : height / 2,
  };
}

function layTwoPoints(how: ReferenceCase): Laid {
  const [width, height] = REGION_SIZES[how.region];
  return {
    change: {},
    corners: rectangleOutline({ x: 0, y: 0 }, width + 30, height + 30, 0),
    halfWidthMm: width / 2,
    halfHeightMm: height / 2,
  };
}

/** A scene with one reference and a piece, as the case says and otherwise as the seed draws it. */
export function referenceScene(seed: number, how: ReferenceCase): ReferenceScene {
  const random = seeded(seed * 6101 + 41);
  const lens = phoneLens(how.megapixels, true, random);
  const laid =
    how.kind === 'bank-card'
      ? layBankCard(how, random)
      : how.kind === 'sheet'
        ? laySheet(how, random)
        : layTwoPoints(how);
  const us = laid.corners.map(({ x }) => x);
  const vs = laid.corners.map(({ y }) => y);
  const middle = {
    x: (Math.min(...us) + Math.max(...us)) / 2 + random.normal(6),
    y: (Math.min(...vs) + Math.max(...vs)) / 2 + random.normal(6),
  };
  const pose = {
    tiltRad: (how.tiltDeg * Math.PI) / 180,
    azimuthRad: random.between(0, 2 * Math.PI),
    rollRad: random.normal(0.05),
    target: middle,
  };
  const camera = cameraAt(lens, {
    ...pose,
    distanceMm: distanceToShow(lens, pose, laid.corners) * random.between(1.02, 1.15),
  });
  const light = {
    ...ROOM_LIGHT,
    color: [1, random.between(0.9, 1), random.between(0.75, 1)] as const,
    centre: { x: random.between(-300, 300), y: random.between(-300, 300) },
    halfAtMm: random.between(900, 3000),
    towards: { x: random.between(-0.7, 0.7), y: random.between(-0.7, 0.7) },
  };
  const piece: SimPiece = {
    outer: pieceOutline({ x: 0, y: 0 }, 0.9 * laid.halfWidthMm, 0.85 * laid.halfHeightMm),
    holes: [],
    thicknessMm: 0.1,
    ...(how.kind === 'sheet' && (how.isOnSheet ?? true) && lieOn(laid.change.sheets![0]!)),
    color: PIECE_COLORS[random.below(PIECE_COLORS.length)]!,
  };
  const scene = emptyScene(camera, {
    seed,
    picture: phonePicture(how.megapixels, random),
    light,
    table: table(TABLES[random.below(4)]!),
    pieces: how.isBare ? [] : [piece],
    facts: factsOf(camera, how.exif ?? (random.next() < 0.5 ? 'width' : 'diagonal')),
    ...laid.change,
  });
  return { scene, halfWidthMm: laid.halfWidthMm, halfHeightMm: laid.halfHeightMm };
}
