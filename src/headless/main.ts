import { HELP, readCommandLine, Unusable } from './command-line.ts';

async function run(args: readonly string[]): Promise<void> {
  const request = readCommandLine(args);
  if (request.command === 'help') {
    console.log(HELP);
  } else if (request.command === 'cards') {
    // Each command loads only what it needs: a slip of the pen is answered at once.
    const { writeCardPages } = await import('./cards-command.ts');
    console.log(await writeCardPages(request));
  } else if (request.command === 'check-printer') {
    const { runCheckPrinter } = await import('./check-printer-command.ts');
    console.log(await runCheckPrinter(request));
  } else if (request.command === 'capture' && request.otherPhotos) {
    const { runJoinedCapture } = await import('./join-command.ts');
    console.log(await runJoinedCapture(request));
  } else if (request.command === 'fold-check') {
    const { runFoldCheck } = await import('./fold-check-command.ts');
    console.log(await runFoldCheck(request));
  } else if (request.command === 'fit') {
    const { runFit } = await import('./fit-command.ts');
    console.log(await runFit(request));
  } else if (request.command === 'compare') {
    const { runCompare } = await import('./compare-command.ts');
    console.log(await runCompare(request));
  } else {
    const { runCapture } = await import('./capture-command.ts');
    console.log(await runCapture(request));
  }
}

/** A problem's sentences as one, for scripts that read a single line. */
function oneSentence(words: string): string {
  return words
    .trim()
    .replace(/\s+/gu, ' ')
    .replace(/[.!?] (\p{Lu})(?=\p{Ll}|\s)/gu, (_, first: string) => `; ${first.toLowerCase()}`);
}

try {
  await run(process.argv.slice(2));
} catch (thrown) {
  const words = thrown instanceof Error ? thrown.message : String(thrown);
  console.error(oneSentence(words));
  process.exitCode = thrown instanceof Unusable ? 2 : 1;
}
