/**
 * The document's shape at run time, for what comes from files and storage: types.ts said again in zod.
 * tests/build/schema.test.ts holds the two equal at compile time. Unknown fields are dropped.
 */
import { z } from 'zod';
import { LIMITS, MOST_LINES, MOST_SEGMENTS } from './limits.ts';
import { drawnFields } from './schema-drawn.ts';
import { foam, lining, round, wearer, wrapPlan } from './schema-fit.ts';
import { foldFields } from './schema-fold.ts';
import { joinRecord, MOST_JOINS } from './schema-joins.ts';
import { coordinate, id, imagePoint, name, planePoint, within } from './schema-parts.ts';
import { extraStrip, MOST_SEAMS, seam, sizeRange } from './schema-seams.ts';
import { lineWordsSchema } from './schema-words.ts';

/** More than any build has, few enough to hold in memory. */
const MOST = { captures: 100, pieces: 500, revisions: 2000, things: 200 };

const sentence = z.string().max(1000);
/** Photo ids become file names in a build file. */
const photoId = z.string().regex(/^[\w-]{1,120}$/u);
const moment = z.string().max(40);
const ratio = within({ min: 0.5, max: 2 });

const joint = z.enum(['corner', 'smooth']);

const segment = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('line'), to: planePoint, joint }),
  z.object({ kind: z.literal('cubic'), c1: planePoint, c2: planePoint, to: planePoint, joint }),
]);

const path = z
  .object({ closed: z.boolean(), start: planePoint, segments: z.array(segment).max(MOST_SEGMENTS) })
  .refine(({ closed, start, segments }) => {
    const end = segments.at(-1)?.to;
    return !closed || (end?.x === start.x && end.y === start.y);
  }, 'a closed line must end where it starts');

const pieceLine = z.object({
  id,
  kind: z.enum(['cut', 'cutout', 'score', 'fold', 'placement', 'mark', 'wrap']),
  path,
  words: lineWordsSchema.exactOptional(),
});

const camera = z.object({
  widthPx: z.int().min(1).max(100_000),
  heightPx: z.int().min(1).max(100_000),
  focalPx: z.number().positive(),
  offsetUPx: coordinate,
  offsetVPx: coordinate,
  k1: z.number(),
  k2: z.number(),
  rotation: z.array(z.number()).length(9),
  centreMm: z.tuple([coordinate, coordinate, coordinate]),
});

const cardId = z.int().min(0).max(249);
const cardMark = z.object({ cardId, mark: z.literal([0, 1, 2, 3]) });
const tape = z.object({
  from: cardMark,
  to: cardMark,
  lengthMm: within(LIMITS.tapeLengthMm),
  doubtMm: within(LIMITS.tapeDoubtMm),
});

const printerCheck = z.object({
  acrossMm: within(LIMITS.checkAcrossMm),
  alongMm: within(LIMITS.checkAlongMm),
});

const sheetName = z.enum(['A4', 'A3', 'Letter']);
const nearPx = z.array(imagePoint).length(4).exactOptional();
const sheetSide = within(LIMITS.sheetSideMm);

const reference = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('cards') }),
  z.object({ kind: z.literal('bank-card'), nearPx }),
  z.object({
    kind: z.literal('sheet'),
    sheet: sheetName,
    measuredMm: z.object({ shortMm: sheetSide, longMm: sheetSide }).exactOptional(),
    nearPx,
  }),
  z.object({
    kind: z.literal('two-points'),
    fromPx: imagePoint,
    toPx: imagePoint,
    distanceMm: within(LIMITS.tapeLengthMm),
  }),
]);

const captureOptions = z.object({
  facts: z.object({
    focalLength35Mm: z.number().positive().exactOptional(),
    make: sentence.exactOptional(),
    model: sentence.exactOptional(),
  }),
  references: z.array(reference).max(MOST.things).exactOptional(),
  printer: printerCheck.exactOptional(),
  thicknessMm: within(LIMITS.pieceThicknessMm),
  thicknessDoubtMm: within(LIMITS.thicknessDoubtMm).exactOptional(),
  tapes: z.array(tape).max(MOST.things).exactOptional(),
});

const cardFinding = z.object({
  id: cardId,
  centre: planePoint,
  turnRad: z.number(),
  cornersPx: z.array(imagePoint).max(16),
  residualMm: z.number().min(0),
  points: z
    .array(
      z.object({
        kind: z.enum(['hourglass', 'square-corner']),
        seenPx: imagePoint,
        solvedPx: imagePoint,
        sigmaPx: z.number().min(0),
      }),
    )
    .max(64),
  used: z.boolean(),
});

const unreadCard = z.object({
  id: cardId.exactOptional(),
  cornersPx: z.array(imagePoint).max(4),
  isCutOff: z.boolean(),
});

const referenceFinding = z.object({
  kind: z.enum(['bank-card', 'sheet', 'two-points']),
  sheet: sheetName.exactOptional(),
  cornersPx: z.array(imagePoint).max(4),
  residualMm: z.number().min(0),
  sizeMm: z.array(z.number().min(0)).max(2),
  used: z.boolean(),
  isUnderPieces: z.boolean(),
});

