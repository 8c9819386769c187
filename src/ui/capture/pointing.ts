import type { Reference, ReferenceFinding, SheetName } from '../../capture/types.ts';
import type { ImagePoint } from '../../geometry/point.ts';
import { mmWords } from '../controls/number-words.ts';

/** What a photo is measured by beside the scale cards. */
export type OtherKind = Exclude<Reference['kind'], 'cards'>;

/** Places that the maker is pointing out on the photo. */
export interface Pointing {
  readonly kind: OtherKind;
  readonly placesPx: readonly ImagePoint[];
}

/** How many places a reference is pointed out by: its corners, or both ends. */
export function placesWanted(kind: OtherKind): number {
  return kind === 'two-points' ? 2 : 4;
}

export const isPointingDone = ({ kind, placesPx }: Pointing): boolean =>
  placesPx.length >= placesWanted(kind);

const ORDER: readonly Reference['kind'][] = ['cards', 'bank-card', 'sheet', 'two-points'];

/** The references with one of them put in or replaced, in their fixed order. */
export function withReference(references: readonly Reference[], reference: Reference): readonly Reference[] {
  return [...references.filter(({ kind }) => kind !== reference.kind), reference].sort(
    (a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind),
  );
}

/** The references without those of one kind; scale cards when nothing is left. */
export function withoutReference(
  references: readonly Reference[],
  kind: Reference['kind'],
): readonly Reference[] {
  const left = references.filter((reference) => reference.kind !== kind);
  return left.length > 0 ? left : [{ kind: 'cards' }];
}

/** A bank card or sheet with its corners pointed out. */
export function withCorners(
  references: readonly Reference[],
  { kind, placesPx }: Pointing,
): readonly Reference[] {
  const old = references.find((reference) => reference.kind === kind);
  if (!old || (old.kind !== 'bank-card' && old.kind !== 'sheet')) return references;
  return withReference(references, { ...old, nearPx: placesPx });
}

/** "85.6 × 54.0 mm": a reference's size as the solve has it. */
export function sizeWords({ sizeMm }: ReferenceFinding): string {
  return `${sizeMm.map((side) => mmWords(side)).join(' × ')} mm`;
}

export const SHEET_WORDS: Readonly<Record<SheetName, string>> = {
  A4: '210 × 297 mm',
  A3: '297 × 420 mm',
  Letter: '216 × 279 mm',
};
