import { Fragment, useMemo } from 'react';
import { Circle, Line } from 'react-konva';
import type { Capture, CardFinding, CardMark } from '../../capture/types.ts';
import { type ImagePoint, meanPlacePx } from '../../geometry/point.ts';
import { residualWords } from '../controls/number-words.ts';
import { PhotoLine } from '../worktable/photo-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import { isByTheWay } from './capture-state.ts';
import { cardPointInPhoto, type MarkSpan, marksInPhoto } from './marks.ts';

/** Lines on the photo keep one set of colours in both themes, for the photo does not change with them. */
const FOUND = '#1d6355';
const AMISS = '#b25a00';
const TAPED = '#7a2f7a';

/** Cards that a warning speaks of, or that the solve left out. */
function amissCards(capture: Capture): ReadonlySet<number> {
  const ids = capture.warnings.flatMap(({ code, cardId }) =>
    cardId === undefined || isByTheWay(code) ? [] : [cardId],
  );
  return new Set([...ids, ...capture.cards.filter(({ used }) => !used).map(({ id }) => id)]);
}

interface CardsInPhotoProps {
  readonly capture: Capture;
  /** The card that the maker points at in the panel. */
  readonly pointedId: number | undefined;
}

/** The cards found: outlined, their points marked, each with its number and how far off it lies. */
export function CardsInPhoto({ capture, pointedId }: CardsInPhotoProps) {
  const amiss = useMemo(() => amissCards(capture), [capture]);
  return capture.cards.map((card, index) => (
    // The same id may be seen twice; that is one of the warnings.
    <CardInPhoto
      key={`${card.id} ${index}`}
      card={card}
      isAmiss={amiss.has(card.id)}
      isPointed={card.id === pointedId}
    />
  ));
}

/** Labels of what the photo's border cuts stay this far inside it, screen px: half of the words' width and height. */
const INSIDE_PX = 34;

/** Cards that lie in the photo but could not be read: outlined as far as they can lie, with their number if it is known. */
export function UnreadInPhoto({ capture: { unreadCards = [], camera } }: Pick<CardsInPhotoProps, 'capture'>) {
  const inset = INSIDE_PX / useZoom();
  const within = (value: number, size: number): number => Math.max(inset, Math.min(size - inset, value));
  return unreadCards.map(({ id, cornersPx }) => {
    const middleU = meanPlacePx(cornersPx).u;
    const topV = Math.min(...cornersPx.map(({ v }) => v));
    return (
      <Fragment key={`${middleU} ${topV}`}>
        <PhotoLine points={cornersPx} closed color={AMISS} widthPx={2.5} dash={[3, 5]} />
        <ScreenLabel
          x={within(middleU, camera.widthPx)}
          y={within(topV, camera.heightPx)}
          text={id === undefined ? 'not read' : `${id}: not read`}
          color={AMISS}
        />
      </Fragment>
    );
  });
}

/** Below this size on the screen a card has room for its number only; the rest stands in the panel. */
const TIGHT_PX = 64;

interface CardInPhotoProps {
  readonly card: CardFinding;
  readonly isAmiss: boolean;
  readonly isPointed: boolean;
}

function CardInPhoto({ card, isAmiss, isPointed }: CardInPhotoProps) {
  const zoom = useZoom();
  const color = isAmiss ? AMISS : FOUND;
  const top = card.cornersPx.reduce((a, b) => (b.v < a.v ? b : a));
  const low = card.cornersPx.reduce((a, b) => (b.v > a.v ? b : a));
  const centreU = meanPlacePx(card.cornersPx).u;
  const isTight = zoom * Math.hypot(top.u - low.u, top.v - low.v) < TIGHT_PX;
  const words = isTight
    ? String(card.id)
    : card.used
      ? `${card.id}: ${residualWords(card.residualMm)}`
      : `${card.id}: left out`;
  return (
    <>
      <PhotoLine
        points={card.cornersPx}
        closed
        color={color}
        widthPx={isPointed ? 4.5 : 2.5}
        {...(isAmiss && { dash: [8, 5] })}
      />
      {card.points.map(({ kind, seenPx }) => (
        <Circle
          key={`${kind} ${seenPx.u} ${seenPx.v}`}
          x={seenPx.u}
          y={seenPx.v}
          radius={(kind === 'hourglass' ? 5 : 3) / zoom}
          stroke={color}
          strokeWidth={2}
          strokeScaleEnabled={false}
          fill="#ffffff99"
          listening={false}
        />
      ))}
      <ScreenLabel x={centreU} y={top.v} text={words} color={isAmiss ? AMISS : FOUND} />
    </>
  );
}

/** A distance between two marks, as a dimension line on the photo. */
export function SpanInPhoto({
  capture,
  span,
  words,
}: {
  readonly capture: Capture;
  readonly span: MarkSpan;
  readonly words: string;
}) {
  const from = cardPointInPhoto(capture, span.fromMm);
  const to = cardPointInPhoto(capture, span.toMm);
  return (
    <>
      <PhotoLine points={[from, to]} closed={false} color={TAPED} dash={[10, 6]} />
      <ScreenLabel x={(from.u + to.u) / 2} y={(from.v + to.v) / 2} text={words} color={TAPED} />
    </>
  );
}

/** While the maker picks marks: every mark ringed, the first one picked filled. */
export function MarksToPick({
  capture,
  picked,
}: {
  readonly capture: Capture;
  readonly picked: CardMark | undefined;
}) {
  const zoom = useZoom();
  return marksInPhoto(capture).map(({ mark, at }) => {
    const isPicked = mark.cardId === picked?.cardId && mark.mark === picked.mark;
    return <MarkRing key={`${mark.cardId} ${mark.mark}`} at={at} radius={14 / zoom} isPicked={isPicked} />;
  });
}

function MarkRing({
  at,
  radius,
  isPicked,
}: {
  readonly at: ImagePoint;
  readonly radius: number;
  readonly isPicked: boolean;
}) {
  return (
    <>
      <Circle
        x={at.u}
        y={at.v}
        radius={radius}
        stroke="#ffffff"
        strokeWidth={6}
        strokeScaleEnabled={false}
        listening={false}
      />
      <Circle
        x={at.u}
        y={at.v}
        radius={radius}
        stroke={TAPED}
        strokeWidth={3}
        strokeScaleEnabled={false}
        {...(isPicked && { fill: `${TAPED}88` })}
        listening={false}
      />
      <Line
        points={[at.u - radius / 2, at.v, at.u + radius / 2, at.v]}
        stroke={TAPED}
        strokeWidth={1.5}
        strokeScaleEnabled={false}
        listening={false}
      />
    </>
  );
}
