/** Tape distances: from the maker's entry to the solve and back into words. */
import { MARK_CENTRES } from './card.ts';
import type { SeenCard } from './card-points.ts';
import type { Solution } from './solve.ts';
import { placePoint } from './solve-rows.ts';
import type { SolveTape } from './solve-state.ts';
import type { CaptureWarning, CardMark, TapeDistance } from './types.ts';

const DISAGREES_SIGMAS = 3;
const MARK_NAMES = ['top left', 'top right', 'bottom right', 'bottom left'] as const;

const nameOf = ({ cardId, mark }: CardMark): string => `card ${cardId} (${MARK_NAMES[mark]})`;

/** Place in the list of the one card with this id, or -1 when none or several carry it. */
function onlyCard(cards: readonly SeenCard[], id: number): number {
  const first = cards.findIndex((card) => card.id === id);
  return cards.some((card, index) => card.id === id && index !== first) ? -1 : first;
}

interface AssignedTape {
  readonly tape: TapeDistance;
  readonly fromCard: number;
  readonly toCard: number;
}

/** Assigns tapes to cards of a list; -1 where the card is not there or not the only one with its id. */
function assignTapes(tapes: readonly TapeDistance[], cards: readonly SeenCard[]): readonly AssignedTape[] {
  return tapes.map((tape) => ({
    tape,
    fromCard: onlyCard(cards, tape.from.cardId),
    toCard: onlyCard(cards, tape.to.cardId),
  }));
}

const isUsable = ({ tape, fromCard, toCard }: AssignedTape): boolean =>
  fromCard >= 0 && toCard >= 0 && !(fromCard === toCard && tape.from.mark === tape.to.mark);

/** The tapes that the solve can use, by places in the card list. */
export function solveTapes(tapes: readonly TapeDistance[], cards: readonly SeenCard[]): readonly SolveTape[] {
  return assignTapes(tapes, cards)
    .filter(isUsable)
    .map(({ tape, fromCard, toCard }) => ({
      fromCard,
      toCard,
      fromMark: tape.from.mark,
      toMark: tape.to.mark,
      lengthMm: tape.lengthMm,
      doubtMm: tape.doubtMm,
    }));
}

/** Tapes that were not used, and tapes that contradict the picture; `cards` are those that the solve used. */
export function tapeWarnings(
  tapes: readonly TapeDistance[],
  { problem, state }: Solution,
  cards: readonly SeenCard[],
): readonly CaptureWarning[] {
  return assignTapes(tapes, cards).flatMap((assigned): CaptureWarning[] => {
    const { tape, fromCard, toCard } = assigned;
    const span = `from ${nameOf(tape.from)} to ${nameOf(tape.to)}`;
    if (!isUsable(assigned)) {
      return [
        {
          code: 'tape-unused',
          message:
            `The tape distance ${span} could not be used, since both marks must belong to different places on cards that were found once each. ` +
            'The scale comes from the print alone. Measure between two marks of cards in this photo.',
        },
      ];
    }
    const a = placePoint(problem, state, fromCard, MARK_CENTRES[tape.from.mark]);
    const b = placePoint(problem, state, toCard, MARK_CENTRES[tape.to.mark]);
    const off = tape.lengthMm - Math.hypot(b.x - a.x, b.y - a.y);
    if (Math.abs(off) <= DISAGREES_SIGMAS * tape.doubtMm) return [];
    return [
      {
        code: 'tape-disagrees',
        message:
          `The tape distance ${span} is ${Math.abs(off).toFixed(1)} mm ${off > 0 ? 'longer' : 'shorter'} than the cards say, so one of them is wrong and the scale is in doubt. ` +
          'Measure it again from point to point, and check the print with the check bars.',
      },
    ];
  });
}
