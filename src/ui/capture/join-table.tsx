import { type ReactNode, useMemo } from 'react';
import { Line } from 'react-konva';
import type { JoinRecord } from '../../build/join-types.ts';
import { lastRevision } from '../../build/lookups.ts';
import type { CaptureRecord, Piece } from '../../build/types.ts';
import { type Camera, imageToPlane } from '../../capture/camera.ts';
import { CARD_CORNERS } from '../../capture/card.ts';
import type { CardFinding } from '../../capture/types.ts';
import { boundsOf } from '../../geometry/measure.ts';
import { mover } from '../../geometry/motion.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { useBuild } from '../bench.ts';
import { usePalette } from '../look/palette.ts';
import { PlaneGrid, PlaneLine } from '../worktable/plane-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { PlaneTable } from '../worktable/worktable.tsx';

interface JoinTableProps {
  readonly join: JoinRecord;
  readonly overlay: ReactNode;
}

/** Points along each side of a photo: its border is bent by the lens. */
const SIDE_STEPS = 12;

/** The border of a photo on the table, mm; corners that see past the table are left out. */
function borderOnTable(camera: Camera): PlanePoint[] {
  const corners = [
    [0, 0],
    [camera.widthPx - 1, 0],
    [camera.widthPx - 1, camera.heightPx - 1],
    [0, camera.heightPx - 1],
  ] as const;
  return corners
    .flatMap(([u, v], k) => {
      const [nextU, nextV] = corners[(k + 1) % 4]!;
      return Array.from({ length: SIDE_STEPS }, (_, step) => {
        const t = step / SIDE_STEPS;
        return imageToPlane(camera, { u: u + t * (nextU - u), v: v + t * (nextV - v) });
      });
    })
    .filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y));
}

function cornersOf({ centre, turnRad }: CardFinding): PlanePoint[] {
  return CARD_CORNERS.map(mover({ mirrored: false, angleRad: turnRad, shift: centre }));
}

const flat = (points: readonly PlanePoint[]): number[] => points.flatMap(({ x, y }) => [x, -y]);

/** Different dashes, so that the photos' borders can be told apart without colour. */
const BORDER_DASHES = [
  [14, 6],
  [4, 5],
  [14, 5, 3, 5],
  [22, 8],
  [8, 8],
  [2, 7],
] as const;

/** All joined photos on one table, seen from straight above: their borders, their cards, and the pieces. */
export function JoinTable({ join, overlay }: JoinTableProps) {
  const palette = usePalette();
  const captures = useBuild((build) => build.captures);
  const pieces = useBuild((build) => build.pieces);
  const photos = useMemo(() => photosOf(join, captures), [join, captures]);
  const joined = pieces.filter(({ captureId }) => captureId === join.captureIds[0]);
  const bounds = useMemo(() => boundsOf(photos.flatMap(({ border }) => border)), [photos]);
  const ties = new Set(join.shared.map(({ cardId }) => cardId));
  return (
    <PlaneTable
      label={`${photos.length} photos joined on one table, with their cards and the pieces`}
      fitKey={`join ${join.id}`}
      boundsMm={bounds}
      overlay={overlay}
    >
      <PlaneGrid boundsMm={bounds} />
      {photos.map(({ record, border, place }) => (
        <Line
          key={record.id}
          points={flat(border)}
          closed
          stroke={palette.inkQuiet}
          strokeWidth={1.5}
          strokeScaleEnabled={false}
          dash={[...BORDER_DASHES[place % BORDER_DASHES.length]!]}
          listening={false}
        />
      ))}
      {joined.map((piece) => (
        <PieceLines key={piece.id} piece={piece} />
      ))}
      {photos.flatMap(({ record, cards, place }) =>
        cards.map((card) => (
          <CardOnTable
            key={`${record.id} ${card.id}`}
            card={card}
            isTie={ties.has(card.id)}
            // A shared card is labelled once.
            isLabelled={photos.findIndex((other) => other.cards.some(({ id }) => id === card.id)) === place}
          />
        )),
      )}
      {photos.map(({ record, middle, place }) => (
        <ScreenLabel key={record.id} x={middle.x} y={-middle.y} side="below" text={`Photo ${place + 1}`} />
      ))}
    </PlaneTable>
  );
}

interface PhotoOnTable {
  readonly record: CaptureRecord;
  readonly place: number;
  readonly cards: readonly CardFinding[];
  readonly border: readonly PlanePoint[];
  /** Middle of the upper border. */
  readonly middle: PlanePoint;
}

function photosOf(join: JoinRecord, captures: readonly CaptureRecord[]): readonly PhotoOnTable[] {
  return join.captureIds.flatMap((captureId, place): PhotoOnTable[] => {
    const record = captures.find(({ id }) => id === captureId);
    if (!record?.capture) return [];
    const { camera, cards } = record.capture;
    const middle = imageToPlane(camera, { u: camera.widthPx / 2, v: 0 });
    return [
      { record, place, cards: cards.filter(({ used }) => used), border: borderOnTable(camera), middle },
    ];
  });
}

function PieceLines({ piece }: { readonly piece: Piece }) {
  const palette = usePalette();
  return lastRevision(piece).lines.map(({ id, kind, path }) => (
    <PlaneLine
      key={id}
      path={path}
      kind={kind}
      isStrong
      fill={kind === 'cut' ? palette.paper : kind === 'cutout' ? palette.table : '#00000000'}
    />
  ));
}

interface CardOnTableProps {
  readonly card: CardFinding;
  readonly isTie: boolean;
  readonly isLabelled: boolean;
}

function CardOnTable({ card, isTie, isLabelled }: CardOnTableProps) {
  const palette = usePalette();
  const color = isTie ? palette.accent : palette.inkQuiet;
  return (
    <>
      <Line
        points={flat(cornersOf(card))}
        closed
        stroke={color}
        strokeWidth={isTie ? 3.5 : 1.5}
        strokeScaleEnabled={false}
        listening={false}
      />
      {isLabelled && (
        <ScreenLabel
          x={card.centre.x}
          y={-card.centre.y}
          side="over"
          text={isTie ? `${card.id}: shared` : String(card.id)}
          {...(isTie && { color: palette.accent })}
        />
      )}
    </>
  );
}
