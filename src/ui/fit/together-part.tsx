import { ArrowUp, Check, Minus, PieChart, Plus } from 'lucide-react';
import type { GoingRound } from '../../build/going-round.ts';
import { setWrap } from '../../build/commands/pieces.ts';
import { changeRound, goRoundTogether } from '../../build/commands/rounds.ts';
import type { Build, Piece } from '../../build/types.ts';
import { wrapInForce } from '../../build/wrap-in-force.ts';
import { degreesOf } from '../../fit/coverage.ts';
import type { HeadRound } from '../../fit/round-head.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Figures } from '../controls/figures.tsx';
import { Notice } from '../controls/notice.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PickFrom } from '../controls/pick-from.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { closingOf, closingWords, coversTooMuch, seamPlaceWords } from './above-words.ts';

interface TogetherPartProps {
  readonly piece: Piece;
  readonly going: GoingRound;
  readonly laid: HeadRound;
  /** Fits all of them, undefined while they are as long as wanted. */
  readonly onFitAll: (() => void) | undefined;
}

/** The pieces that go round the head one after the other, and how they close. */
export function TogetherPart({ piece, going, laid, onFitAll }: TogetherPartProps) {
  const pieces = useBuild((build) => build.pieces);
  const { round, places } = going;
  const ids = places.map((place) => place.piece.id);
  // A piece that is cut several times may go in as often.
  const others = pieces.filter(
    ({ id, included, count, mirroredCount }) =>
      included && ids.filter((each) => each === id).length < count + mirroredCount,
  );
  const put = (words: string, pieceIds: readonly string[]) =>
    change(words, (build) =>
      round
        ? changeRound(build, { roundId: round.id, pieceIds })
        : goRoundTogether(build, { stamp: newStamp(), pieceIds }),
    );
  if (!round && others.length === 0) return null;
  return (
    <PanelPart title="Together round the head" icon={PieChart}>
      <p className="small quiet">
        {round
          ? 'In their order by the wearer’s left. Each is fitted to its own share of the way.'
          : 'This piece goes round alone. Front, sides and back that meet: put them in their order by the wearer’s left.'}
      </p>
      {round && (
        <ol className="round-list">
          {places.map((place, i) => (
            <li key={`${place.piece.id} ${i}`} className="round-place">
              <span className="round-number" aria-hidden="true">
                {i + 1}
              </span>
              <span>
                {place.piece.id === piece.id ? <strong>{place.piece.name}</strong> : place.piece.name}
                <span className="small quiet">
                  {' '}
                  {mmWords(degreesOf(place.need.coverageRad), 0)}°, {mmWords(place.patternMm)} mm of{' '}
                  {mmWords(place.wantedMm)} mm
                </span>
              </span>
              <span className="row">
                {i > 0 && (
                  <ActionButton
                    kind="quiet"
                    icon={ArrowUp}
                    aria-label={`${place.piece.name} earlier`}
                    onPress={() => put(`${place.piece.name} earlier`, swapped(ids, i))}
                  >
                    Earlier
                  </ActionButton>
                )}
                <ActionButton
                  kind="quiet"
                  icon={Minus}
                  aria-label={`Take ${place.piece.name} out`}
                  onPress={() =>
                    put(
                      `Take ${place.piece.name} out`,
                      ids.filter((_, k) => k !== i),
                    )
                  }
                >
                  Out
                </ActionButton>
              </span>
            </li>
          ))}
        </ol>
      )}
      {others.length > 0 && (
        <div className="row">
          {others.map(({ id, name }) => (
            <ActionButton key={id} icon={Plus} onPress={() => put(`Add ${name}`, [...ids, id])}>
              {name}
            </ActionButton>
          ))}
        </div>
      )}
      {round && <Closing {...{ going, laid, onFitAll }} />}
    </PanelPart>
  );
}

function swapped(ids: readonly string[], i: number): string[] {
  return ids.map((id, k) => (k === i ? ids[i - 1]! : k === i - 1 ? ids[i]! : id));
}

/** The whole way round, or what is asked of all pieces together, shared out by their lengths. */
function sharedOut(build: Build, { places, patternMm }: GoingRound): Build {
  return places.reduce((shared, { piece, patternMm: ownMm }) => {
    const wrap = wrapInForce(shared, piece);
    if (!wrap) return shared;
    return setWrap(shared, {
      pieceId: piece.id,
      wrap: { ...wrap, coverageRad: (2 * Math.PI * ownMm) / patternMm },
    });
  }, build);
}

function Closing({ going, laid, onFitAll }: Omit<TogetherPartProps, 'piece'>) {
  const round = going.round!;
  const closing = closingOf(going, laid);
  const isOff = closing === 'gap' || closing === 'overlap';
  return (
    <>
      <PickFrom
        label="They close"
        options={[
          { id: 'beside-first', words: `beside ${going.places[0]!.piece.name}, which sits at the front` },
          { id: 'front', words: 'in the middle of the front' },
          { id: 'back', words: 'in the middle of the back' },
        ]}
        value={round.closesAt}
        onChange={(closesAt) =>
          change('Where they close', (build) => changeRound(build, { roundId: round.id, closesAt }))
        }
      />
      <Figures
        rows={[
          ['All together', `${mmWords(going.patternMm)} mm`],
          ['Wanted', `${mmWords(going.wantedMm)} mm, ${mmWords(degreesOf(going.coverageRad), 0)}°`],
          ['Where they close', closingWords(closing, laid.gapMm)],
        ]}
      />
      <ul className="small quiet" aria-label="Seams, along the head from the middle of the brow">
        {laid.seams.map((seam) => (
          <li key={seam.between.join()}>
            Seam of {seam.between.join(' and ')}: {seamPlaceWords(seam)}
          </li>
        ))}
      </ul>
      {coversTooMuch(going) && (
        <Notice tone="look">
          <p>
            Their shares come to {mmWords(degreesOf(going.coverageRad), 0)}°, more than once round the head.
            Share it out by their lengths, or set how far each one goes.
          </p>
        </Notice>
      )}
      {isOff && (
        <Notice tone="look">
          <p>
            As they are cut, {closing === 'gap' ? 'a gap is left' : 'the ends lie over each other'} by{' '}
            <strong>{mmWords(Math.abs(laid.gapMm))} mm</strong>, measured in the middle of the foam.
          </p>
        </Notice>
      )}
      <div className="row">
        <ActionButton onPress={() => change('Share the way round', (build) => sharedOut(build, going))}>
          Share all round by length
        </ActionButton>
        {onFitAll && (
          <ActionButton icon={Check} onPress={onFitAll}>
            {`Fit all ${going.places.length}`}
          </ActionButton>
        )}
      </div>
    </>
  );
}
