/** What is wrong with single cards, in words for the maker. */
import { type ImagePoint, meanPlacePx } from '../geometry/point.ts';
import type { Camera } from './camera.ts';
import type { SeenCard } from './card-points.ts';
import type { StrayLook, TargetFit } from './misfit.ts';
import type { CaptureWarning, CaptureWarningCode, UnreadCard } from './types.ts';

/** Ink this bright beside its paper shines. */
const SHINING_INK = 0.45;
/** A used card's points this far off, mm, show that it does not lie flat. */
const CROOKED_MM = 0.3;
/** A left-out card this far from any flat card is bent: one that merely lies higher or is larger stays flat. */
const BENT_MM = 0.08;
/** A card this much larger or smaller than the others is of another size, or at another height. */
const OTHER_SIZE = 0.0015;

function warn(code: CaptureWarningCode, message: string, cardId: number): CaptureWarning {
  return { code, message, cardId };
}

/** Faults seen on a card whether or not the solve uses it. */
export function sightWarnings(card: SeenCard): readonly CaptureWarning[] {
  const { id, faults } = card;
  const warnings: CaptureWarning[] = [];
  if (card.isCutOff) {
    warnings.push(
      warn(
        'card-cut-off',
        `Card ${id} reaches over the photo's border, so not all of its marks can be measured and the tolerance ` +
          'grows at that end. Move the card in or step back, so that every card is whole in the picture.',
        id,
      ),
    );
  }
  if (faults.includes('shining') || card.inkShare > SHINING_INK) {
    warnings.push(
      warn(
        'glare',
        `Light shines off card ${id}, so its black marks look pale and lengths at that end of the piece are less sure. ` +
          'Turn the lamp or the card, or photograph in even daylight without flash.',
        id,
      ),
    );
  }
  const covered = faults.filter((fault) => fault === 'covered').length;
  if (covered > 0) {
    warnings.push(
      warn(
        'card-covered',
        `${covered === 1 ? 'A mark' : `${covered} marks`} in the corners of card ${id} cannot be made out (covered, ` +
          "creased or smudged), so the card's square stands in for them, less exactly. Uncover the card's corners and keep it flat.",
        id,
      ),
    );
  }
  return warnings;
}

/** A used card whose points are off. */
export function crookedWarning(card: SeenCard, fit: TargetFit): CaptureWarning | undefined {
  if (fit.residualMm <= CROOKED_MM) return undefined;
  return warn(
    'card-bent',
    `Card ${card.id} does not lie flat: its points are ${fit.residualMm.toFixed(2)} mm off, which makes every length less ` +
      'sure. Flatten the card, or stick it down with a little tape, and take the photo again.',
    card.id,
  );
}

/** Why a card was left out. */
export function strayWarning(card: SeenCard, look: StrayLook): CaptureWarning {
  const { id } = card;
  const advice = 'The measurement goes on without it.';
  if (look.crookedMm > BENT_MM) {
    return warn(
      'card-bent',
      `Card ${id} is bent, or printed out of proportion: its points lie ${look.crookedMm.toFixed(2)} mm away from a flat card. ` +
        `${advice} Flatten it or print it afresh.`,
      id,
    );
  }
  if (Math.abs(look.size - 1) > OTHER_SIZE) {
    const percent = (100 * Math.abs(look.size - 1)).toFixed(1);
    const cause =
      look.size > 1
        ? `it lies about ${Math.max(1, Math.round(look.heightMm))} mm above the table (on the piece, or curled up?) or was printed larger`
        : 'it was printed smaller, or the other cards do not lie on its table';
    return warn(
      'card-other-size',
      `Card ${id} looks ${percent} % ${look.size > 1 ? 'larger' : 'smaller'} than the others: ${cause}. ${advice} ` +
        'Lay all cards on the table itself, and use cards from one print.',
      id,
    );
  }
  return warn(
    'card-left-out',
    `Card ${id} does not agree with the others, so it was not used. Check that it lies flat and that it is one of this set.`,
    id,
  );
}

/** The photo's middle, as a share of its sides, within which a card is neither left nor right, top nor bottom. */
const MIDDLE_SHARE = 0.3;

/** "at the left edge", "in the top right corner": where a place of the photo lies. */
function placeInPhoto(
  { u, v }: ImagePoint,
  { widthPx, heightPx }: Pick<Camera, 'widthPx' | 'heightPx'>,
): string {
  const side = (share: number, less: string, more: string): string =>
    Math.abs(share - 0.5) < MIDDLE_SHARE / 2 ? '' : share < 0.5 ? less : more;
  const words = [side(v / heightPx, 'top', 'bottom'), side(u / widthPx, 'left', 'right')].filter(Boolean);
  if (words.length === 2) return `in the ${words.join(' ')} corner`;
  return words.length === 1 ? `at the ${words[0]!} edge` : 'in the middle';
}

/** A card whose square could not be read. */
export function unreadWarning(
  { id, cornersPx, isCutOff }: UnreadCard,
  camera: Pick<Camera, 'widthPx' | 'heightPx'>,
): CaptureWarning {
  const name = `${id === undefined ? 'A scale card' : `Card ${id}`} ${placeInPhoto(meanPlacePx(cornersPx), camera)} of the photo`;
  return {
    code: 'card-unread',
    message: isCutOff
      ? `${name} was not used, because the photo's border cuts through its black square, so lengths at that end are less sure: ` +
        'move the card in or step back until every card is whole in the picture, and take the photo again.'
      : `${name} was not used, because part of its black square is covered or cannot be made out, so lengths at that end are less sure: ` +
        'lay the card clear of the pieces and out of shine, and take the photo again.',
    ...(id !== undefined && { cardId: id }),
  };
}

/** Two cards that contradict each other: neither can be left out. */
export function disagreementWarning(a: SeenCard, b: SeenCard): CaptureWarning {
  return warn(
    'card-other-size',
    `Cards ${a.id} and ${b.id} contradict each other: one is bent, lies higher or was printed at another size. With two cards ` +
      'nobody can tell which, so do not trust the lengths. Add more cards, all flat on the table, and take the photo again.',
    a.id,
  );
}

/** Ids that more than one card carries. */
export function twiceWarnings(cards: readonly SeenCard[]): readonly CaptureWarning[] {
  const ids = cards.map(({ id }) => id);
  return [...new Set(ids.filter((id, index) => ids.indexOf(id) !== index))].map((id) =>
    warn(
      'card-twice',
      `Card ${id} lies in the photo more than once. Cards that fit are still used, but a tape distance to card ${id} ` +
        'cannot be assigned. Use cards with different numbers.',
      id,
    ),
  );
}
