import { castDraft, produce } from 'immer';
import type { PlanePoint } from '../../geometry/point.ts';
import { LIMITS } from '../limits.ts';
import type { Seam, SizeRange } from '../seam-types.ts';
import type { Build } from '../types.ts';
import { checked, checkedCount, itemWithId, type Stamp, tidyName } from './arguments.ts';

export interface NewSeam extends Omit<Seam, 'id' | 'name'> {
  readonly stamp: Stamp;
}

/** "A", "B", ... "Z", "AA": the first letters that no seam of the build bears. */
function freeLetters(seams: readonly Seam[]): string {
  const taken = new Set(seams.map(({ name }) => name));
  for (let number = 0; ; number++) {
    const letter = String.fromCodePoint(65 + (number % 26));
    const letters = letter.repeat(1 + Math.floor(number / 26));
    if (!taken.has(letters)) return letters;
  }
}

/** Joins two edges; the seam is named by a letter, which is printed beside its notches. */
export function addSeam(build: Build, { stamp, a, b, facing, notchesPerHalf, foldRad }: NewSeam): Build {
  itemWithId(build.pieces, a.pieceId, 'piece');
  itemWithId(build.pieces, b.pieceId, 'piece');
  const seam: Seam = {
    id: stamp.id,
    name: freeLetters(build.seams ?? []),
    a,
    b,
    facing,
    notchesPerHalf: checkedCount('Notches', notchesPerHalf, LIMITS.notchesPerHalf),
    foldRad: checked('Fold', foldRad, LIMITS.foldRad),
  };
  return produce(build, (draft) => {
    draft.seams = [...(draft.seams ?? []), castDraft(seam)];
  });
}

export type SeamChange = { readonly seamId: string } & Partial<Omit<Seam, 'id'>>;

export function changeSeam(build: Build, { seamId, ...change }: SeamChange): Build {
  return produce(build, (draft) => {
    const seam = itemWithId(draft.seams ?? [], seamId, 'seam');
    if (change.name !== undefined) seam.name = tidyName(change.name, seam.name);
    if (change.a) seam.a = castDraft(change.a);
    if (change.b) seam.b = castDraft(change.b);
    if (change.facing) seam.facing = change.facing;
    if (change.notchesPerHalf !== undefined)
      seam.notchesPerHalf = checkedCount('Notches', change.notchesPerHalf, LIMITS.notchesPerHalf);
    if (change.foldRad !== undefined) seam.foldRad = checked('Fold', change.foldRad, LIMITS.foldRad);
  });
}

export function removeSeam(build: Build, { seamId }: { readonly seamId: string }): Build {
  return produce(build, (draft) => {
    const seams = draft.seams ?? [];
    seams.splice(seams.indexOf(itemWithId(seams, seamId, 'seam')), 1);
    if (seams.length === 0) delete draft.seams;
  });
}

/** Takes the ends of a piece's seams along where its lines were moved (a fit, a slash and spread). */
export function carrySeams(
  build: Build,
  { pieceId, move }: { readonly pieceId: string; readonly move: (point: PlanePoint) => PlanePoint },
): Build {
  return produce(build, ({ seams = [] }) => {
    for (const edge of seams.flatMap(({ a, b }) => [a, b])) {
      if (edge.pieceId !== pieceId) continue;
      edge.from = castDraft(move(edge.from));
      edge.to = castDraft(move(edge.to));
    }
  });
}

/** Sets how much is left on outside a piece's cut line; 0 leaves nothing on. */
export function setExtra(
  build: Build,
  { pieceId, widthMm }: { readonly pieceId: string; readonly widthMm: number },
): Build {
  itemWithId(build.pieces, pieceId, 'piece');
  return produce(build, (draft) => {
    const others = (draft.extras ?? []).filter((extra) => extra.pieceId !== pieceId);
    if (widthMm > 0) others.push({ pieceId, widthMm: checked('Extra', widthMm, LIMITS.extraMm) });
    if (others.length > 0) draft.extras = others;
    else delete draft.extras;
  });
}

/** Sets the heads that the design is cut for; `undefined` for the chosen wearer alone. */
export function setSizeRange(build: Build, { range }: { readonly range: SizeRange | undefined }): Build {
  if (range?.heads.kind === 'steps') {
    checked('Smallest head', range.heads.fromMm, LIMITS.girthMm);
    checked('Largest head', range.heads.toMm, LIMITS.girthMm);
    checked('Step', range.heads.stepMm, LIMITS.sizeStepMm);
  }
  return produce(build, (draft) => {
    if (range) draft.sizeRange = castDraft(range);
    else delete draft.sizeRange;
  });
}
