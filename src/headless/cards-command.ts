import { writeFile } from 'node:fs/promises';
import { scaleCardPages } from '../template/card-page.ts';
import { type CardsRequest, Unusable } from './command-line.ts';

/** Writes the pages of scale cards; gives the words for standard output. */
export async function writeCardPages({ out, paper }: CardsRequest): Promise<string> {
  const pages = await scaleCardPages(paper);
  try {
    await writeFile(out, pages);
  } catch {
    throw new Unusable(`"${out}" cannot be written; choose a file in a folder that exists.`);
  }
  return `Wrote the scale cards for ${paper} to ${out}: print at 100 %, never "fit to page".`;
}
