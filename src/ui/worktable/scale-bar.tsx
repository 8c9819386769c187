import { scaleBarMm } from './view.ts';

/** A bar as long as a round number of millimetres at the zoom in force. */
export function ScaleBar({ pxPerMm }: { readonly pxPerMm: number }) {
  const lengthMm = scaleBarMm(pxPerMm, 140);
  const widthPx = lengthMm * pxPerMm;
  return (
    <div className="scale-bar">
      <span>{lengthMm} mm</span>
      <svg width={widthPx + 2} height="9" aria-hidden="true">
        <path d={`M1 0V8H${widthPx + 1}V0`} fill="none" stroke="currentColor" strokeWidth="2" />
      </svg>
    </div>
  );
}
