import type { Build, CaptureRecord, Piece } from '../build/types.ts';
import { useBuild } from './bench.ts';
import { useDesk } from './desk.ts';

/** The photo on the table: the one picked, else the first. */
function pickedCapture(build: Build, captureId: string | undefined): CaptureRecord | undefined {
  return build.captures.find(({ id }) => id === captureId) ?? build.captures[0];
}

/** The piece on the table: the one picked, else the first that is included. */
function pickedPiece(build: Build, pieceId: string | undefined): Piece | undefined {
  return build.pieces.find(({ id }) => id === pieceId) ?? build.pieces.find(({ included }) => included);
}

export function usePickedCapture(): CaptureRecord | undefined {
  const captureId = useDesk((desk) => desk.captureId);
  return useBuild((build) => pickedCapture(build, captureId));
}

export function usePickedPiece(): Piece | undefined {
  const pieceId = useDesk((desk) => desk.pieceId);
  return useBuild((build) => pickedPiece(build, pieceId));
}
