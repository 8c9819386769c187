import { Drawing } from '../drawings/drawing.tsx';

/** A strip lying flat, and bent round a tin with a gap at the top. */
export function BendDrawing() {
  return (
    <Drawing viewBox="0 0 300 120">
      <path d="M12 56h120v14H12z" className="drawing-accent" />
      <path d="M12 44v-10m120 10v-10M12 39h120" strokeDasharray="3 5" />
      <path d="M150 63h20m-6-6l6 6-6 6" />
      <circle cx="238" cy="66" r="34" className="drawing-paper" />
      <path
        d="M247.9 33.5A34 34 0 1 1 228.1 33.5L224 20.1A48 48 0 1 0 252 20.1z"
        className="drawing-accent"
        fillRule="evenodd"
      />
      <path d="M228 42v10M248 42v10M228 47h20" />
    </Drawing>
  );
}
