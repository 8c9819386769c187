import fontkit from '@cantoo/fontkit';
import { PDFDocument, type PDFFont, PrintScaling } from '@cantoo/pdf-lib';
import { FONT_BASE64 } from './font-data.ts';
import type { PaperSize } from './paper.ts';
import { type PageFrame, PdfDrawing, POINTS_PER_MM } from './pdf-drawing.ts';

/** A PDF being made: the same input gives the same bytes (no clock, no chance). */
export class PdfFile {
  readonly #document: PDFDocument;
  readonly #font: PDFFont;

  private constructor(document: PDFDocument, font: PDFFont) {
    this.#document = document;
    this.#font = font;
  }

  static async begin(title: string): Promise<PdfFile> {
    const document = await PDFDocument.create({ updateMetadata: false });
    document.registerFontkit(fontkit);
    document.setTitle(title, { showInWindowTitleBar: true });
    document.setCreator('Foamwright');
    // Asks the print dialogue for 100 %; the check squares tell whether it listened.
    document.catalog.getOrCreateViewerPreferences().setPrintScaling(PrintScaling.None);
    const font = await document.embedFont(fontBytes(), { subset: true });
    return new PdfFile(document, font);
  }

  /** A new page of the paper's exact size. */
  page({ widthMm, heightMm }: PaperSize, frame: PageFrame): PdfDrawing {
    const page = this.#document.addPage([widthMm * POINTS_PER_MM, heightMm * POINTS_PER_MM]);
    return new PdfDrawing(page, this.#font, frame);
  }

  bytes(): Promise<Uint8Array> {
    return this.#document.save();
  }
}

function fontBytes(): Uint8Array {
  return Uint8Array.from(atob(FONT_BASE64), (letter) => letter.charCodeAt(0));
}
