import { useMemo } from 'react';
import { Circle, Shape } from 'react-konva';
import { planeToImage } from '../../capture/camera.ts';
import { CARD_FACE_HEIGHT_MM } from '../../capture/card.ts';
import type { Guidance } from '../../capture/guidance.ts';
import type { GuidanceAction } from '../../capture/guidance-options.ts';
import {
  contourLevels,
  type FieldPart,
  partAbove,
  type ToleranceField,
} from '../../capture/tolerance-field.ts';
import type { Capture } from '../../capture/types.ts';
import { type ImagePoint, meanPlacePx } from '../../geometry/point.ts';
import { PhotoLine } from '../worktable/photo-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import { contourWords, LINE_SETS, LINE_STEP_PX } from './sure-bands.ts';

const INK = '#14324a';
const CASING = '#ffffffb0';

interface SureInPhotoProps {
  readonly capture: Capture;
  readonly field: ToleranceField;
  /** The card or sheet that would help most, if any. */
  readonly laid: Guidance | undefined;
}

/** The tolerance over the table: bands shaded the denser the less sure, their borders labelled in mm. */
export function SureInPhoto({ capture, field, laid }: SureInPhotoProps) {
  const zoom = useZoom();
  const { camera, thicknessMm } = capture;
  const bands = useMemo(
    () => contourLevels(field).map((level) => ({ level, part: partAbove(field, level) })),
    [field],
  );
  const from = planeToImage(camera, field.fromMm, thicknessMm);
  const size = { width: camera.widthPx, height: camera.heightPx };
  const labels = useMemo(
    () =>
      labelPlaces(
        bands.map(({ part }) => part),
        [
          planeToImage(capture.camera, field.fromMm, capture.thicknessMm),
          ...cardPlaces(capture),
          ...placeToCome(capture, laid),
        ],
        { width: capture.camera.widthPx, height: capture.camera.heightPx },
      ),
    [bands, capture, field, laid],
  );
  return (
    <>
      <Shape
        listening={false}
        sceneFunc={({ _context: context }) => {
          bands.forEach(({ part }, k) => shade(context, part, LINE_SETS[k]!, size, zoom));
          for (const { part } of bands) strokeContour(context, part, zoom);
        }}
      />
      <Circle x={from.u} y={from.v} radius={5 / zoom} fill={INK} stroke="#ffffff" strokeWidth={2 / zoom} />
      {bands.map(({ level }, k) => {
        const at = labels[k];
        return (
          at && (
            <ScreenLabel key={level} x={at.u} y={at.v} text={contourWords(level)} side="over" color={INK} />
          )
        );
      })}
      {laid && <LaidToCome capture={capture} advice={laid} />}
    </>
  );
}

interface Size {
  readonly width: number;
  readonly height: number;
}

/** Slanting lines over the part, pale casing under dark ink so that they show on any photo. */
function shade(
  context: CanvasRenderingContext2D,
  { polygons }: FieldPart,
  { way, shift }: (typeof LINE_SETS)[number],
  { width, height }: Size,
  zoom: number,
): void {
  context.save();
  context.beginPath();
  for (const polygon of polygons) {
    polygon.forEach(({ u, v }, i) => (i === 0 ? context.moveTo(u, v) : context.lineTo(u, v)));
    context.closePath();
  }
  context.clip();
  // Fainter than the contours: the pieces must show through.
  context.globalAlpha = 0.7;
  context.beginPath();
  const step = LINE_STEP_PX / zoom;
  for (let at = (shift - 1) * step - height; at < width + height; at += step) {
    context.moveTo(at, way > 0 ? height : 0);
    context.lineTo(at + height, way > 0 ? 0 : height);
  }
  strokeCased(context, 1.25 / zoom, 1.5 / zoom);
  context.restore();
}

function strokeContour(context: CanvasRenderingContext2D, { contour }: FieldPart, zoom: number): void {
  context.beginPath();
  for (const [a, b] of contour) {
    context.moveTo(a.u, a.v);
    context.lineTo(b.u, b.v);
  }
  context.lineCap = 'round';
  strokeCased(context, 2.5 / zoom, 2.5 / zoom);
}

function strokeCased(context: CanvasRenderingContext2D, width: number, casing: number): void {
  context.strokeStyle = CASING;
  context.lineWidth = width + casing;
  context.stroke();
  context.strokeStyle = INK;
  context.lineWidth = width;
  context.stroke();
}

/** Labels keep this share of the photo's sides away from its border. */
const LABEL_ROOM = 0.06;

/** Where each contour's label goes: where it is farthest from the cards, the middle and the labels before it. */
function labelPlaces(
  parts: readonly FieldPart[],
  taken: readonly ImagePoint[],
  { width, height }: Size,
): readonly (ImagePoint | undefined)[] {
  const avoided = [...taken];
  const room = ({ u, v }: ImagePoint): number =>
    avoided.reduce((least, other) => Math.min(least, Math.hypot(other.u - u, other.v - v)), Infinity);
  return parts.map(({ contour }) => {
    const inside = contour
      .map(([a, b]) => ({ u: (a.u + b.u) / 2, v: (a.v + b.v) / 2, room: 0 }))
      .filter(
        ({ u, v }) =>
          Math.min(u, width - u) > LABEL_ROOM * width && Math.min(v, height - v) > LABEL_ROOM * height,
      )
      .map((at) => ({ ...at, room: room(at) }));
    const [first, ...rest] = inside;
    if (!first) return undefined;
    const best = rest.reduce((a, b) => (b.room > a.room ? b : a), first);
    avoided.push(best);
    return best;
  });
}

/** Middle of a card in the photo, and of the words over it. */
function cardPlaces({ cards }: Capture): readonly ImagePoint[] {
  return cards.flatMap(({ cornersPx }) => {
    const { u } = meanPlacePx(cornersPx);
    const vs = cornersPx.map(({ v }) => v);
    return [
      { u, v: vs.reduce((sum, v) => sum + v, 0) / vs.length },
      { u, v: Math.min(...vs) },
    ];
  });
}

function placeToCome({ camera }: Capture, laid: Guidance | undefined): readonly ImagePoint[] {
  return laid?.at ? [planeToImage(camera, laid.at, CARD_FACE_HEIGHT_MM)] : [];
}

const LAID_WORDS: Partial<Record<GuidanceAction, string>> = {
  'add-sheet': 'a measured sheet',
  'bank-card': 'a bank card',
};

/** Where a card or sheet would help most, as its dashed outline on the table. */
function LaidToCome({ capture, advice }: { readonly capture: Capture; readonly advice: Guidance }) {
  const { action, at, covers } = advice;
  if (!at || !covers) return null;
  const card = capture.cards.some(({ used }) => used) ? 'one more card' : 'a scale card';
  const points = covers.map((corner) => planeToImage(capture.camera, corner, CARD_FACE_HEIGHT_MM));
  const middle = planeToImage(capture.camera, at, CARD_FACE_HEIGHT_MM);
  return (
    <>
      <PhotoLine points={points} closed color={INK} dash={[10, 6]} widthPx={2.5} />
      <ScreenLabel x={middle.u} y={middle.v} text={LAID_WORDS[action] ?? card} side="over" color={INK} />
    </>
  );
}
