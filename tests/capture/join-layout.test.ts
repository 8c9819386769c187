import { describe, expect, it } from 'vitest';
import { differentSetUps } from '../../src/capture/join-layout.ts';
import { joinPhotos } from '../../src/capture/join-photos.ts';
import { solveWithoutStrays } from '../../src/capture/misfit.ts';
import { captureOf } from '../../src/capture/solved-capture.ts';
import { cameraOver, type RenderedCard, seededNormal } from './card-renderer.ts';
import { inputOf, sightingOf } from './synthetic.ts';

const OPTIONS = { facts: { focalLength35Mm: 26 }, thicknessMm: 1 };
const CARDS: readonly RenderedCard[] = [
  { id: 0, centre: { x: -200, y: 120 }, turnRad: 0.1 },
  { id: 1, centre: { x: 190, y: 110 }, turnRad: 1.5 },
  { id: 2, centre: { x: 180, y: -120 }, turnRad: -0.2 },
  { id: 3, centre: { x: -190, y: -130 }, turnRad: 0.3 },
];

function photoOf(cards: readonly RenderedCard[], seed: number) {
  const camera = cameraOver({ widthPx: 4032, heightPx: 3024, focalPx: 2912, distanceMm: 560, tiltRad: 0.15 });
  const normal = seededNormal(seed);
  const seen = cards.map((card) => sightingOf(camera, card, 0.1, normal));
  const solved = solveWithoutStrays(inputOf(camera, seen, OPTIONS.facts))!;
  return { capture: captureOf(solved, seen, OPTIONS), options: OPTIONS };
}

/** The same numbers, laid out anew. */
const OTHERS = CARDS.map((card, k) => ({ ...card, centre: CARDS[(k + 1) % 4]!.centre, turnRad: 2 * k }));

describe('photos with cards of the same numbers', () => {
  it('are told to be of different set-ups when the cards lie quite differently', () => {
    const outcome = joinPhotos([photoOf(CARDS, 1), photoOf(OTHERS, 2)]);
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'different-set-ups' } });
    if (!outcome.ok) {
      expect(outcome.problem.message).toContain('Photos 1 and 2 both show cards 0, 1, 2 and 3');
      expect(outcome.problem.message).not.toContain('NaN');
    }
  });

  it('with two shared cards only, too', () => {
    const outcome = joinPhotos([
      photoOf(CARDS.slice(0, 3), 1),
      photoOf([OTHERS[0]!, OTHERS[2]!, CARDS[3]!], 2),
    ]);
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'different-set-ups' } });
  });

  it('are of one set-up when nothing was moved, or one card of several was', () => {
    const moved = CARDS.map((card) => (card.id === 2 ? { ...card, centre: { x: 80, y: -60 } } : card));
    const captures = (cards: readonly RenderedCard[]) => [
      photoOf(CARDS, 1).capture,
      photoOf(cards, 2).capture,
    ];
    expect(differentSetUps(captures(CARDS))).toBeUndefined();
    expect(differentSetUps(captures(moved))).toBeUndefined();
  });
});
