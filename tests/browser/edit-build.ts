/** Builds to be edited in the browser: no photo and no trace are needed, so they open at once. */
import { addRevision } from '../../src/build/commands/pieces.ts';
import type { Build } from '../../src/build/types.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { sampleBuild, stamp } from '../build/sample-build.ts';

/** A build whose first piece has these lines, and lies in no photo any more. */
export function buildWithLines(lines: readonly PieceLine[]): Build {
  const build = sampleBuild();
  const pieceId = build.pieces[0]!.id;
  return addRevision(build, { pieceId, stamp: stamp('drawn'), lines, why: 'drawn', leavesPhoto: true });
}
