import type { Capture } from '../../capture/types.ts';
import type { ImagePoint } from '../../geometry/point.ts';
import { fillPolygon, grown } from '../../vision/polygon-mask.ts';
import type { StrokeField } from '../../vision/stroke-field.ts';

/** Cards and other references are left out with this margin; a sheet under the drawing counts to just inside its edges. */
const REFERENCE_MARGIN = 1.08;
const SHEET_MARGIN = 0.985;

/**
 * Where drawn lines may lie, in the field's pixels (0/1): on the sheet that was measured by, where pieces were seen on it,
 * else everywhere; never on scale cards or a bank card.
 */
export function paperArea({ width, height, block }: StrokeField, capture: Capture): Uint8Array {
  const inField = (places: readonly ImagePoint[]): ImagePoint[] =>
    places.map(({ u, v }) => ({ u: (u + 0.5) / block - 0.5, v: (v + 0.5) / block - 0.5 }));
  const { unreadCards = [], references = [] } = capture;
  const sheets = references.filter(({ isUnderPieces }) => isUnderPieces);
  // Thin lines do not show that a sheet lies under pieces: any sheet may carry the drawing.
  const others = [...capture.cards, ...unreadCards, ...references.filter(({ kind }) => kind === 'bank-card')];
  const area = new Uint8Array(width * height).fill(sheets.length > 0 ? 0 : 1);
  for (const { cornersPx } of sheets) {
    fillPolygon(area, width, height, grown(inField(cornersPx), SHEET_MARGIN), 1);
  }
  for (const { cornersPx } of others) {
    fillPolygon(area, width, height, grown(inField(cornersPx), REFERENCE_MARGIN), 0);
  }
  return area;
}
