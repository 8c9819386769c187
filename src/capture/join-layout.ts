/** Do photos show the same set-up, or only cards of the same numbers? */
import { mover } from '../geometry/motion.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { fitRigid } from '../geometry/register.ts';
import { MARK_CENTRES } from './card.ts';
import { pointOfCard, sharedIds } from './join-start.ts';
import type { Capture } from './types.ts';

/** Cards of one set-up lie alike to this, mm, RMS of their marks, even when one was pushed a little ... */
const ALIKE_MM = 20;

function marksOf({ cards, printScale }: Capture, id: number): readonly PlanePoint[] {
  const { centre, turnRad } = cards.find((card) => card.id === id && card.used)!;
  return MARK_CENTRES.map((at) => pointOfCard({ ...centre, turnRad }, at, printScale));
}

/** How far the shared cards of two photos lie off each other at best, mm RMS. */
function misfitMm(a: Capture, b: Capture, ids: readonly number[]): number {
  return fitRigid(
    ids.flatMap((id) => marksOf(a, id)),
    ids.flatMap((id) => marksOf(b, id)),
  ).rmsMm;
}

export interface DifferentSetUps {
  /** Places in the list of photos. */
  readonly photos: readonly [number, number];
  readonly cardIds: readonly number[];
  /** Farthest that a card lies from where the other photo has it, mm. */
  readonly offMm: number;
}

/**
 * Two photos that share cards which lie wholly differently in each, however one lays them on each other; one card of
 * three or more may have been moved (that is told apart later). Undefined when all photos can be of one set-up.
 */
export function differentSetUps(captures: readonly Capture[]): DifferentSetUps | undefined {
  const shared = [...sharedIds(captures, new Set())];
  for (let a = 0; a < captures.length; a++) {
    for (let b = a + 1; b < captures.length; b++) {
      const ids = shared.filter(([, photos]) => photos.includes(a) && photos.includes(b)).map(([id]) => id);
      if (ids.length < 2) continue;
      const [first, second] = [captures[a]!, captures[b]!];
      const choices = ids.length < 3 ? [ids] : ids.map((one) => ids.filter((id) => id !== one));
      if (Math.min(...choices.map((some) => misfitMm(first, second, some))) <= ALIKE_MM) continue;
      return { photos: [a, b], cardIds: ids, offMm: farthestOff(first, second, ids) };
    }
  }
  return undefined;
}

function farthestOff(a: Capture, b: Capture, ids: readonly number[]): number {
  const [from, to] = [a, b].map((capture) => ids.flatMap((id) => marksOf(capture, id)));
  const lay = mover(fitRigid(from!, to!).motion);
  return Math.max(
    ...from!.map((point, i) => {
      const { x, y } = lay(point);
      return Math.hypot(x - to![i]!.x, y - to![i]!.y);
    }),
  );
}