const capture = z.object({
  camera,
  cards: z.array(cardFinding).max(MOST.things),
  references: z.array(referenceFinding).max(MOST.things).exactOptional(),
  unreadCards: z.array(unreadCard).max(MOST.things).exactOptional(),
  thicknessMm: within(LIMITS.pieceThicknessMm),
  thicknessDoubtMm: within(LIMITS.thicknessDoubtMm),
  printScale: z.object({ across: ratio, along: ratio }),
  rmsPx: z.number().min(0),
  covariance: z.array(z.number()).max(100_000),
  parameters: z.array(z.string().max(80)).max(300),
  warnings: z
    .array(
      z.object({
        code: z.enum([
          'one-card',
          'two-cards',
          'cards-bunched',
          'card-cut-off',
          'card-covered',
          'card-bent',
          'card-other-size',
          'card-twice',
          'card-left-out',
          'card-unread',
          'blur',
          'glare',
          'tilt',
          'focal-unlike-exif',
          'no-focal',
          'print-scale-unmeasured',
          'tape-unused',
          'tape-disagrees',
          'reference-missing',
          'one-of-several',
          'square-corners',
          'side-unclear',
          'found-by-shape',
          'small-reference',
          'sheet-unmeasured',
          'straight-above-assumed',
          'sheet-curled',
          'reference-other-size',
          'reference-left-out',
        ]),
        message: sentence,
        cardId: cardId.exactOptional(),
      }),
    )
    .max(MOST.things),
});

const captureRecord = z.object({
  id,
  photoId,
  photoName: name,
  widthPx: z.int().min(1).exactOptional(),
  heightPx: z.int().min(1).exactOptional(),
  capture: capture.exactOptional(),
  measuredWith: captureOptions.exactOptional(),
  thicknessMm: within(LIMITS.pieceThicknessMm),
  thicknessDoubtMm: within(LIMITS.thicknessDoubtMm).exactOptional(),
  references: z.array(reference).min(1).max(MOST.things).exactOptional(),
  tapes: z.array(tape).max(MOST.things),
  edgeBias: within(LIMITS.edgeBias),
  ...drawnFields,
});

const revision = z.object({
  id,
  when: moment,
  why: name,
  lines: z.array(pieceLine).max(MOST_LINES),
  toleranceMm: z.number().min(0).exactOptional(),
  origin: z.literal('trace').exactOptional(),
  traced: z
    .object({
      color: z.string().regex(/^#[\da-f]{6}$/iu),
      movedMaxMm: z.number().min(0),
      movedMeanMm: z.number().min(0),
      footShare: within({ min: 0, max: 1 }),
      warnings: z
        .array(
          z.object({
            code: z.enum([
              'piece-cut-off',
              'faint-edge',
              'no-piece',
              'touches-card',
              'side-wall',
              'doubtful-opening',
            ]),
            message: sentence,
          }),
        )
        .max(MOST.things),
    })
    .exactOptional(),
  frame: z
    .object({
      camera,
      heightMm: within(LIMITS.pieceThicknessMm),
      box: z.object({ minU: coordinate, minV: coordinate, maxU: coordinate, maxV: coordinate }),
    })
    .exactOptional(),
});

const piece = z.object({
  id,
  name,
  foamId: id,
  count: z.int().min(LIMITS.count.min).max(LIMITS.count.max),
  mirroredCount: z.int().min(LIMITS.count.min).max(LIMITS.count.max),
  included: z.boolean(),
  captureId: id.exactOptional(),
  revisions: z.array(revision).min(1).max(MOST.revisions),
  wrap: wrapPlan.exactOptional(),
  ...foldFields,
});

const printer = z.object({ id, name, check: printerCheck });

const hasOwnIds = (items: readonly { readonly id: string }[]) =>
  new Set(items.map((item) => item.id)).size === items.length;

const listOf = <T extends z.ZodType<{ readonly id: string }>>(item: T, most: number) =>
  z.array(item).max(most).refine(hasOwnIds, 'two things share an id');

export const buildSchema = z
  .object({
    formatVersion: z.literal(1),
    id,
    name,
    createdAt: moment,
    changedAt: moment,
    wearers: listOf(wearer, MOST.things).min(1),
    wearerId: id.exactOptional(),
    foams: listOf(foam, MOST.things).min(1),
    foamId: id.exactOptional(),
    captures: listOf(captureRecord, MOST.captures),
    joins: listOf(joinRecord, MOST_JOINS).exactOptional(),
    pieces: listOf(piece, MOST.pieces),
    rounds: listOf(round, MOST.things).exactOptional(),
    lining: lining.exactOptional(),
    printers: listOf(printer, MOST.things),
    cardPrinterId: id.exactOptional(),
    pageSetup: z.object({
      paper: z.enum(['A4', 'Letter', 'A3', 'Tabloid']),
      marginMm: within(LIMITS.marginMm),
      overlapMm: within(LIMITS.overlapMm),
      printerId: id.exactOptional(),
    }),
    foldLimitMm: within(LIMITS.foldLimitMm).exactOptional(),
    seams: listOf(seam, MOST_SEAMS).exactOptional(),
    extras: z.array(extraStrip).max(MOST.pieces).exactOptional(),
    sizeRange: sizeRange.exactOptional(),
  })
  .superRefine((build, context) => {
    const names = (
      what: string,
      items: readonly { readonly id: string }[],
      ...wanted: (string | undefined)[]
    ) => {
      const known = new Set(items.map((item) => item.id));
      for (const one of wanted) {
        if (one !== undefined && !known.has(one)) {
          context.addIssue({ code: 'custom', message: `names a ${what} that is not there` });
        }
      }
    };
    names('wearer', build.wearers, build.wearerId);
    names('foam', build.foams, build.foamId, ...build.pieces.map(({ foamId }) => foamId));
    names('foam', build.foams, ...build.pieces.map(({ wrap }) => wrap?.overFoamId));
    names('printer', build.printers, build.cardPrinterId, build.pageSetup.printerId);
    names('photo', build.captures, ...build.pieces.map(({ captureId }) => captureId));
    names('photo', build.captures, ...(build.joins ?? []).flatMap(({ captureIds }) => captureIds));
  });
