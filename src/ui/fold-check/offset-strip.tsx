import { type KeyboardEvent, type PointerEvent, useId } from 'react';
import { mmWords } from '../controls/number-words.ts';
import { chartReachMm, type EdgeOffset, sampleAt } from './offsets.ts';

interface OffsetStripProps {
  readonly offsets: readonly EdgeOffset[];
  readonly limitMm: number;
  /** Index of the sample pointed at. */
  readonly at: number | undefined;
  readonly onPoint: (index: number | undefined) => void;
  /** What lies beyond and what falls short, in the words of the piece: "right half wider". */
  readonly ends: readonly [beyond: string, short: string];
}

const WIDTH = 320;
const HEIGHT = 132;
const LEFT = 30;
const RIGHT = 6;
const TOP = 8;
const BOTTOM = 20;
const KEY_STEP_MM = 5;

/** The offset along the edge as a strip, with the limit lines; pointing at it shows the place on the worktable. */
export function OffsetStrip({ offsets, limitMm, at, onPoint, ends }: OffsetStripProps) {
  const clipId = useId();
  const lengthMm = offsets.at(-1)?.alongMm ?? 1;
  const reachMm = chartReachMm(offsets, limitMm);
  const middle = (TOP + HEIGHT - BOTTOM) / 2;
  const x = (alongMm: number) => LEFT + (alongMm / lengthMm) * (WIDTH - LEFT - RIGHT);
  const y = (offsetMm: number) => middle - (offsetMm / reachMm) * (middle - TOP);
  const line = offsets
    .map(({ alongMm, offsetMm }, i) => `${i ? 'L' : 'M'}${x(alongMm)} ${y(offsetMm)}`)
    .join('');
  const excused = bandsOf(offsets).map(([from, to]) => ({ x: x(from), width: Math.max(1, x(to) - x(from)) }));
  // Beside large offsets the limit lines lie too close to be labelled: then the chart's own edge is.
  const labelledMm = y(0) - y(limitMm) > 13 ? limitMm : reachMm;
  const pointed = at === undefined ? undefined : offsets[at];

  const point = (event: PointerEvent<SVGSVGElement>) => {
    const box = event.currentTarget.getBoundingClientRect();
    const here = ((event.clientX - box.left) / box.width) * WIDTH;
    onPoint(sampleAt(offsets, ((here - LEFT) / (WIDTH - LEFT - RIGHT)) * lengthMm));
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const from = pointed?.alongMm ?? 0;
    const to: Record<string, number> = {
      ArrowLeft: from - KEY_STEP_MM,
      ArrowRight: from + KEY_STEP_MM,
      Home: 0,
      End: lengthMm,
    };
    const next = to[event.key];
    if (event.key === 'Escape') onPoint(undefined);
    if (next === undefined) return;
    event.preventDefault();
    onPoint(sampleAt(offsets, next));
  };

  return (
    <svg
      className="strip"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      role="slider"
      tabIndex={0}
      aria-label="Offset along the edge"
      aria-valuemin={0}
      aria-valuemax={Math.round(lengthMm)}
      aria-valuenow={Math.round(pointed?.alongMm ?? 0)}
      aria-valuetext={pointed ? placeWords(pointed, ends) : 'no place chosen'}
      onPointerMove={point}
      onPointerDown={point}
      onKeyDown={onKeyDown}
    >
      <clipPath id={clipId}>
        <rect x="0" y="0" width={WIDTH} height={Math.max(0, y(limitMm))} />
        <rect x="0" y={y(-limitMm)} width={WIDTH} height={HEIGHT} />
      </clipPath>
      {excused.map((band) => (
        <rect key={band.x} className="strip-excused" y={TOP} height={HEIGHT - TOP - BOTTOM} {...band} />
      ))}
      <g className="strip-frame">
        <path d={`M${LEFT} ${y(0)}H${WIDTH - RIGHT}`} />
        <path
          className="strip-limit"
          d={`M${LEFT} ${y(limitMm)}H${WIDTH - RIGHT}M${LEFT} ${y(-limitMm)}H${WIDTH - RIGHT}`}
        />
      </g>
      <g className="strip-words">
        {[labelledMm, 0, -labelledMm].map((offsetMm) => (
          <text key={offsetMm} x={LEFT - 4} y={y(offsetMm) + 4} textAnchor="end">
            {offsetMm === 0 ? '0' : mmWords(offsetMm, labelledMm < 10 ? 1 : 0)}
          </text>
        ))}
        <text x={LEFT} y={HEIGHT - 5}>
          0 mm
        </text>
        <text x={WIDTH - RIGHT} y={HEIGHT - 5} textAnchor="end">
          {mmWords(lengthMm, 0)} mm along the edge
        </text>
      </g>
      <path className="strip-line" d={line} />
      <path className="strip-over" d={line} clipPath={`url(#${clipId})`} />
      {pointed && (
        <g className="strip-place">
          <path d={`M${x(pointed.alongMm)} ${TOP}V${HEIGHT - BOTTOM}`} />
          <circle cx={x(pointed.alongMm)} cy={y(pointed.offsetMm)} r="4.5" />
        </g>
      )}
    </svg>
  );
}

/** Where the edge is uneven on purpose, from one way along it to another, mm. */
function bandsOf(offsets: readonly EdgeOffset[]): (readonly [number, number])[] {
  const bands: [number, number][] = [];
  offsets.forEach(({ alongMm, isExcused }, i) => {
    if (!isExcused) return;
    if (offsets[i - 1]?.isExcused) bands.at(-1)![1] = alongMm;
    else bands.push([alongMm, alongMm]);
  });
  return bands;
}

/** "1.4 mm at 120 mm: right half wider". */
export function placeWords(
  { alongMm, offsetMm }: EdgeOffset,
  [beyond, short]: readonly [string, string],
): string {
  const words = Math.abs(offsetMm) < 0.05 ? 'the halves meet' : offsetMm > 0 ? beyond : short;
  return `${mmWords(Math.abs(offsetMm))} mm, ${words}, ${mmWords(alongMm, 0)} mm along the edge`;
}
