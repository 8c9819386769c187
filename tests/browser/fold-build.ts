/** A build made of drawn pieces, with known unevenness: no photo need be measured before it can be folded and refitted. */
import { addPiece, renamePiece } from '../../src/build/commands/pieces.ts';
import { newBuild } from '../../src/build/commands/new-build.ts';
import { fileOf } from '../setup/open-build.ts';
import type { LineKind, PieceLine } from '../../src/geometry/line-kinds.ts';
import { movePath } from '../../src/geometry/motion.ts';
import { type Path, polylinePath } from '../../src/geometry/path.ts';
import { layoutTemplate } from '../../src/template/layout.ts';
import { tilesOnPiece } from '../../src/template/tiles-on-piece.ts';
import { point } from '../geometry/drawn.ts';
import { trimmedRight, VISOR, withBumps } from '../mirror/outlines.ts';
import { ELSEWHERE, trimmed } from '../refit/mock-ups.ts';
import { printedAlone, slippedPrint } from '../refit/slipped-print.ts';

export const FEATHER_MM = 4;
export const SLIP_MM = 2.6;
export const PAIR_BUMP_MM = 3;
export const TRIM_MM = 5;
export const SEAM_MM = 3;

const line = (id: string, kind: LineKind, path: Path): PieceLine => ({ id, kind, path });

const visor = withBumps(VISOR, [
  { near: point(90, 60), heightMm: FEATHER_MM, widthMm: 34 },
  { near: point(-110, -50), heightMm: SLIP_MM, widthMm: 30 },
]).path;
const guard = trimmedRight(VISOR, 60);

const VISOR_LINES = [
  line('outline', 'cut', visor),
  line('top-mark', 'mark', polylinePath([point(0, 60), point(0, 66)], false)),
  line('nose-mark', 'mark', polylinePath([point(0, -18), point(0, -12)], false)),
  line('brow', 'score', polylinePath([point(-70, 20), point(0, 30), point(70, 20)], false)),
];

/** The outline as printed and taped, its second page slipped along the seam. */
function tapedPrint(): Path {
  const { tiles, seams } = tilesOnPiece(layoutTemplate(printedAlone(VISOR_LINES)), 0);
  const seam = seams[0]!;
  const { corners } = tiles.find(({ name }) => name === seam.tiles[1])!;
  const middle = point(
    corners.reduce((sum, { x }) => sum + x, 0) / 4,
    corners.reduce((sum, { y }) => sum + y, 0) / 4,
  );
  return slippedPrint(visor, seam, middle, { alongMm: SEAM_MM, apartMm: 0 });
}

/** The build in one file, as the app saves it. */
export function foldBuildFile(): Buffer {
  const when = '2026-05-01T10:00:00.000Z';
  let build = newBuild({ stamp: { id: 'fold-build', when }, name: 'Marsh Heron Warden' });
  const add = (id: string, name: string, lines: readonly PieceLine[]) => {
    build = addPiece(build, { stamp: { id, when }, name, lines, why: 'drawn' });
    build = renamePiece(build, { pieceId: id, name });
  };
  add('visor', 'Visor', VISOR_LINES);
  add('guard-left', 'Guard, left', [line('left', 'cut', guard)]);
  const turned = { mirrored: true, angleRad: 0.4, shift: point(30, 60) };
  const bumped = withBumps(guard, [{ near: point(-90, 62), heightMm: PAIR_BUMP_MM, widthMm: 30 }]).path;
  add('guard-right', 'Guard, right', [line('right', 'cut', movePath(bumped, turned))]);
  add('mock-up', 'Visor, tried on', [
    line('mock', 'cut', movePath(trimmed(visor, TRIM_MM, 0.1, 0.2).path, ELSEWHERE)),
  ]);
  add('print', 'Visor, taped', [line('print', 'cut', movePath(tapedPrint(), ELSEWHERE))]);
  return fileOf(build);
}
