import { useRef } from 'react';
import type { GoingRound } from '../../build/going-round.ts';
import type { HeadRound, PlacedPiece } from '../../fit/round-head.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { mmWords } from '../controls/number-words.ts';
import { useSize } from '../worktable/use-size.ts';
import type { Size } from '../worktable/view.ts';
import { closingOf, closingWords } from './above-words.ts';

interface AboveViewProps {
  readonly going: GoingRound;
  readonly laid: HeadRound;
  /** Small pictures carry no words. */
  readonly isSmall?: boolean;
  /** Room kept free at the top for what lies over the picture, px. */
  readonly roomAbovePx?: number;
}

function data(points: readonly PlanePoint[], closed: boolean): string {
  const run = points.map(({ x, y }, i) => `${i ? 'L' : 'M'}${x.toFixed(2)} ${(-y).toFixed(2)}`).join('');
  return closed ? `${run}Z` : run;
}

/** The outline of a piece from above: out along its outer face, back along its inner one. */
const foamData = ({ inner, outer }: PlacedPiece) => data([...outer, ...inner.toReversed()], true);

/** The wearer's head from above, brow up, with the foam round it, all in true proportion. */
export function AboveView({ going, laid, isSmall = false, roomAbovePx = 0 }: AboveViewProps) {
  const box = useRef<HTMLDivElement>(null);
  const size = useSize(box);
  const names = laid.pieces.map(({ name }) => name).join(', ');
  const closing = closingWords(closingOf(going, laid), laid.gapMm);
  return (
    <div ref={box} className={`above${isSmall ? ' above-small' : ''}`}>
      {size && (
        <svg
          {...viewOf(laid, size, isSmall, roomAbovePx)}
          role="img"
          aria-label={`The head from above with ${names} round it: ${closing}`}
        >
          <Picture
            going={going}
            laid={laid}
            pxMm={pixelMm(laid, size, isSmall, roomAbovePx)}
            widthPx={size.width}
            isSmall={isSmall}
          />
        </svg>
      )}
    </div>
  );
}

/** Room for the words beside the picture, px. */
const WORDS_PX = 110;

function reachOf({ head, pieces }: HeadRound) {
  const points = [...head.map(({ at }) => at), ...pieces.flatMap(({ outer }) => outer)];
  return {
    across: Math.max(...points.map(({ x }) => Math.abs(x))) + 8,
    along: Math.max(...points.map(({ y }) => Math.abs(y))) + 4,
  };
}

/** How many mm a CSS pixel of the picture is. */
function pixelMm(laid: HeadRound, { width, height }: Size, isSmall: boolean, roomAbovePx: number): number {
  const { across, along } = reachOf(laid);
  const [wordsX, wordsY] = isSmall ? [8, 16] : [WORDS_PX, 64];
  return Math.max(
    (2 * across) / Math.max(80, width - 2 * wordsX),
    (2 * along) / Math.max(80, height - 2 * wordsY - roomAbovePx),
  );
}

function viewOf(laid: HeadRound, size: Size, isSmall: boolean, roomAbovePx: number) {
  const mm = pixelMm(laid, size, isSmall, roomAbovePx);
  const [width, height] = [size.width * mm, size.height * mm];
  return { viewBox: `${-width / 2} ${-height / 2 - (roomAbovePx * mm) / 2} ${width} ${height}` };
}

interface PictureProps {
  readonly going: GoingRound;
  readonly laid: HeadRound;
  readonly pxMm: number;
  readonly widthPx: number;
  readonly isSmall: boolean;
}

