/** What the worker does for each request: the engine's rooms, fed with decoded photos and the vision engine. */
import { capturePhoto } from '../capture/capture-photo.ts';
import { flattenedView } from '../capture/flattened-view.ts';
import { type Outcome, success } from '../outcome.ts';
import { pageSetupProblem } from '../template/paper.ts';
import type { TemplateInput } from '../template/template-input.ts';
import { tracePieces } from '../trace/trace-pieces.ts';
import type { Vision } from '../vision/opencv.ts';
import type { Raster } from '../vision/raster.ts';
import type { DecodedPhoto } from './decode-photo.ts';
import type { PhotoRef } from './protocol.ts';
import type { CallContext, Handlers } from './request-desk.ts';
import type { VisionLoader } from './vision-loader.ts';

export interface EngineSurroundings {
  readonly vision: VisionLoader;
  /** Makes a preview with a longest side of `previewPx` too, unless that is 0. */
  readonly decode: (bytes: Blob, previewPx: number) => Promise<Outcome<DecodedPhoto>>;
  /** A picture that can be shown, of a raster that was made for it. */
  readonly toBitmap: (raster: Raster) => Promise<ImageBitmap>;
}

export function createHandlers({ vision, decode, toBitmap }: EngineSurroundings): Handlers {
  /** The photo in hand: only one is kept decoded, for each takes up to 240 MB. */
  let inHand: { readonly photoKey: string; readonly raster: Raster } | undefined;

  const rasterOf = async (
    { photoKey, bytes }: PhotoRef,
    { progress }: CallContext,
  ): Promise<Outcome<Raster>> => {
    if (inHand?.photoKey === photoKey) return success(inHand.raster);
    progress('opening the photo', 0);
    inHand = undefined;
    const decoded = await decode(bytes, 0);
    if (!decoded.ok) return decoded;
    inHand = { photoKey, raster: decoded.value.raster };
    return success(decoded.value.raster);
  };

  /** Engine and pixels, both made ready at the same time. */
  const readyFor = async (
    photo: PhotoRef,
    context: CallContext,
  ): Promise<Outcome<{ readonly engine: Vision; readonly raster: Raster }>> => {
    const loading = vision.get();
    const raster = await rasterOf(photo, context);
    if (!raster.ok) return raster;
    if (!vision.loaded) context.progress('loading the measuring engine', 0);
    const engine = await loading;
    return engine.ok ? success({ engine: engine.value, raster: raster.value }) : engine;
  };

  return {
    async openPhoto({ photo: { photoKey, bytes }, previewPx }, { progress, transfer }) {
      progress('opening the photo', 0);
      // The engine loads meanwhile, for measuring comes next; that it cannot is told then.
      void vision.get();
      inHand = undefined;
      const decoded = await decode(bytes, previewPx);
      if (!decoded.ok) return decoded;
      const { raster, facts, preview } = decoded.value;
      if (!preview) throw new Error('openPhoto needs a preview size');
      inHand = { photoKey, raster };
      transfer(preview);
      return success({ photoKey, widthPx: raster.width, heightPx: raster.height, facts, preview });
    },

    closePhoto({ photoKey }) {
      if (inHand?.photoKey === photoKey) inHand = undefined;
      return success(undefined);
    },

    async capture({ photo, options }, context) {
      const ready = await readyFor(photo, context);
      if (!ready.ok) return ready;
      const { engine, raster } = ready.value;
      return capturePhoto(engine, raster, options, context.progress);
    },

    async checkPrinter({ photo, facts, bankCard }, context) {
      const ready = await readyFor(photo, context);
      if (!ready.ok) return ready;
      const { engine, raster } = ready.value;
      // Seldom asked for, so loaded only then.
      const { verifyPrinter } = await import('../capture/verify-printer.ts');
      return verifyPrinter(engine, raster, facts, context.progress, bankCard);
    },

    async trace({ photo, capture, options }, context) {
      const ready = await readyFor(photo, context);
      if (!ready.ok) return ready;
      const { engine, raster } = ready.value;
      if (!options.drawn) return success(tracePieces(engine, raster, capture, options, context.progress));
      const { traceDrawn } = await import('../trace/drawn/trace-drawn.ts');
      return success(traceDrawn(engine, raster, capture, options.drawn, context.progress));
    },

    async liveWire({ photo, edge: { camera, zMm, ends } }, context) {
      const raster = await rasterOf(photo, context);
      if (!raster.ok) return raster;
      const { liveWire } = await import('../trace/live-wire.ts');
      return liveWire(raster.value, camera, zMm, ends, context.progress);
    },

    async shapeLines({ lines, shape }) {
      const { shapeLines } = await import('../trace/shape-lines.ts');
      return success(shapeLines(lines, shape, () => crypto.randomUUID()));
    },

    async joinPhotos({ photos }) {
      const { joinPhotos } = await import('../capture/join-photos.ts');
      return joinPhotos(photos);
    },

    async joinTraces({ joined, traces, options }) {
      const { joinTraces } = await import('../trace/join-traces.ts');
      return success(joinTraces(joined, traces, options));
    },

    async flattenedView({ photo, view }, context) {
      const raster = await rasterOf(photo, context);
      if (!raster.ok) return raster;
      const { camera, area, pxPerMm, zMm } = view;
      const bitmap = await toBitmap(flattenedView(raster.value, camera, area, pxPerMm, zMm));
      context.transfer(bitmap);
      return success(bitmap);
    },

    async templateLayout({ input }) {
      const refusal = refusalOf(input);
      if (refusal) return refusal;
      const { layoutTemplate } = await import('../template/layout.ts');
      return success(layoutTemplate(input));
    },

    async templatePdf({ input }, { transfer }) {
      const refusal = refusalOf(input);
      if (refusal) return refusal;
      // The PDF writer and its font load only when a PDF is asked for.
      const { templatePdf } = await import('../template/template-pdf.ts');
      return handedOver(await templatePdf(input), transfer);
    },

    async scaleCardPages({ paper }, { transfer }) {
      const { scaleCardPages } = await import('../template/card-page.ts');
      return handedOver(await scaleCardPages(paper), transfer);
    },

    async findAxes({ outline, others }) {
      const { findAxes } = await import('../mirror/find-axes.ts');
      return success(findAxes(outline, others));
    },

    async mend({ lines, axis, mode, stretch }) {
      if (stretch) {
        const { mendStretch } = await import('../refit/mend-stretch.ts');
        return mendStretch(lines, axis, mode, stretch);
      }
      const { mend } = await import('../mirror/mend.ts');
      return mend(lines, axis, mode);
    },

    async checkPair({ left, right, limitMm, excused }) {
      const { checkPair } = await import('../mirror/check-pair.ts');
      return checkPair(left, right, limitMm, excused);
    },

    async compareRevisions({ oldLines, newLines, options }) {
      const { compareRevisions } = await import('../refit/compare-revisions.ts');
      return compareRevisions(oldLines, newLines, options);
    },

    async seamSlips({ oldLines, newLines, comparison, template, piece }) {
      const refusal = refusalOf(template);
      if (refusal) return refusal;
      const { layoutTemplate } = await import('../template/layout.ts');
      const { tilesOnPiece } = await import('../template/tiles-on-piece.ts');
      const { seamSlips } = await import('../refit/seam-slips.ts');
      const { tiles, seams } = tilesOnPiece(layoutTemplate(template), piece);
      return success(seamSlips(oldLines, newLines, comparison, tiles, seams));
    },

    async acceptRefit({ oldLines, newLines, comparison, accepted }) {
      const { acceptRefit } = await import('../refit/carry-lines.ts');
      return acceptRefit(oldLines, newLines, comparison, accepted ? { accepted } : {});
    },
  };
}

function refusalOf({ pageSetup }: TemplateInput): Outcome<never> | undefined {
  const problem = pageSetupProblem(pageSetup);
  return problem && { ok: false, problem };
}

/** Bytes with a buffer of their own, which can change hands. */
function handedOver(bytes: Uint8Array, transfer: CallContext['transfer']): Outcome<Uint8Array<ArrayBuffer>> {
  const own = new Uint8Array(bytes);
  transfer(own.buffer);
  return success(own);
}
