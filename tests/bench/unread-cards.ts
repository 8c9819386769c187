/**
 * Are cards that could not be read told? `npx tsx tests/bench/unread-cards.ts [--photos N] [--megapixels N] [--first SEED]`:
 * N seeded photos (30) of six cards, 3 MP unless told otherwise: in a third one card lies half under a piece, in a third
 * the photo's border passes near its middle, in a third all lie right. Prints what was told of the cards that nothing read.
 */
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { unreadCards } from '../../src/capture/unread-cards.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { captureScene } from '../simulator/captures.ts';
import { project } from '../simulator/lens.ts';
import { photograph } from '../simulator/photograph.ts';
import { rectangleOutline } from '../simulator/presets.ts';
import type { Rgb, Scene, SimCard } from '../simulator/scene.ts';
import { type Random, seeded } from '../simulator/seeded.ts';
import { median } from './length-errors.ts';

function numberAfter(flag: string, fallback: number): number {
  const at = process.argv.indexOf(flag);
  return at < 0 ? fallback : Number(process.argv[at + 1]);
}
const PHOTOS = numberAfter('--photos', 30);
const MEGAPIXELS = numberAfter('--megapixels', 3);
const FIRST = numberAfter('--first', 1);

const PIECES: readonly Rgb[] = [
  [0.5, 0.33, 0.18],
  [0.02, 0.025, 0.03],
  [0.7, 0.68, 0.62],
];

/** A piece whose edge passes within 10 mm of the card's middle. */
function covered(scene: Scene, { centre }: SimCard, random: Random): Scene {
  const angle = random.between(0, 2 * Math.PI);
  const away = 50 + random.between(-10, 10);
  const middle = { x: centre.x + away * Math.cos(angle), y: centre.y + away * Math.sin(angle) };
  const over = {
    outer: rectangleOutline(middle, 100, 130, angle),
    holes: [],
    thicknessMm: 0.3,
    heightMm: 1,
    color: PIECES[random.below(PIECES.length)]!,
  };
  return { ...scene, pieces: [...scene.pieces, over] };
}

/** The card moved outward until the photo's border is near its middle, turned anyhow. */
function cutOff(scene: Scene, card: SimCard, random: Random): Scene {
  const { camera } = scene;
  const length = Math.hypot(card.centre.x, card.centre.y);
  const way = { x: card.centre.x / length, y: card.centre.y / length };
  const roomMm = random.between(-8, 15);
  let { centre } = card;
  const shows = (x: number, y: number): boolean => {
    const { u, v } = project(camera, x, y, 0.1);
    return u > 0 && v > 0 && u < camera.widthPx && v < camera.heightPx;
  };
  while (shows(centre.x + way.x * (roomMm + 1), centre.y + way.y * (roomMm + 1)))
    centre = { x: centre.x + way.x, y: centre.y + way.y };
  const moved = { ...card, centre, turnRad: random.between(0, 2 * Math.PI) };
  return { ...scene, cards: scene.cards.map((each) => (each === card ? moved : each)) };
}

const vision = await loadVisionInNode();
const counts = { unread: 0, told: 0, named: 0, misnamed: 0, falseAlarms: 0 };
const times: number[] = [];
for (let seed = FIRST; seed < FIRST + PHOTOS; seed++) {
  const random = seeded(seed + 77);
  const tiltDeg = random.between(0, 28);
  const made = captureScene(seed, {
    cardCount: 6,
    region: 'A4',
    megapixels: MEGAPIXELS,
    tiltDeg,
    unmodelled: true,
  });
  const card = made.cards[random.below(made.cards.length)]!;
  const scene = seed % 3 === 0 ? made : (seed % 3 === 1 ? covered : cutOff)(made, card, random);
  const photo = await photograph(scene);
  const outcome = capturePhoto(vision, photo, { facts: scene.facts, thicknessMm: 0.2 });
  if (!outcome.ok) {
    console.log(seed, outcome.problem.code);
    continue;
  }
  const start = performance.now();
  const found = unreadCards(photo, outcome.value);
  times.push(performance.now() - start);
  const isUnread = outcome.value.cards.every(({ id }) => id !== card.id);
  const told = found.slice(0, isUnread ? 1 : 0);
  counts.unread += isUnread ? 1 : 0;
  counts.told += told.length;
  counts.named += told.filter(({ id }) => id === card.id).length;
  counts.misnamed += told.filter(({ id }) => id !== undefined && id !== card.id).length;
  counts.falseAlarms += found.length - told.length;
}
const { unread, told, named, misnamed, falseAlarms } = counts;
console.log(
  `${PHOTOS} photos, ${unread} with a card that nothing read: ${told} told, ${named} by its number, ${misnamed} by a wrong one; ` +
    `${falseAlarms} false alarms; ${median(times).toFixed(0)} ms`,
);
