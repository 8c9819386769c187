import { basename } from 'node:path';
import { planeToImage } from '../capture/camera.ts';
import { capturePhoto } from '../capture/capture-photo.ts';
import { joinPhotos } from '../capture/join-photos.ts';
import type { PhotoToJoin } from '../capture/join-types.ts';
import type { CaptureOptions } from '../capture/types.ts';
import { piecesSvg } from '../template/pieces-svg.ts';
import { templatePdf } from '../template/template-pdf.ts';
import { joinTraces } from '../trace/join-traces.ts';
import { tracePieces } from '../trace/trace-pieces.ts';
import { DEFAULT_TRACE_OPTIONS, type TraceResult } from '../trace/types.ts';
import type { Raster } from '../vision/raster.ts';
import { templateInput, usable } from './capture-command.ts';
import { type CaptureRequest, Unusable } from './command-line.ts';
import { joinedReport, joinedSummary } from './join-report.ts';
import { loadVisionInNode } from './load-vision.ts';
import { overlayJpeg } from './overlay.ts';
import { readPhotoInput } from './photo-input.ts';
import { Stopwatch } from './stopwatch.ts';
import { writeFolder } from './write-folder.ts';

interface SeenPhoto extends PhotoToJoin {
  readonly raster: Raster;
}

const overlayName = (photo: number): string => (photo === 0 ? 'overlay.jpg' : `overlay-${photo + 1}.jpg`);

/** Measures pieces over several photos of one table and writes what was found; gives the words for standard output. */
export async function runJoinedCapture(request: CaptureRequest): Promise<string> {
  const { out, thicknessMm, printer } = request;
  const paths = [request.photo, ...(request.otherPhotos ?? [])];
  const watch = new Stopwatch();
  const vision = await loadVisionInNode();
  const seen: SeenPhoto[] = [];
  for (const [index, path] of paths.entries()) {
    const name = `photo ${index + 1}`;
    const photo = await watch.time(`open ${name}`, () => readPhotoInput(path));
    const options: CaptureOptions = { facts: photo.facts, thicknessMm, ...(printer && { printer }) };
    const outcome = await watch.time(`capture ${name}`, () => capturePhoto(vision, photo.raster, options));
    if (!outcome.ok) throw new Unusable(`Photo ${index + 1}: ${outcome.problem.message}`);
    seen.push({ raster: photo.raster, options, capture: outcome.value });
  }
  const joined = usable(await watch.time('join', () => joinPhotos(seen)));
  const traces: TraceResult[] = [];
  for (const [index, { raster }] of seen.entries()) {
    const trace = () => tracePieces(vision, raster, joined.captures[index]!, DEFAULT_TRACE_OPTIONS);
    traces.push(await watch.time(`trace photo ${index + 1}`, trace));
  }
  const trace = await watch.time('join outlines', () => joinTraces(joined, traces, DEFAULT_TRACE_OPTIONS));
  if (trace.pieces.length === 0) {
    throw new Unusable(
      trace.warnings[0]?.message ?? 'No piece was found beside the cards, so there is nothing to print.',
    );
  }
  const pieces = trace.pieces.map((piece) => ({ ...piece, warnings: [] }));
  const input = templateInput(pieces, printer);
  const files: Record<string, string | Uint8Array> = { 'pieces.svg': piecesSvg(input) };
  files['template.pdf'] = await watch.time('template', () => templatePdf(input));
  for (const [index, { raster }] of seen.entries()) {
    const capture = joined.captures[index]!;
    // Only what lies before this photo's camera can be drawn on it.
    const shown = pieces.filter(({ outer }) =>
      outer.measured.every((point) => Number.isFinite(planeToImage(capture.camera, point).u)),
    );
    files[overlayName(index)] = await watch.time(`overlay ${index + 1}`, () =>
      overlayJpeg(raster, capture, { pieces: shown }),
    );
  }
  const names = paths.map((path) => basename(path));
  files['capture.json'] = `${JSON.stringify(joinedReport(joined, names, trace, watch.timings))}\n`;
  await writeFolder(out, files);
  return `${joinedSummary(joined, trace)}\nWrote ${Object.keys(files).sort().join(', ')} to ${out}`;
}
