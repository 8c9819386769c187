import { success } from '../../outcome.ts';
import type { TemplateInput } from '../../template/template-input.ts';
import { download, fileStem } from '../download.ts';
import { engine } from '../engine.ts';
import { runJob } from '../jobs.ts';

/** Key of the job that makes a file; one at a time. */
export const FILE_JOB = 'template-file';

const PDF = 'application/pdf';
/** A tab goes on reading its address for as long as it is reloaded or saved. */
const TAB_MS = 600_000;

function makePdf(input: TemplateInput): Promise<Uint8Array<ArrayBuffer> | undefined> {
  return runJob(FILE_JOB, 'Drawing the pages', (progress, signal) =>
    engine.templatePdf(input, { progress, signal }),
  );
}

export async function downloadPdf(input: TemplateInput): Promise<void> {
  const bytes = await makePdf(input);
  if (bytes) download(`${fileStem(input.buildName)}-template-${input.pageSetup.paper}.pdf`, bytes, PDF);
}

/** The fold card of one piece; `input` holds nothing else. */
export async function downloadFoldCard(input: TemplateInput, pieceName: string): Promise<void> {
  const bytes = await makePdf(input);
  if (bytes) download(`${fileStem(pieceName)}-fold-card-${input.pageSetup.paper}.pdf`, bytes, PDF);
}

export async function downloadSvg(input: TemplateInput): Promise<void> {
  const text = await runJob(FILE_JOB, 'Drawing the pieces', async () => {
    const { piecesSvg } = await import('../../template/pieces-svg.ts');
    return success(piecesSvg(input));
  });
  if (text !== undefined) download(`${fileStem(input.buildName)}-pieces.svg`, text, 'image/svg+xml');
}

/** Shows the PDF in a tab of its own, where the browser's print button is. Must be called straight from a press. */
export async function openToPrint(input: TemplateInput): Promise<void> {
  // Opened before the work: a tab that opens seconds after the press is taken for an advertisement.
  const tab = window.open('', '_blank');
  const bytes = await makePdf(input);
  if (!bytes) return tab?.close();
  const url = URL.createObjectURL(new Blob([bytes], { type: PDF }));
  if (tab) tab.location.href = url;
  else window.open(url, '_blank');
  setTimeout(() => URL.revokeObjectURL(url), TAB_MS);
}
