import { castDraft, produce } from 'immer';
import { LIMITS } from '../limits.ts';
import type { Lining, Round } from '../fit-types.ts';
import type { Build } from '../types.ts';
import { piecesOf } from '../lookups.ts';
import { wrapInForce } from '../wrap-in-force.ts';
import { checked, itemWithId, type Stamp } from './arguments.ts';
import { setWrap } from './pieces.ts';

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

/** Pieces that go round together are held on alike: all take ease and way of holding of the first. */
function heldAlike(build: Build, round: Pick<Round, 'places'>): Build {
  const [first, ...others] = piecesOf(build, round);
  const model = first && wrapInForce(build, first);
  if (!model) return build;
  return others.reduce((alike, { id }) => {
    const piece = itemWithId(alike.pieces, id, 'piece');
    const wrap = wrapInForce(alike, piece);
    if (!wrap || (wrap.easeMm === model.easeMm && wrap.hold === model.hold)) return alike;
    const { hold: _, ...rest } = wrap;
    const next = { ...rest, easeMm: model.easeMm, ...(model.hold && { hold: model.hold }) };
    return setWrap(alike, { pieceId: id, wrap: next });
  }, build);
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
  const round: Round = { id: stamp.id, places, closesAt: 'beside-first' };
  return heldAlike(withRounds(build, [...others, round]), round);
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
  if (places.length < 2) return withRounds(build, others);
  return heldAlike(withRounds(build, [...others, changed]), changed);
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
