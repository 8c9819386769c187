/** A build without photos: four strips that go round a head, as a maker's file. */
import { newBuild } from '../../src/build/commands/new-build.ts';
import { addPiece, setPieceCounts, setWrap } from '../../src/build/commands/pieces.ts';
import { changeWearer } from '../../src/build/commands/wearers-and-foams.ts';
import type { Build } from '../../src/build/types.ts';
import { radiansOf } from '../../src/fit/coverage.ts';
import { polylinePath } from '../../src/geometry/path.ts';

const WHEN = '2031-05-06T07:08:09Z';

export interface Strip {
  readonly name: string;
  readonly longMm: number;
  readonly coverageDeg: number;
  readonly count?: number;
}

/** Strips 60 mm wide, each with its wrap line kept, in 10 mm foam for a girth of 580 mm unless told otherwise. */
export function stripBuild(strips: readonly Strip[], wearer: { readonly girthMm?: number } = {}): Build {
  let build = newBuild({ stamp: { id: 'heron', when: WHEN }, name: 'Marsh Heron Warden’s headpiece' });
  build = changeWearer(build, { wearerId: 'wearer', name: 'Wren', girthMm: 580, ...wearer });
  for (const { name, longMm, coverageDeg, count = 1 } of strips) {
    const corners = [
      { x: 0, y: 0 },
      { x: longMm, y: 0 },
      { x: longMm, y: 60 },
      { x: 0, y: 60 },
    ];
    const id = name.toLowerCase().replace(/\W+/gu, '-');
    build = addPiece(build, {
      stamp: { id, when: WHEN },
      name,
      foamId: 'foam-10',
      lines: [{ id: `${id}-cut`, kind: 'cut', path: polylinePath(corners, true) }],
      why: 'drawn',
    });
    const line = { from: { x: 0, y: 30 }, to: { x: longMm, y: 30 }, along: 'straight' } as const;
    build = setWrap(build, { pieceId: id, wrap: { coverageRad: radiansOf(coverageDeg), easeMm: 0, line } });
    build = setPieceCounts(build, { pieceId: id, count });
  }
  return build;
}