function Picture({ going, laid, pxMm, widthPx, isSmall }: PictureProps) {
  const outline = laid.head.map(({ at }) => at);
  return (
    <>
      <Features head={outline} lineMm={1.75 * pxMm} />
      {laid.pieces.map((piece, i) => (
        <path
          key={`under ${piece.name} ${i}`}
          className="above-lining"
          strokeWidth={0.75 * pxMm}
          d={data([...piece.inner, ...nearestHead(laid, piece).toReversed()], true)}
        />
      ))}
      <path className="above-head" d={data(outline, true)} strokeWidth={1.75 * pxMm} />
      {laid.pieces.map((piece, i) => (
        <path
          key={`${piece.name} ${i}`}
          className={`above-foam${i % 2 ? ' above-foam-next' : ''}`}
          d={foamData(piece)}
          strokeWidth={1.25 * pxMm}
        />
      ))}
      {!isSmall && <Words {...{ going, laid, pxMm, widthPx }} />}
    </>
  );
}

/** The stretch of the head behind a piece, for the room and the lining between them. */
function nearestHead({ head }: HeadRound, { fromMm, toMm }: PlacedPiece): PlanePoint[] {
  let alongMm = 0;
  const places = head.map(({ at }, i) => {
    const before = head[i - 1];
    if (before) alongMm += Math.hypot(at.x - before.at.x, at.y - before.at.y);
    return { at, alongMm };
  });
  const roundMm = alongMm + Math.hypot(head[0]!.at.x - head.at(-1)!.at.x, head[0]!.at.y - head.at(-1)!.at.y);
  return [-1, 0, 1].flatMap((turn) =>
    places
      .filter((place) => place.alongMm + turn * roundMm >= fromMm && place.alongMm + turn * roundMm <= toMm)
      .map(({ at }) => at),
  );
}

/** Nose and ears, so that brow and sides are known at a glance. */
function Features({ head, lineMm }: { readonly head: readonly PlanePoint[]; readonly lineMm: number }) {
  const brow = Math.max(...head.map(({ y }) => y));
  const side = Math.max(...head.map(({ x }) => x));
  return (
    <g className="above-feature" strokeWidth={lineMm}>
      <path d={`M-10 ${-brow + 6}Q-6 ${-brow - 8} 0 ${-brow - 15}Q6 ${-brow - 8} 10 ${-brow + 6}`} />
      {[-1, 1].map((sign) => (
        <path
          key={sign}
          d={`M${sign * (side - 4)} -6Q${sign * (side + 17)} -2 ${sign * (side + 15)} 16Q${sign * (side + 11)} 30 ${sign * (side - 4)} 20`}
        />
      ))}
    </g>
  );
}

const FONT_PX = 13;
/** How far nose and ears stand out from the head, mm. */
const FEATURE_MM = 18;

interface LabelProps {
  readonly at: PlanePoint;
  readonly outward: PlanePoint;
  readonly offMm: number;
  readonly lines: readonly string[];
  readonly pxMm: number;
  readonly widthPx: number;
  readonly className?: string;
}

/** Width of a letter by its size in a wide system font. */
const LETTER = 0.66;

/** Words beside a place, standing outward from it as far as the picture's sides allow. */
function Label({ at, outward, offMm, lines, pxMm, widthPx, className = '' }: LabelProps) {
  const y = at.y + offMm * outward.y;
  const anchor = outward.x > 0.35 ? 'start' : outward.x < -0.35 ? 'end' : 'middle';
  const wordsPx = LETTER * FONT_PX * Math.max(...lines.map(({ length }) => length));
  const reachMm = (widthPx / 2 - (anchor === 'middle' ? wordsPx / 2 : wordsPx)) * pxMm;
  const x = Math.max(-reachMm, Math.min(reachMm, at.x + offMm * outward.x));
  const lineMm = 1.25 * FONT_PX * pxMm;
  // A block of lines stands above the place when it lies at the top, below it at the bottom, beside it else.
  const share = outward.y > 0.75 ? 1 : outward.y < -0.75 ? 0 : 0.5;
  const firstMm = -y - share * lines.length * lineMm + 0.8 * lineMm;
  return (
    <text
      className={className}
      textAnchor={anchor}
      fontSize={FONT_PX * pxMm}
      strokeWidth={3 * pxMm}
      x={x}
      y={firstMm}
    >
      {lines.map((line, i) => (
        <tspan key={line} x={x} y={firstMm + i * lineMm} fontWeight={i === 0 && className === '' ? 650 : 400}>
          {line}
        </tspan>
      ))}
    </text>
  );
}

