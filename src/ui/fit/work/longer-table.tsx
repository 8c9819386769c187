import { useMemo, useState } from 'react';
import { lastRevision } from '../../../build/lookups.ts';
import type { Piece } from '../../../build/types.ts';
import type { WrapInForce } from '../../../build/wrap-in-force.ts';
import { cutLineOf } from '../../../fit/scale-piece.ts';
import { chordsOf } from '../../../fit/spread/slash.ts';
import { boundsOf, flattenPath } from '../../../geometry/measure.ts';
import type { PlanePoint } from '../../../geometry/point.ts';
import { mix } from '../../../geometry/vector.ts';
import { newStamp } from '../../bench.ts';
import { Choice } from '../../controls/choice.tsx';
import { mmWords } from '../../controls/number-words.ts';
import { usePalette } from '../../look/palette.ts';
import { Ghost, Sheet } from '../../worktable/piece-shapes.tsx';
import { PlaneHandle } from '../../worktable/plane-handle.tsx';
import { onCanvas, PlaneGrid, PlaneLine, PlaneSpan } from '../../worktable/plane-shapes.tsx';
import { hasWords, isDrawn, PlaneWords } from '../../worktable/plane-words.tsx';
import { grown, withRoomAbove } from '../../worktable/room.ts';
import { ScreenLabel } from '../../worktable/screen-label.tsx';
import { PlaneTable } from '../../worktable/worktable.tsx';
import { useSpread } from './use-spread.ts';
import { changeSlash, type DrawnSlash, setSlashes, useWork, work } from './work-store.ts';

const DRAWN_OPENING_MM = 5;
/** The figure stands near the first end, clear of what lies in the middle of the piece. */
const LABEL_SHARE = 0.2;

/** The piece with the lines that it opens at, and what it becomes. */
export function LongerTable({ piece, wrap }: { readonly piece: Piece; readonly wrap: WrapInForce }) {
  const { slashes, outcome } = useSpread(piece, wrap);
  const drawing = useWork((each) => each.drawing);
  const palette = usePalette();
  const [view, setView] = useState<'now' | 'opened'>('now');
  const { lines } = lastRevision(piece);
  const spread = outcome?.ok && slashes.length > 0 ? outcome.value : undefined;
  const bounds = useMemo(
    () => withRoomAbove(grown(boundsOf(lines.flatMap(({ path }) => flattenPath(path, 0.5))), 0.14)),
    [lines],
  );
  const shown = view === 'opened' && spread ? spread.lines : lines;
  const tap = (at: PlanePoint) => {
    if (!drawing) return;
    if (drawing === 'first') {
      work.setState({ drawing: at });
      return;
    }
    const slash: DrawnSlash = {
      id: newStamp().id,
      from: drawing,
      to: at,
      openingMm: DRAWN_OPENING_MM,
      opens: 'parallel',
    };
    setSlashes(piece.id, [...slashes, slash]);
    work.setState({ drawing: undefined });
  };
  return (
    <PlaneTable
      label={`${piece.name} with ${slashes.length} lines to open it at`}
      fitKey={`longer ${piece.id}`}
      boundsMm={bounds}
      onTap={tap}
      isPicking={drawing !== undefined}
      overlay={
        spread && (
          <Choice
            label="Which piece is shown"
            options={[
              { id: 'now', words: 'As it is' },
              { id: 'opened', words: 'Opened' },
            ]}
            value={view}
            onChange={setView}
          />
        )
      }
    >
      <PlaneGrid boundsMm={grown(bounds, 1)} />
      <Sheet lines={shown} />
      {shown.filter(isDrawn).map(({ id, kind, path }) => (
        <PlaneLine key={id} kind={kind} path={path} />
      ))}
      {shown.filter(hasWords).map((line) => (
        <PlaneWords key={line.id} line={line} color={palette.ink} />
      ))}
      {spread && view === 'now' && <Ghost lines={spread.lines} isAhead />}
      {spread && view === 'opened' && <Ghost lines={lines} />}
      {view === 'now' &&
        slashes.map((slash, index) => (
          <SlashOnPiece key={slash.id} piece={piece} slash={slash} index={index} />
        ))}
      {drawing && drawing !== 'first' && <ScreenLabel {...onCanvas(drawing)} text="begins here" />}
    </PlaneTable>
  );
}

function SlashOnPiece({
  piece,
  slash,
  index,
}: {
  readonly piece: Piece;
  readonly slash: DrawnSlash;
  readonly index: number;
}) {
  const palette = usePalette();
  const outline = cutLineOf(lastRevision(piece).lines);
  const chords = useMemo(() => (outline ? chordsOf(outline, slash) : []), [outline, slash]);
  const ends = { from: chords[0]?.from ?? slash.from, to: chords.at(-1)?.to ?? slash.to };
  return (
    <>
      <PlaneSpan from={ends.from} to={ends.to} color={palette.accent} dash={[10, 6]} />
      <ScreenLabel
        {...onCanvas(mix(ends.from, ends.to, LABEL_SHARE))}
        text={`${index + 1}: ${slash.openingMm >= 0 ? '+' : '−'}${mmWords(Math.abs(slash.openingMm))}`}
        side="over"
      />
      {(['from', 'to'] as const).map((end) => (
        <PlaneHandle
          key={end}
          at={ends[end]}
          onStart={() => changeSlash(piece.id, slash.id, ends)}
          onMove={(to) => {
            changeSlash(piece.id, slash.id, { [end]: to });
            return to;
          }}
          onEnd={() => undefined}
          onCancel={() => changeSlash(piece.id, slash.id, slash)}
        />
      ))}
    </>
  );
}
