/** Questions about a build that several stages ask. */
import type { CaptureOptions, PhotoFacts, Reference } from '../capture/types.ts';
import type { ImagePoint } from '../geometry/point.ts';
import type { Round } from './fit-types.ts';
import type { Build, CaptureRecord, Foam, Piece, Revision, Wearer, WrapPlan } from './types.ts';

/** The revision in force. */
export function lastRevision<R extends Revision>(piece: { readonly revisions: readonly R[] }): R {
  const last = piece.revisions.at(-1);
  if (!last) throw new Error('A piece has at least one revision');
  return last;
}

/** The wearer that the headpiece is made for. */
export function chosenWearer(build: Build): Wearer {
  const wearer = build.wearers.find(({ id }) => id === build.wearerId) ?? build.wearers[0];
  if (!wearer) throw new Error('A build has at least one wearer');
  return wearer;
}

export function foamOf(build: Build, piece: Piece): Foam {
  const foam = build.foams.find(({ id }) => id === piece.foamId);
  if (!foam) throw new Error(`This build has no foam with the id ${piece.foamId}`);
  return foam;
}

/** The pieces of a round that are in the build and not left out, in their order. */
export function piecesOf(build: Build, round: Pick<Round, 'places'>): Piece[] {
  return round.places.flatMap(({ pieceId }) =>
    build.pieces.filter(({ id, included }) => id === pieceId && included),
  );
}

/** The round that a piece goes in together with others; undefined for a piece that goes round alone. */
export function roundOf(build: Build, pieceId: string): Round | undefined {
  const round = build.rounds?.find(({ places }) => places.some((place) => place.pieceId === pieceId));
  return round && piecesOf(build, round).length > 1 ? round : undefined;
}

/** What lies between the head and a piece, mm thick: lining, and the layer that it lies over. */
export function underneathMm(build: Build, wrap: Pick<WrapPlan, 'overFoamId'> | undefined): number {
  const { linerMm = 0, paddingMm = 0 } = build.lining ?? {};
  const over = build.foams.find(({ id }) => id === wrap?.overFoamId);
  return linerMm + paddingMm + (over?.thicknessMm ?? 0);
}

/** What to solve a photo with: what it is measured by, its thickness and tapes, and the printer that made the cards. */
export function captureOptionsFor(build: Build, record: CaptureRecord, facts: PhotoFacts): CaptureOptions {
  const printer = build.printers.find(({ id }) => id === build.cardPrinterId);
  return {
    facts,
    ...(printer && { printer: printer.check }),
    thicknessMm: record.thicknessMm,
    ...(record.thicknessDoubtMm !== undefined && { thicknessDoubtMm: record.thicknessDoubtMm }),
    ...(record.references && { references: record.references }),
    ...(record.tapes.length > 0 && { tapes: record.tapes }),
  };
}

/** What the solve depends on, in a fixed order; the photo's own facts do not change. */
function inputsOf({
  thicknessMm,
  thicknessDoubtMm,
  printer,
  references = [{ kind: 'cards' }],
  tapes = [],
}: CaptureOptions): string {
  return JSON.stringify([
    thicknessMm,
    thicknessDoubtMm ?? null,
    printer ? [printer.acrossMm, printer.alongMm] : null,
    tapes.map(({ from, to, lengthMm, doubtMm }) => [
      from.cardId,
      from.mark,
      to.cardId,
      to.mark,
      lengthMm,
      doubtMm,
    ]),
    references.map(referenceInputs),
  ]);
}

const place = ({ u, v }: ImagePoint) => [u, v];

function referenceInputs(reference: Reference): readonly unknown[] {
  if (reference.kind === 'cards') return ['cards'];
  if (reference.kind === 'two-points')
    return [place(reference.fromPx), place(reference.toPx), reference.distanceMm];
  const near = reference.nearPx?.map(place) ?? null;
  if (reference.kind === 'bank-card') return ['bank-card', near];
  const { sheet, measuredMm } = reference;
  return [sheet, measuredMm ? [measuredMm.shortMm, measuredMm.longMm] : null, near];
}

/** True when the photo was solved with the references, thickness, tapes and printer that are set now. */
export function isCaptureCurrent(build: Build, record: CaptureRecord): boolean {
  const { capture, measuredWith } = record;
  if (!capture || !measuredWith) return false;
  return inputsOf(measuredWith) === inputsOf(captureOptionsFor(build, record, measuredWith.facts));
}
