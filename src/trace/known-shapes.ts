import type { Capture } from '../capture/types.ts';
import type { ImagePoint } from '../geometry/point.ts';

/** What in the photo is no piece: shapes in photo pixels. */
export interface KnownShapes {
  /** Cards and sheets that lie beside the pieces, four corners each. */
  readonly ignoredPx: readonly (readonly ImagePoint[])[];
  /** Cards that could not be read: a piece may lie over them. */
  readonly halfHiddenPx: readonly (readonly ImagePoint[])[];
  /** A sheet that the pieces lie on, if there is one: nothing beyond it counts. */
  readonly groundPx?: readonly ImagePoint[];
}

/** The things that lie in a photo to measure by, as tracing takes them, read or not. Two points are no things. */
export function knownShapes({ cards, unreadCards = [], references = [] }: Capture): KnownShapes {
  const things = references.filter(({ kind }) => kind !== 'two-points');
  const ground = things.find(({ isUnderPieces }) => isUnderPieces);
  return {
    ignoredPx: [...cards, ...things.filter(({ isUnderPieces }) => !isUnderPieces)].map(
      ({ cornersPx }) => cornersPx,
    ),
    halfHiddenPx: unreadCards.map(({ cornersPx }) => cornersPx),
    ...(ground && { groundPx: ground.cornersPx }),
  };
}