function Words({ going, laid, pxMm, widthPx }: Omit<PictureProps, 'isSmall'>) {
  const closing = closingOf(going, laid);
  const { head, seams } = laid;
  const [length, breadth] = [
    Math.max(...head.map(({ at }) => at.y)) * 2,
    Math.max(...head.map(({ at }) => at.x)) * 2,
  ];
  return (
    <>
      <path className="above-cross" strokeWidth={pxMm} d="M-5 0H5M0 -5V5" />
      <text
        className="above-inside above-quiet"
        textAnchor="middle"
        fontSize={FONT_PX * pxMm}
        strokeWidth={3 * pxMm}
        y={2.2 * FONT_PX * pxMm}
      >
        {`${mmWords(length, 0)} × ${mmWords(breadth, 0)} mm`}
      </text>
      {laid.pieces.map((piece, i) => {
        const middle = Math.floor(piece.outer.length / 2);
        const [at, inner] = [piece.outer[middle]!, piece.inner[middle]!];
        const size = Math.hypot(at.x - inner.x, at.y - inner.y) || 1;
        const outward = { x: (at.x - inner.x) / size, y: (at.y - inner.y) / size };
        // The nose and the ears stand where the middle of a piece often lies.
        const isAtNose = Math.abs(at.x) < 12 && at.y > 0;
        const isAtEar = Math.abs(outward.x) > 0.9 && Math.abs(at.y) < 45;
        const offMm =
          8 * pxMm + (isAtNose || isAtEar ? FEATURE_MM - Math.min(FEATURE_MM, roomOf(going) + size) : 0);
        const lines = [piece.name, `${mmWords(going.places[i]!.patternMm)} mm`];
        return <Label key={`${piece.name} ${i}`} {...{ at, outward, offMm, lines, pxMm, widthPx }} />;
      })}
      {seams.map(({ between, at: { at, normal }, fromBrowMm }) => {
        const thickMm = Math.max(...laid.pieces.map(({ inner, outer }) => distance(inner[0]!, outer[0]!)));
        const reachMm = thickMm + roomOf(going) + 10 * pxMm;
        return (
          <g key={between.join()}>
            <path
              className="above-seam"
              strokeWidth={2 * pxMm}
              d={`M${at.x - 4 * normal.x} ${-at.y + 4 * normal.y}L${at.x + reachMm * normal.x} ${-at.y - reachMm * normal.y}`}
            />
            <Label
              at={at}
              outward={normal}
              offMm={reachMm + 4 * pxMm}
              lines={[`seam at ${mmWords(Math.abs(fromBrowMm), 0)} mm`]}
              pxMm={pxMm}
              widthPx={widthPx}
              className="above-quiet"
            />
          </g>
        );
      })}
      <Label
        at={laid.closing.at}
        outward={laid.closing.normal}
        offMm={
          roomOf(going) + Math.max(10, ...going.places.map(({ need }) => need.foam.thicknessMm)) + 8 * pxMm
        }
        lines={[closingWords(closing, laid.gapMm)]}
        pxMm={pxMm}
        widthPx={widthPx}
        className={closing === 'gap' || closing === 'overlap' ? 'above-gap-words' : 'above-quiet'}
      />
    </>
  );
}

const distance = (a: PlanePoint, b: PlanePoint) => Math.hypot(a.x - b.x, a.y - b.y);

/** Between the head and the foam, mm. */
function roomOf({ places }: GoingRound): number {
  return Math.max(0, ...places.map(({ need }) => need.easeMm / (2 * Math.PI) + (need.underMm ?? 0)));
}
