import { Drawing } from './drawing.tsx';

const CREST =
  'M60 150c-8-42 8-78 44-96 8 22 22 30 46 30s38-8 46-30c36 18 52 54 44 96-28-20-58-28-90-28s-62 8-90 28z';

/** A paper piece with a line growing round it. */
export function TracingDrawing() {
  return (
    <Drawing viewBox="0 0 300 190">
      <path d={CREST} className="drawing-paper" />
      <path
        d="M60 150c-8-42 8-78 44-96 8 22 22 30 46 30s38-8 46-30"
        className="drawing-accent"
        strokeWidth="4"
      />
      {[
        [60, 150],
        [104, 54],
        [196, 54],
      ].map(([x, y]) => (
        <rect key={x} className="drawing-paper" x={x! - 5} y={y! - 5} width="10" height="10" />
      ))}
      <path d="M240 20l16 16-40 40-20 4 4-20z" className="drawing-paper" />
    </Drawing>
  );
}

/** One half of a piece folding over onto the other. */
export function FoldingDrawing() {
  return (
    <Drawing viewBox="0 0 300 190">
      <path d="M150 84c24 0 38-8 46-30 36 18 52 54 44 96-28-20-58-28-90-28z" className="drawing-paper" />
      <path d="M150 84c-22-2-32-12-36-34 28 18 42 52 38 92-2-12-2-14-2-20z" className="drawing-accent" />
      <path d="M60 150c-8-42 8-78 44-96 8 22 22 30 46 30M60 150c28-20 58-28 90-28" strokeDasharray="3 6" />
      <path d="M150 20v160" strokeDasharray="12 5 2 5" />
      <path d="M92 36c20-20 60-24 84-6m0 0l-3-12m3 12l-12 1" />
    </Drawing>
  );
}

/** A trimmed piece laid on the outline it was cut by, the strip that was trimmed away lying beside it. */
export function RefittingDrawing() {
  return (
    <Drawing viewBox="20 0 300 190">
      <path
        d="M60 150c-8-42 8-78 44-96 8 22 22 30 46 30s30-4 38-20c24 20 38 48 34 76-24-14-46-18-72-18s-62 8-90 28z"
        className="drawing-paper"
      />
      <path d={CREST} strokeDasharray="3 6" />
      <path d="M236 44c36 18 52 54 44 96l-18-10c4-28-10-56-34-76z" className="drawing-accent" />
      <path d="M196 30l18 10m0 0l-6-12m6 12l-12 2" />
    </Drawing>
  );
}

/** A head from above with a strip of foam going round it and a tape. */
export function FittingDrawing() {
  return (
    <Drawing viewBox="0 0 300 190">
      <ellipse cx="150" cy="98" rx="62" ry="74" className="drawing-paper" />
      <path d="M142 26c2-10 14-10 16 0" />
      <path d="M90 112c-8-2-8-18 0-20M210 112c8-2 8-18 0-20" />
      <path d="M74 110c-6-58 26-98 76-98s82 40 76 98" className="drawing-accent" strokeWidth="8" />
      <path d="M150 98L88 160M150 98l62 62" strokeDasharray="3 6" />
      <path d="M116 132c18 14 50 14 68 0" />
    </Drawing>
  );
}

/** Pages laid edge to edge with one outline running across them, and a check square. */
export function PagesDrawing() {
  return (
    <Drawing viewBox="0 0 300 190">
      {[
        [40, 14],
        [150, 14],
        [40, 100],
        [150, 100],
      ].map(([x, y]) => (
        <rect key={`${x} ${y}`} className="drawing-paper" x={x} y={y} width="110" height="86" />
      ))}
      <path d={CREST} transform="translate(0 0)" className="drawing-accent" />
      <circle cx="150" cy="100" r="7" />
      <path d="M137 100h26M150 87v26" />
      <rect x="222" y="156" width="22" height="22" />
    </Drawing>
  );
}
