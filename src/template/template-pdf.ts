import { drawCover } from './draw-cover.ts';
import { drawSheet, pageFrameOf } from './draw-sheet.ts';
import { layoutTemplate } from './layout.ts';
import { PdfFile } from './pdf-file.ts';
import { printableText } from './printable-text.ts';
import type { TemplateInput } from './template-input.ts';

/**
 * The template as a PDF in true mm: a cover with page map, list of pieces and cautions, then the sheets of
 * `layoutTemplate`. With a measured printer scale the drawing is divided by it, so that it is the print that is true.
 * The same input gives the same bytes. Throws for a page set-up that `pageSetupProblem` names.
 */
export async function templatePdf(input: TemplateInput): Promise<Uint8Array> {
  const layout = layoutTemplate(input);
  const file = await PdfFile.begin(printableText(input.buildName));
  const begin = () => file.page(layout.frame.paper, pageFrameOf(layout.frame));
  drawCover(begin, input, layout);
  for (const sheet of layout.sheets) {
    const drawing = begin();
    drawSheet(drawing, input, layout, sheet);
    drawing.finish();
  }
  return file.bytes();
}
