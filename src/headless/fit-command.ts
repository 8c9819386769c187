import { fitPieces } from '../build/commands/fit-pieces.ts';
import { type OpenedBuild, packBuildFile } from '../build/file-format.ts';
import { degreesOf, likeliestCoverage } from '../fit/coverage.ts';
import { type FitPlan, fitPlan } from '../fit/fit-plan.ts';
import { hatSizeOf } from '../fit/hat-size.ts';
import { layRound } from '../fit/round-head.ts';
import type { PieceSizes } from '../fit/scale-piece.ts';
import { wrapDoubtMm, wrapLengthMm, type WrapNeed } from '../fit/wrap-length.ts';
import { headSizeOf } from '../fit/wearer-head.ts';
import type { WrapLine } from '../fit/wrap-line.ts';
import { STATED_WORDS, statedTolerance } from '../stated-tolerance.ts';
import { flattenPath } from '../geometry/measure.ts';
import type { Path } from '../geometry/path.ts';
import { piecesSvg } from '../template/pieces-svg.ts';
import { usable } from './capture-command.ts';
import type { FitRequest } from './command-line.ts';
import { type HeadAndPieces, headAndPieces, type PieceToFit } from './fit-pieces.ts';
import { pair, rounded } from './fold-check-command.ts';
import { readOutlineFile } from './outline-file.ts';
import { writeFolder } from './write-folder.ts';

interface Fitted {
  readonly piece: PieceToFit;
  readonly need: WrapNeed;
  readonly plan: FitPlan;
}

/** Polylines in sized.json lie this close to the outline, mm. */
const FLATTENING_MM = 0.01;
/** Resizing by more than this asks whether the piece goes as far round as was taken. */
const DOUBTFUL_RESIZE = 0.25;

/** Sizes the pieces of a file for a head and writes them; gives the words for standard output. */
export async function runFit(request: FitRequest): Promise<string> {
  const file = await readOutlineFile(request.file);
  const asked = headAndPieces(request, file);
  const fitted = asked.pieces.map((piece): Fitted => {
    const { foam, coverageRad, underMm, lines, wrapLine } = piece;
    const need = { girthMm: asked.measures.girthMm, easeMm: asked.easeMm, coverageRad, foam, underMm };
    return { piece, need, plan: usable(fitPlan(lines, wrapLine, need, request.resize, asked.hold)) };
  });
  const report = reportOf(request, asked, fitted);
  // A piece in two places is one pattern.
  const once = fitted.filter(({ piece }, i) => fitted.findIndex((each) => each.piece.id === piece.id) === i);
  const sized = file.opened && sizedBuild(file.opened, once, request);
  await writeFolder(request.out, {
    'fit.json': `${JSON.stringify(report, undefined, 2)}\n`,
    'pieces.svg': svgOf(asked, once),
    'sized.json': `${JSON.stringify({ pieces: once.map(outlinesOf), lines: [] })}\n`,
    ...(sized && { 'sized.foamwright': sized }),
  });
  return summary(request, report);
}

const ringOf = (path: Path) =>
  flattenPath(path, FLATTENING_MM).map(({ x, y }) => [rounded(x), rounded(y)] as const);

/** As in capture.json, so that fold-check, compare and fit read it again. */
function outlinesOf({ piece, plan }: Fitted) {
  const ofKind = (kind: string) =>
    plan.lines.filter((line) => line.kind === kind && line.path.closed).map(({ path }) => ringOf(path));
  return { name: piece.name, outer: ofKind('cut')[0]!, holes: ofKind('cutout') };
}

function svgOf({ measures }: HeadAndPieces, fitted: readonly Fitted[]): string {
  return piecesSvg({
    pieces: fitted.map(({ piece, plan }) => ({
      name: piece.name,
      count: piece.count + piece.mirroredCount,
      mirroredCount: piece.mirroredCount,
      foamName: piece.foamName,
      foamThicknessMm: piece.foam.thicknessMm,
      sizeLabel: `head girth ${measures.girthMm} mm`,
      revisionLabel: 'fitted',
      lines: plan.lines,
    })),
  });
}

/** The saved build with the fitted lines as a new revision of each piece, photos and all. */
function sizedBuild(
  { build, photos }: OpenedBuild,
  fitted: readonly Fitted[],
  request: FitRequest,
): Uint8Array {
  const changed = fitPieces(build, {
    stamp: { id: 'fitted', when: new Date().toISOString() },
    why: `fitted to ${fitted[0]!.need.girthMm} mm`,
    fits: fitted.map(({ piece, plan }) => ({ pieceId: piece.id, plan, mode: request.resize })),
  });
  return usable(packBuildFile(changed, photos));
}

const sizesOf = ({ wrapMm, alongMm, acrossMm, outlineMm, areaMm2 }: PieceSizes) => ({
  wrapMm: rounded(wrapMm),
  alongMm: rounded(alongMm),
  acrossMm: rounded(acrossMm),
  outlineMm: rounded(outlineMm),
  areaMm2: rounded(areaMm2, 2),
});

const wrapLineOf = ({ from, to, along }: WrapLine) => ({ from: pair(from), to: pair(to), along });

const sum = (values: readonly number[]) => values.reduce((all, value) => all + value, 0);

