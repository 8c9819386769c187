import type { PlanePoint } from '../../src/geometry/point.ts';
import type { SimCamera } from './lens.ts';
import {
  type CardSpot,
  cameraAt,
  cardCorners,
  cardsAround,
  distanceToShow,
  type Lens,
  plainLens,
  REGION_SIZES,
  type RegionSize,
} from './poses.ts';
import { emptyScene, flatCard, PHONE_PICTURE, ROOM_LIGHT, table } from './presets.ts';
import type { Curl, Picture, Scene, SimCard, TableKind } from './scene.ts';
import { type Random, seeded } from './seeded.ts';

/** How a maker's photo of cards comes about; what is not given is drawn at random about ordinary values. */
export interface CaptureCase {
  readonly region: RegionSize;
  readonly cardCount: 4 | 6;
  readonly megapixels: number;
  readonly tiltDeg: number;
  /** True size of a printed millimetre. */
  readonly print?: { readonly across: number; readonly along: number };
  /** False: only what the solver models (no lift, curl, k3, decentring, ink spread). */
  readonly unmodelled: boolean;
  /** Which reading of "35 mm equivalent" the phone's maker follows; both are met. */
  readonly exif?: 'width' | 'diagonal' | 'none';
}

/**
 * A phone's main lens after its own correction: what is left of the distortion differs from phone to phone.
 * Spreads are judgement (FACTS section 9: under 1 % left); third radial and decentring terms are the simulator's own.
 */
export function phoneLens(megapixels: number, unmodelled: boolean, random: Random): Lens {
  const lens = plainLens(megapixels);
  const scale = lens.widthPx / 4000;
  return {
    ...lens,
    focalPx: (random.between(24, 28) / 36) * lens.widthPx,
    offsetUPx: random.normal(8 * scale),
    offsetVPx: random.normal(8 * scale),
    k1: random.normal(0.025),
    k2: random.normal(0.008),
    k3: unmodelled ? random.normal(0.004) : 0,
    p1: unmodelled ? random.normal(1.5e-4) : 0,
    p2: unmodelled ? random.normal(1.5e-4) : 0,
  };
}

/** A paper card is never quite flat: its edges or its middle stand up by some tenths of a millimetre. */
function paperCurl(random: Random): Curl {
  return {
    directionRad: random.between(0, Math.PI),
    riseMm: random.normal(0.3),
    halfSpanMm: 40,
    slope: random.normal(0.003),
  };
}

export function phonePicture(megapixels: number, random: Random): Picture {
  // Small pixels blur more; a small picture is a scaled-down one and is sharp.
  const blurSigmaPx = megapixels > 20 ? random.between(1.2, 2.5) : random.between(0.7, 1.5);
  return {
    ...PHONE_PICTURE,
    blurSigmaPx,
    falloff: random.between(0.1, 0.4),
    sharpen: random.between(0, 0.8),
  };
}

export const TABLES: readonly TableKind[] = ['plain', 'wood', 'cloth', 'grid'];

export function factsOf(camera: SimCamera, exif: 'width' | 'diagonal' | 'none'): Scene['facts'] {
  if (exif === 'none') return {};
  const share =
    exif === 'width' ? 36 / camera.widthPx : Math.hypot(36, 24) / Math.hypot(camera.widthPx, camera.heightPx);
  return { focalLength35Mm: Math.round(camera.focalPx * share) };
}

/** A scene of scale cards round an empty region, as the case says and otherwise as the seed draws it. */
export function captureScene(seed: number, how: CaptureCase): Scene {
  const random = seeded(seed * 7919 + 17);
  const { unmodelled } = how;
  const lens = phoneLens(how.megapixels, unmodelled, random);
  const spots = cardsAround(how.region, how.cardCount, random);
  const pose = {
    tiltRad: (how.tiltDeg * Math.PI) / 180,
    azimuthRad: random.between(0, 2 * Math.PI),
    rollRad: random.normal(0.05),
    target: { x: random.normal(8), y: random.normal(8) },
  };
  const camera = cameraAt(lens, {
    ...pose,
    distanceMm: distanceToShow(lens, pose, spots.flatMap(cardCorners)) * random.between(1, 1.12),
  });
  const print = how.print ?? { across: 1, along: 1 };
  // One printer, one paper: the ink spreads alike on all cards.
  const inkSpreadMm = unmodelled ? random.normal(0.05) : 0;
  const cards: SimCard[] = spots.map((spot: CardSpot) =>
    flatCard(spot, {
      print,
      ...(unmodelled && { inkSpreadMm, curl: paperCurl(random), heightMm: random.between(0, 0.1) }),
    }),
  );
  const light = {
    ...ROOM_LIGHT,
    color: [1, random.between(0.9, 1), random.between(0.75, 1)] as const,
    centre: { x: random.between(-300, 300), y: random.between(-300, 300) },
    halfAtMm: random.between(900, 3000),
    towards: { x: random.between(-0.7, 0.7), y: random.between(-0.7, 0.7) },
  };
  return emptyScene(camera, {
    seed,
    picture: phonePicture(how.megapixels, random),
    light,
    table: table(TABLES[random.below(4)]!),
    cards,
    facts: factsOf(camera, how.exif ?? (random.next() < 0.5 ? 'width' : 'diagonal')),
  });
}

/** Pairs of places inside a region, at least a fifth of its width apart: the ends of lengths to measure. */
export function lengthsIn(region: RegionSize, count: number, random: Random): [PlanePoint, PlanePoint][] {
  const [width, height] = REGION_SIZES[region];
  const place = (): PlanePoint => ({
    x: random.between(-width / 2, width / 2),
    y: random.between(-height / 2, height / 2),
  });
  const pairs: [PlanePoint, PlanePoint][] = [];
  while (pairs.length < count) {
    const [a, b] = [place(), place()];
    if (Math.hypot(a.x - b.x, a.y - b.y) > width / 5) pairs.push([a, b]);
  }
  return pairs;
}
