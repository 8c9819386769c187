import { capturePhoto } from '../capture/capture-photo.ts';
import { STATED_WORDS, statedTolerance } from '../stated-tolerance.ts';
import type { PrinterCheck } from '../capture/types.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import type { Outcome } from '../outcome.ts';
import { piecesSvg } from '../template/pieces-svg.ts';
import { printerScaleOf } from '../template/paper.ts';
import type { TemplateInput, TemplatePiece } from '../template/template-input.ts';
import { templatePdf } from '../template/template-pdf.ts';
import { traceDrawn } from '../trace/drawn/trace-drawn.ts';
import { tracePieces } from '../trace/trace-pieces.ts';
import { DEFAULT_TRACE_OPTIONS, type TracedPiece } from '../trace/types.ts';
import { captureReport, captureSummary, pieceName, surerSentences } from './capture-report.ts';
import { type CaptureRequest, Unusable } from './command-line.ts';
import { loadVisionInNode } from './load-vision.ts';
import { overlayJpeg } from './overlay.ts';
import { readPhotoInput } from './photo-input.ts';
import { Stopwatch } from './stopwatch.ts';
import { writeFolder } from './write-folder.ts';

/** Measures the pieces in a photo and writes what was found; gives the words for standard output. */
export async function runCapture({
  photo: path,
  out,
  thicknessMm,
  printer,
  references,
  drawn,
}: CaptureRequest): Promise<string> {
  const watch = new Stopwatch();
  const photo = await watch.time('open', () => readPhotoInput(path));
  const vision = await loadVisionInNode();
  const options = {
    facts: photo.facts,
    thicknessMm,
    ...(printer && { printer }),
    ...(references && { references }),
  };
  const capture = usable(await watch.time('capture', () => capturePhoto(vision, photo.raster, options)));
  const trace = await watch.time('trace', () =>
    drawn
      ? traceDrawn(vision, photo.raster, capture, drawn)
      : tracePieces(vision, photo.raster, capture, DEFAULT_TRACE_OPTIONS),
  );
  if (trace.pieces.length === 0) {
    throw new Unusable(
      trace.warnings[0]?.message ?? 'No piece was found in the photo, so there is nothing to print.',
    );
  }
  const input = templateInput(trace.pieces, printer);
  const svg = piecesSvg(input);
  const pdf = await watch.time('template', () => templatePdf(input));
  const overlay = await watch.time('overlay', () => overlayJpeg(photo.raster, capture, trace));
  const surer = surerSentences(capture, trace, options);
  const report = { ...captureReport(capture, trace, watch.timings), surer };
  await writeFolder(out, {
    'capture.json': `${JSON.stringify(report)}\n`,
    'pieces.svg': svg,
    'template.pdf': pdf,
    'overlay.jpg': overlay,
  });
  return `${captureSummary(capture, trace, surer)}\nWrote capture.json, pieces.svg, template.pdf and overlay.jpg to ${out}`;
}

export function usable<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Unusable(outcome.problem.message);
  return outcome.value;
}

/** The same printer made the cards and will make the template: its check bars correct both. */
export function templateInput(
  pieces: readonly TracedPiece[],
  printer: PrinterCheck | undefined,
): TemplateInput {
  return {
    buildName: 'Headpiece',
    date: new Date().toISOString().slice(0, 10),
    pieces: pieces.map(templatePiece),
    pageSetup: {
      paper: 'A4',
      marginMm: 8,
      overlapMm: 10,
      ...(printer && { printerScale: printerScaleOf(printer) }),
    },
  };
}

function templatePiece(
  { outer, holes, innerLines = [], toleranceMm }: TracedPiece,
  index: number,
): TemplatePiece {
  const holeLines = holes.map(
    ({ path }, hole): PieceLine => ({ id: `hole-${hole + 1}`, kind: 'cutout', path }),
  );
  const scoreLines = innerLines.map(
    ({ path }, line): PieceLine => ({ id: `score-${line + 1}`, kind: 'score', path }),
  );
  return {
    name: pieceName(index),
    count: 1,
    mirroredCount: 0,
    // Without a screen no foam has been chosen; the build's usual one is named.
    foamName: 'foam not chosen',
    sizeLabel: `as measured, ± ${statedTolerance(toleranceMm).toFixed(1)} mm ${STATED_WORDS}`,
    revisionLabel: 'traced from photo',
    lines: [{ id: 'outer', kind: 'cut', path: outer.path }, ...holeLines, ...scoreLines],
  };
}
