import { cardCentreOnPage } from '../../src/capture/card-page-layout.ts';
import type { ImagePoint, PlanePoint } from '../../src/geometry/point.ts';
import { project, type SimCamera } from './lens.ts';
import { cameraAt, cardCorners, distanceToShow, plainLens } from './poses.ts';
import { emptyScene, flatCard, PHONE_PICTURE, ROOM_LIGHT, table } from './presets.ts';
import type { Scene, SimCard } from './scene.ts';
import { type Random, seeded } from './seeded.ts';

export interface Print {
  readonly across: number;
  readonly along: number;
  readonly skew: number;
}

/** The page as a printer of that scale puts it on paper: every card's centre moves with its face. */
export function printedPage(print: Print, first: 0 | 6 = 0): SimCard[] {
  const { across, along, skew } = print;
  return Array.from({ length: 6 }, (_, i) => {
    const { x, y } = cardCentreOnPage(i);
    const [px, py] = [x - 80, y - 120];
    const centre = { x: across * px + skew * along * py, y: along * py };
    return flatCard({ id: first + i, centre, turnRad: 0 }, { print });
  });
}

export function cameraOverPage(
  cards: readonly SimCard[],
  tiltDeg: number,
  random: Random,
  megapixels = 3,
  alsoShown: readonly PlanePoint[] = [],
): SimCamera {
  const plain = plainLens(megapixels);
  // A lens as the solve's beliefs have it, round the whole millimetres that EXIF gives.
  const lens = {
    ...plain,
    focalPx: plain.focalPx * Math.exp(random.normal(0.02)),
    k1: random.normal(0.015),
    k2: random.normal(0.005),
    offsetUPx: random.normal(0.003 * plain.widthPx),
    offsetVPx: random.normal(0.003 * plain.widthPx),
  };
  const pose = {
    tiltRad: (tiltDeg * Math.PI) / 180,
    azimuthRad: random.between(0, 2 * Math.PI),
    rollRad: Math.PI / 2 + random.normal(0.05),
    target: { x: 0, y: 0 },
  };
  return cameraAt(lens, {
    ...pose,
    distanceMm: distanceToShow(lens, pose, [...cards.flatMap(cardCorners), ...alsoShown]),
  });
}

/** What `pageBetweenTwoBankCards` was printed at. */
export const PAGE_PRINT: Print = { across: 0.985, along: 0.992, skew: 0 };
const BANK_CARDS = [
  { centre: { x: 5, y: -162 }, turnRad: 0.1, heightMm: 0, color: [0.55, 0.05, 0.05] as const },
  { centre: { x: -20, y: 168 }, turnRad: -0.05, heightMm: 0, color: [0.03, 0.06, 0.22] as const },
];

/** A page between two bank cards, of which nobody but the maker can tell which is meant. */
export function pageBetweenTwoBankCards(): Scene {
  const cards = printedPage(PAGE_PRINT);
  const camera = cameraOverPage(cards, 8, seeded(11), 3, [
    { x: 0, y: -200 },
    { x: 0, y: 205 },
  ]);
  return emptyScene(camera, {
    picture: PHONE_PICTURE,
    light: ROOM_LIGHT,
    table: table('wood'),
    cards,
    bankCards: BANK_CARDS,
    facts: { focalLength35Mm: 26 },
  });
}

/** The first bank card's corners in the photo, each tapped a millimetre or so beside the place. */
export function tappedBankCard({ camera, bankCards }: Scene): readonly ImagePoint[] {
  const { centre, turnRad } = bankCards[0]!;
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  return [
    [-43.8, 26.2],
    [42.1, 28],
    [43.5, -26.5],
    [-42, -28],
  ].map(([x, y]) => {
    const { u, v } = project(camera, centre.x + c * x! - s * y!, centre.y + s * x! + c * y!, 0.4);
    return { u: Math.round(u), v: Math.round(v) };
  });
}
