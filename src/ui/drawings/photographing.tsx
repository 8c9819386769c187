import { Card, Drawing } from './drawing.tsx';

/** A mock-up on a table with cards scattered round it, and a phone held over it. */
export function PhotographingDrawing() {
  return (
    <Drawing viewBox="0 0 400 260">
      <path d="M14 66h372l-22 182H36z" className="drawing-ground" />
      <Card x={78} y={112} turn={-14} />
      <Card x={322} y={108} turn={12} />
      <Card x={70} y={206} turn={20} />
      <Card x={326} y={204} turn={-80} />
      <path
        className="drawing-accent"
        d="M118 196c-12-26-6-52 14-62 20-9 38 6 68 6s48-15 68-6c20 10 26 36 14 62-24-20-50-27-82-27s-58 7-82 27z"
      />
      <g transform="translate(200 40)">
        <rect className="drawing-paper" x="-46" y="-25" width="92" height="50" rx="8" />
        <circle cx="30" cy="-9" r="6" />
        <path d="M-12 32l-26 40M12 32l26 40" strokeDasharray="2 6" />
      </g>
    </Drawing>
  );
}
