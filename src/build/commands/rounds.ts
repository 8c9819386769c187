import { castDraft, produce } from 'immer';
import { LIMITS } from '../limits.ts';
import type { Lining, Round } from '../fit-types.ts';
import type { Build } from '../types.ts';
import { checked, itemWithId, type Stamp } from './arguments.ts';

/** Takes pieces out of the rounds, and drops what is no longer a round of at least two places. */
function without(rounds: readonly Round[], pieceIds: readonly string[]): Round[] {
  return rounds
    .map((round) => ({ ...round, places: round.places.filter(({ pieceId }) => !pieceIds.includes(pieceId)) }))
    .filter(({ places }) => places.length > 1);
}

/** Leaves no empty list behind, so that a build without rounds is the build it was before. */
function withRounds(build: Build, rounds: readonly Round[]): Build {
  return produce(build, (draft) => {
    if (rounds.length > 0) draft.rounds = castDraft([...rounds]);
    else delete draft.rounds;
  });
}

/**
 * Lets pieces go round the head together, in their order by the wearer's left; each leaves the round it was in. It
 * closes beside the first piece until told otherwise.
 */
export function goRoundTogether(
  build: Build,
  { stamp, pieceIds }: { readonly stamp: Stamp; readonly pieceIds: readonly string[] },
): Build {
  const places = pieceIds.map((id) => ({ pieceId: itemWithId(build.pieces, id, 'piece').id }));
  if (places.length < 2) throw new RangeError('Pieces that go round together are at least two');
  const others = without(build.rounds ?? [], pieceIds);
  return withRounds(build, [...others, { id: stamp.id, places, closesAt: 'beside-first' }]);
}

/** Changes the order, the pieces or the closing of a round; with fewer than two places left it is dissolved. */
export function changeRound(
  build: Build,
  {
    roundId,
    pieceIds,
    closesAt,
  }: {
    readonly roundId: string;
    readonly pieceIds?: readonly string[];
    readonly closesAt?: Round['closesAt'];
  },
): Build {
  const rounds = build.rounds ?? [];
  const round = itemWithId(rounds, roundId, 'round');
  const places = pieceIds
    ? pieceIds.map((id) => ({ pieceId: itemWithId(build.pieces, id, 'piece').id }))
    : round.places;
  const others = without(
    rounds.filter(({ id }) => id !== roundId),
    pieceIds ?? [],
  );
  const changed = { ...round, places, closesAt: closesAt ?? round.closesAt };
  return withRounds(build, places.length > 1 ? [...others, changed] : others);
}

/** Sets the thickness of liner and padding, mm as worn; two zeros take the lining away. */
export function setLining(build: Build, change: Partial<Lining>): Build {
  const { linerMm, paddingMm } = { linerMm: 0, paddingMm: 0, ...build.lining, ...change };
  checked('Liner', linerMm, LIMITS.liningMm);
  checked('Padding', paddingMm, LIMITS.liningMm);
  return produce(build, (draft) => {
    if (linerMm + paddingMm > 0) draft.lining = { linerMm, paddingMm };
    else delete draft.lining;
  });
}
