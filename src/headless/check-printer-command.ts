import { STATED_WORDS, statedTolerance } from '../stated-tolerance.ts';
import {
  type PrintFinding,
  type PrintSize,
  printSize,
  verifyPrinter,
  type WithDoubt,
} from '../capture/verify-printer.ts';
import { type CheckPrinterRequest, Unusable } from './command-line.ts';
import { loadVisionInNode } from './load-vision.ts';
import { readPhotoInput } from './photo-input.ts';

/** Checks a printer by a photo of its uncut card page; gives the words for standard output. */
export async function runCheckPrinter({ photo: path, bars, bankCard }: CheckPrinterRequest): Promise<string> {
  const photo = await readPhotoInput(path);
  const outcome = verifyPrinter(await loadVisionInNode(), photo.raster, photo.facts, undefined, bankCard);
  if (!outcome.ok) throw new Unusable(outcome.problem.message);
  const lines = [...findingLines(outcome.value), ...sizeLines(printSize(outcome.value, bars))];
  return [...lines, `Each ± holds ${STATED_WORDS}`].join('\n');
}

const figure = ({ value, tolerance }: WithDoubt, gain: number, digits: number): string =>
  `${(gain * value).toFixed(digits)} ± ${(gain * statedTolerance(tolerance)).toFixed(digits)}`;

function findingLines({ cardIds, ratio, skewRad, unevenMm }: PrintFinding): readonly string[] {
  const { rms, worst, worstCardId } = unevenMm;
  return [
    `Cards of the page: ${cardIds.join(', ')}`,
    `Across over along: ${figure(ratio, 1, 5)}`,
    `Skew: ${figure(skewRad, 180 / Math.PI, 3)} degrees`,
    `Uneven by ${rms.toFixed(3)} mm, at most ${worst.toFixed(3)} mm at card ${worstCardId}`,
  ];
}

/** Bars farther than this from the photo's ratio contradict it. */
const CONTRADICTION_SIGMAS = 3;

function sizeLines(size: PrintSize | undefined): readonly string[] {
  if (!size) {
    return [
      'Absolute size: not known from the photo alone; give a check bar as measured with --bar-across or --bar-along, or lay a bank card beside the page and give --bank-card',
    ];
  }
  const { acrossScale, alongScale, check, barsOffSigmas = 0 } = size;
  return [
    `Printed across at ${figure(acrossScale, 100, 2)} %, along at ${figure(alongScale, 100, 2)} %`,
    `As check bars: --bar-across ${check.acrossMm.toFixed(2)} --bar-along ${check.alongMm.toFixed(2)}`,
    ...(barsOffSigmas > CONTRADICTION_SIGMAS
      ? ['The two bars do not agree with the photo, so one of the three is wrong: measure the bars again']
      : []),
  ];
}