function pieceReport({ piece, need, plan }: Fitted) {
  const doubtMm = wrapDoubtMm(need);
  return {
    name: piece.name,
    foamThicknessMm: piece.foam.thicknessMm,
    neutralK: piece.foam.neutralK,
    underMm: piece.underMm,
    coverageDeg: rounded(degreesOf(piece.coverageRad)),
    wantedWrapMm: rounded(plan.wantedWrapMm),
    ...(doubtMm !== undefined && { wantedWrapToleranceMm: rounded(statedTolerance(doubtMm)) }),
    patternWrapMm: rounded(piece.patternWrapMm),
    differenceMm: rounded(plan.differenceMm),
    scale: rounded(plan.factor, 6),
    largestStretch: rounded(plan.largestStretch, 6),
    wrapLine: wrapLineOf(piece.wrapLine),
    sizedWrapLine: wrapLineOf(plan.wrapLine),
    before: sizesOf(plan.before),
    after: sizesOf(plan.after),
  };
}

/** What is left open between the last piece and the first, mm; below zero they lie over each other. */
function openRoundHead(
  { measures, easeMm, closesAt }: HeadAndPieces,
  fitted: readonly Fitted[],
  now: boolean,
): number {
  const pieces = fitted.map(({ piece, plan }) => ({
    name: piece.name,
    wrapMm: now ? piece.patternWrapMm : plan.after.wrapMm,
    foam: piece.foam,
    underMm: piece.underMm,
  }));
  return layRound(headSizeOf(measures), easeMm, pieces, closesAt).gapMm;
}

/** What fit.json holds; lengths mm, of all pieces together unless they stand under one piece. */
function reportOf(request: FitRequest, asked: HeadAndPieces, fitted: readonly Fitted[]) {
  const { measures, easeMm } = asked;
  const { us, uk, euCm } = hatSizeOf(measures.girthMm);
  const size = headSizeOf(measures);
  const wantedWrapMm = sum(fitted.map(({ plan }) => plan.wantedWrapMm));
  const patternWrapMm = sum(fitted.map(({ piece }) => piece.patternWrapMm));
  const { need } = fitted[0]!;
  return {
    girthMm: measures.girthMm,
    hatSize: { us, uk, euCm },
    headLengthMm: rounded(size.lengthMm, 1),
    headBreadthMm: rounded(size.breadthMm, 1),
    easeMm,
    ...(asked.hold && { hold: asked.hold }),
    foamThicknessMm: need.foam.thicknessMm,
    neutralK: need.foam.neutralK,
    resize: request.resize,
    /** A band of this foam that goes all the way round. */
    closedBandMm: rounded(wrapLengthMm({ ...need, coverageRad: 2 * Math.PI })),
    coverageDeg: rounded(degreesOf(sum(fitted.map(({ piece }) => piece.coverageRad)))),
    coverageFrom: asked.coverageFrom,
    wantedWrapMm: rounded(wantedWrapMm),
    patternWrapMm: rounded(patternWrapMm),
    differenceMm: rounded(wantedWrapMm - patternWrapMm),
    scaleAlongWrap: rounded(fitted.length === 1 ? fitted[0]!.plan.factor : wantedWrapMm / patternWrapMm, 6),
    openRoundHeadMm: {
      before: rounded(openRoundHead(asked, fitted, true), 2),
      after: rounded(openRoundHead(asked, fitted, false), 2),
    },
    pieces: fitted.map(pieceReport),
    notes: [...coverageDoubt(asked, fitted), ...new Set(fitted.flatMap(({ plan }) => plan.notes))],
  };
}

/** All round was taken because nothing else was said; a pattern much shorter than that hardly goes all round. */
function coverageDoubt({ coverageFrom }: HeadAndPieces, fitted: readonly Fitted[]): string[] {
  if (!coverageFrom.startsWith('all round')) return [];
  const wanted = sum(fitted.map(({ plan }) => plan.wantedWrapMm));
  const pattern = sum(fitted.map(({ piece }) => piece.patternWrapMm));
  if (Math.abs(Math.log(wanted / pattern)) < Math.log(1 + DOUBTFUL_RESIZE)) return [];
  const likely = likeliestCoverage(pattern, wanted);
  const hint =
    likely.id === 'all'
      ? ''
      : ` Its length is nearer to ${likely.words} of the way: --coverage ${likely.id}.`;
  return [
    `The wrap of ${pattern.toFixed(1)} mm was taken to go all round the head (${wanted.toFixed(1)} mm), for nothing says otherwise.${hint}`,
  ];
}

function summary(request: FitRequest, report: ReturnType<typeof reportOf>): string {
  const pieces = report.pieces.map(({ name, wantedWrapMm, patternWrapMm, scale, ...rest }) => {
    const tolerance =
      'wantedWrapToleranceMm' in rest && rest.wantedWrapToleranceMm !== undefined
        ? ` ± ${rest.wantedWrapToleranceMm.toFixed(1)} (${STATED_WORDS})`
        : '';
    return `${name}: wanted ${wantedWrapMm.toFixed(1)}${tolerance} mm, pattern ${patternWrapMm.toFixed(1)} mm, ${request.resize === 'whole' ? 'resized' : 'resized along the wrap'} by ${scale.toFixed(4)}`;
  });
  return [
    `Head ${report.girthMm} mm (hat ${report.hatSize.us} US, ${report.hatSize.uk} UK), ease ${report.easeMm} mm, ${report.coverageDeg.toFixed(0)}° of the way round`,
    ...pieces,
    ...report.notes.map((note) => `Note: ${note}`),
    `Wrote fit.json, pieces.svg and sized.json to ${request.out}`,
  ].join('\n');
}
