import { capturePhoto } from '../../src/capture/capture-photo.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { flattenPath } from '../../src/geometry/measure.ts';
import { movePath, type RigidMotion } from '../../src/geometry/motion.ts';
import type { Path } from '../../src/geometry/path.ts';
import { tracePieces } from '../../src/trace/trace-pieces.ts';
import { DEFAULT_TRACE_OPTIONS } from '../../src/trace/types.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { PAPER_THICKNESS_MM } from '../../src/capture/card.ts';
import { captureScene } from './captures.ts';
import { photograph } from './photograph.ts';
import { table } from './presets.ts';

/** How a piece lies in its photo. */
export interface PieceOnTable {
  readonly outline: Path;
  /** From the frame it was drawn in to the table's. */
  readonly lies: RigidMotion;
}

/**
 * A paper piece as the app would have it: rendered among four cards on a dark table, captured and traced. The traced outline comes in the
 * capture's own frame, which nothing of the drawn one is known to.
 */
export async function photographedPiece(
  vision: Vision,
  { outline, lies }: PieceOnTable,
  seed: number,
  megapixels: number,
): Promise<readonly PieceLine[]> {
  const scene = captureScene(seed, {
    region: 'A4',
    cardCount: 4,
    megapixels,
    tiltDeg: 12,
    unmodelled: false,
  });
  const photo = await photograph({
    ...scene,
    table: table(seed % 2 ? 'wood' : 'cloth'),
    pieces: [
      {
        outer: flattenPath(movePath(outline, lies), 0.01),
        holes: [],
        thicknessMm: PAPER_THICKNESS_MM,
        color: [0.75, 0.74, 0.7],
      },
    ],
  });
  const captured = capturePhoto(vision, photo, { facts: scene.facts, thicknessMm: PAPER_THICKNESS_MM });
  if (!captured.ok) throw new Error(captured.problem.message);
  const { pieces } = tracePieces(vision, photo, captured.value, DEFAULT_TRACE_OPTIONS);
  const [piece] = pieces;
  if (!piece || pieces.length > 1) throw new Error(`${pieces.length} pieces were traced, not 1`);
  return [{ id: 'outline', kind: 'cut', path: piece.outer.path }];
}
