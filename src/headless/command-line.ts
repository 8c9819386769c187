import { parseArgs } from 'node:util';
import { isWithin, LIMITS, type Range } from '../build/limits.ts';
import { PAPER_THICKNESS_MM } from '../capture/card.ts';
import type { BankCardReference, PrinterCheck, Reference } from '../capture/types.ts';
import type { MeasuredBars } from '../capture/verify-printer.ts';
import type { DrawnOptions } from '../trace/drawn/drawn-types.ts';
import { DRAWN_OPTIONS, drawnArguments } from './drawn-arguments.ts';
import { COVERAGE_WORDS, radiansOf } from '../fit/coverage.ts';
import { type Hold, HOLDS } from '../fit/holding.ts';
import type { FitMode } from '../fit/scale-piece.ts';
import { cornersOf, referencesOf } from './reference-options.ts';
import { Unusable } from './unusable.ts';

export { Unusable } from './unusable.ts';

export const HELP = `Foamwright without a screen: measures the pieces in a photo of a mock-up beside printed scale cards.

  headless capture PHOTO [PHOTO ...] --out DIR [--thickness MM] [--reference WHAT] [--mode cut|drawn]
                                   [--bar-across MM --bar-along MM]
      Writes DIR/capture.json, DIR/pieces.svg, DIR/template.pdf and DIR/overlay.jpg.
      Several photos of one long piece, with scale cards that they share, are joined into one.
      --mode        cut: the pieces' edges (when left out); drawn: lines drawn on paper, with
                    --line-edge centre|outer|inner  of the stroke, --faintest-line SHARE of the
                    paper's light (0.18), --largest-gap MM that is bridged (3)
      --thickness   of the mock-up's material, mm; 0.1 (paper) when left out
      --reference   what it is measured by: cards (when left out), bank-card, a4, a3, letter, two-points; several
                    with commas between add up in one solve
      --sheet-sides SHORT,LONG
                    the sheet's own sides as measured with a ruler, mm: much surer than the paper's nominal size
      --corners U1,V1,U2,V2,U3,V3,U4,V4
                    where the bank card's or sheet's corners lie in the photo, pixels, roughly and in any order:
                    for one that is not found by itself
      --points U1,V1,U2,V2 --distance MM
                    two points: their places in the photo, pixels, and how far they are apart; only for a photo
                    taken from straight above
      --bar-across, --bar-along
                    the check bars of the card page (150 and 200 mm) as measured with a ruler, mm

  headless cards --out FILE.pdf [--paper A4|Letter]
      Writes the scale cards to print.

  headless check-printer PHOTO [--bar-across MM] [--bar-along MM] [--bank-card [--corners U1,V1,...]]
      Tells from a photo of an uncut card page how the printer stretches and skews. Absolute size needs one
      check bar as measured with a ruler, or a bank card lying beside the page in the photo (--bank-card; where
      it is not found by itself, --corners says where its four corners are, pixels, roughly and in any order).

  headless fold-check FILE [--limit MM]
      Folds every piece of a capture.json or a saved build and prints how far its halves differ, as JSON.
  headless compare OLD NEW [--limit MM] [--turned-over]
      Lays the pieces of NEW on those of OLD, without scaling, and prints what was trimmed and added, as JSON.
      --limit       differences above it are listed, mm; the build's own limit, or 2, when left out
      --turned-over the new pieces lie the other face up; tried both ways when left out

  headless fit FILE --out DIR [--girth MM] [--foam MM] [--ease MM] [--coverage all|half|third|quarter|DEGREES]
                    [--piece NAME ...] [--resize along-wrap|whole] [--neutral-k K] [--under MM]
                    [--hold tension|ears|cross-bar]
      Sizes the pieces of a capture.json or a saved build for a head and a foam, and writes DIR/fit.json,
      DIR/pieces.svg and DIR/sized.json (outlines as in capture.json; DIR/sized.foamwright too for a saved build).
      --girth, --foam, --ease
                    round the head, thickness, slack round the whole head; a saved build's own when left out
      --coverage    how far the pieces go round together; a saved build's own, or all round, when left out
      --piece       only this one goes round; may be given again; all pieces when left out
      --neutral-k   where bent foam keeps its length, 0 at the head to 1 outside; 0.5 is assumed
      --under       liner, padding and layers between head and foam, mm thick

Exit code 0 when all is done, 2 for input that cannot be used, with a sentence on standard error.
Lengths are in millimetres.`;

export interface CaptureRequest {
  readonly command: 'capture';
  readonly photo: string;
  /** More photos of the same table, to be joined with the first. */
  readonly otherPhotos?: readonly string[];
  readonly out: string;
  readonly thicknessMm: number;
  readonly printer?: PrinterCheck;
  /** Scale cards when left out. */
  readonly references?: readonly Reference[];
  /** Drawn lines are traced in place of cut pieces. */
  readonly drawn?: DrawnOptions;
}

export interface CardsRequest {
  readonly command: 'cards';
  readonly out: string;
  readonly paper: 'A4' | 'Letter';
}

export interface CheckPrinterRequest {
  readonly command: 'check-printer';
  readonly photo: string;
  readonly bars: MeasuredBars;
  /** A bank card that lies beside the page. */
  readonly bankCard?: BankCardReference;
}

export interface FoldCheckRequest {
  readonly command: 'fold-check';
  readonly file: string;
  readonly limitMm?: number;
}

export interface CompareRequest {
  readonly command: 'compare';
  readonly old: string;
  readonly fresh: string;
  readonly limitMm?: number;
  readonly turnedOver: boolean;
}

export interface FitRequest {
  readonly command: 'fit';
  readonly file: string;
  readonly out: string;
  readonly girthMm?: number;
  readonly foamMm?: number;
  readonly easeMm?: number;
  readonly neutralK?: number;
  readonly underMm?: number;
  readonly coverageRad?: number;
  readonly hold?: Hold;
  readonly resize: FitMode;
  /** Names of the pieces that go round; all when empty. */
  readonly pieces: readonly string[];
}

export type HeadlessRequest =
  | CaptureRequest
  | CardsRequest
  | CheckPrinterRequest
  | FoldCheckRequest
  | CompareRequest
  | FitRequest
  | { readonly command: 'help' };

/** Each photo is kept decoded until its edges are traced. */
const MOST_PHOTOS = 6;

const OPTIONS = {
  capture: {
    out: { type: 'string' },
    thickness: { type: 'string' },
    reference: { type: 'string', multiple: true },
    points: { type: 'string' },
    distance: { type: 'string' },
    'sheet-sides': { type: 'string' },
    corners: { type: 'string' },
    ...DRAWN_OPTIONS,
    'bar-across': { type: 'string' },
    'bar-along': { type: 'string' },
  },
  cards: { out: { type: 'string' }, paper: { type: 'string' } },
  checkPrinter: {
    'bar-across': { type: 'string' },
    'bar-along': { type: 'string' },
    'bank-card': { type: 'boolean' },
    corners: { type: 'string' },
  },
  foldCheck: { limit: { type: 'string' } },
  fit: {
    out: { type: 'string' },
    girth: { type: 'string' },
    foam: { type: 'string' },
    ease: { type: 'string' },
    coverage: { type: 'string' },
    piece: { type: 'string', multiple: true },
    resize: { type: 'string' },
    'neutral-k': { type: 'string' },
    under: { type: 'string' },
    hold: { type: 'string' },
  },
  compare: { limit: { type: 'string' }, 'turned-over': { type: 'boolean' } },
} as const;

/** What the command line asks for; throws Unusable with a sentence when it cannot be done. */
export function readCommandLine(args: readonly string[]): HeadlessRequest {
  const [command, ...rest] = args;
  if (command === undefined || args.includes('--help') || args.includes('-h')) return { command: 'help' };
  if (command === 'capture') return captureRequest(rest);
  if (command === 'cards') return cardsRequest(rest);
  if (command === 'check-printer') return checkPrinterRequest(rest);
  if (command === 'fold-check') return foldCheckRequest(rest);
  if (command === 'compare') return compareRequest(rest);
  if (command === 'fit') return fitRequest(rest);
  throw new Unusable(
    `There is no command "${command}"; use "capture", "cards", "check-printer", "fold-check", "compare" or "fit", or "--help" for all.`,
  );
}

function captureRequest(args: readonly string[]): CaptureRequest {
  const { values, positionals } = parsed(args, OPTIONS.capture);
  const [photo, ...otherPhotos] = positionals;
  if (photo === undefined) {
    throw new Unusable('Name a photo, as in "capture PHOTO --out DIR", or several that share scale cards.');
  }
  if (otherPhotos.length >= MOST_PHOTOS) {
    throw new Unusable(`At most ${MOST_PHOTOS} photos can be joined, not ${positionals.length}.`);
  }
  const references = referencesOf(values);
  if (otherPhotos.length > 0 && references?.some(({ kind }) => kind !== 'cards')) {
    throw new Unusable(
      'Several photos are joined by the scale cards that they share: leave out --reference.',
    );
  }
  const drawn = drawnArguments(values);
  if (drawn && otherPhotos.length > 0) throw new Unusable('Drawn lines are traced in one photo at a time.');
  const acrossMm = number('--bar-across', values['bar-across'], LIMITS.checkAcrossMm);
  const alongMm = number('--bar-along', values['bar-along'], LIMITS.checkAlongMm);
  if ((acrossMm === undefined) !== (alongMm === undefined)) {
    throw new Unusable('Give both check bars, --bar-across and --bar-along, or neither.');
  }
  return {
    command: 'capture',
    photo,
    ...(otherPhotos.length > 0 && { otherPhotos }),
    out: wanted('--out DIR', values.out),
    thicknessMm: number('--thickness', values.thickness, LIMITS.pieceThicknessMm) ?? PAPER_THICKNESS_MM,
    ...(acrossMm !== undefined && alongMm !== undefined && { printer: { acrossMm, alongMm } }),
    ...(references && { references }),
    ...(drawn && { drawn }),
  };
}

function cardsRequest(args: readonly string[]): CardsRequest {
  const { values, positionals } = parsed(args, OPTIONS.cards);
  if (positionals.length > 0) throw new Unusable('"cards" takes only --out FILE.pdf and --paper.');
  const { paper = 'A4' } = values;
  if (paper !== 'A4' && paper !== 'Letter') {
    throw new Unusable(`Scale cards are made for A4 and Letter paper, not for "${paper}".`);
  }
  return { command: 'cards', out: wanted('--out FILE.pdf', values.out), paper };
}

function checkPrinterRequest(args: readonly string[]): CheckPrinterRequest {
  const { values, positionals } = parsed(args, OPTIONS.checkPrinter);
  const [photo] = positionals;
  if (photo === undefined || positionals.length > 1) {
    throw new Unusable('Name exactly one photo of a card page, as in "check-printer PHOTO".');
  }
  const acrossMm = number('--bar-across', values['bar-across'], LIMITS.checkAcrossMm);
  const alongMm = number('--bar-along', values['bar-along'], LIMITS.checkAlongMm);
  if (values.corners !== undefined && !values['bank-card'])
    throw new Unusable('--corners belongs to the bank card beside the page: --bank-card --corners U1,V1,...');
  return {
    command: 'check-printer',
    photo,
    bars: { ...(acrossMm !== undefined && { acrossMm }), ...(alongMm !== undefined && { alongMm }) },
    ...(values['bank-card'] && { bankCard: { kind: 'bank-card', ...cornersOf(values.corners) } }),
  };
}

function foldCheckRequest(args: readonly string[]): FoldCheckRequest {
  const { values, positionals } = parsed(args, OPTIONS.foldCheck);
  const [file] = positionals;
  if (file === undefined || positionals.length > 1) {
    throw new Unusable('Name exactly one capture.json or saved build, as in "fold-check FILE".');
  }
  return { command: 'fold-check', file, ...limitOf(values.limit) };
}

function compareRequest(args: readonly string[]): CompareRequest {
  const { values, positionals } = parsed(args, OPTIONS.compare);
  const [old, fresh] = positionals;
  if (old === undefined || fresh === undefined || positionals.length > 2) {
    throw new Unusable('Name two files, the older one first, as in "compare OLD NEW".');
  }
  const turnedOver = values['turned-over'] ?? false;
  return { command: 'compare', old, fresh, ...limitOf(values.limit), turnedOver };
}

function fitRequest(args: readonly string[]): FitRequest {
  const { values, positionals } = parsed(args, OPTIONS.fit);
  const [file] = positionals;
  if (file === undefined || positionals.length > 1) {
    throw new Unusable('Name exactly one capture.json or saved build, as in "fit FILE --out DIR".');
  }
  const { resize = 'along-wrap' } = values;
  if (resize !== 'along-wrap' && resize !== 'whole') {
    throw new Unusable(`--resize can be "along-wrap" or "whole", not "${resize}".`);
  }
  const hold = HOLDS.find((each) => each === values.hold);
  if (values.hold !== undefined && !hold) {
    throw new Unusable(`--hold can be "tension", "ears" or "cross-bar", not "${values.hold}".`);
  }
  const girthMm = number('--girth', values.girth, LIMITS.girthMm);
  const foamMm = number('--foam', values.foam, LIMITS.foamThicknessMm);
  const easeMm = number('--ease', values.ease, LIMITS.easeMm);
  const neutralK = number('--neutral-k', values['neutral-k'], LIMITS.neutralK, '');
  const underMm = number('--under', values.under, UNDER_MM);
  const coverageRad = coverageOf(values.coverage);
  return {
    command: 'fit',
    file,
    out: wanted('--out DIR', values.out),
    resize,
    pieces: values.piece ?? [],
    ...(girthMm !== undefined && { girthMm }),
    ...(foamMm !== undefined && { foamMm }),
    ...(easeMm !== undefined && { easeMm }),
    ...(neutralK !== undefined && { neutralK }),
    ...(underMm !== undefined && { underMm }),
    ...(coverageRad !== undefined && { coverageRad }),
    ...(hold && { hold }),
  };
}

/** Liner, padding and one layer of the thickest foam. */
const UNDER_MM = { min: 0, max: 2 * LIMITS.liningMm.max + LIMITS.foamThicknessMm.max };

/** "half", or degrees of the way round. */
function coverageOf(value: string | undefined): number | undefined {
  const word = COVERAGE_WORDS.find(({ id }) => id === value);
  if (value === undefined || word) return word?.coverageRad;
  return radiansOf(number('--coverage', value, { min: 1, max: 360 }, '°')!);
}

function limitOf(value: string | undefined): { readonly limitMm?: number } {
  const limitMm = number('--limit', value, LIMITS.foldLimitMm);
  return limitMm === undefined ? {} : { limitMm };
}

type Options = Readonly<Record<string, { readonly type: 'string' | 'boolean'; readonly multiple?: boolean }>>;

function parsed<O extends Options>(args: readonly string[], options: O) {
  try {
    return parseArgs({ args: withSignedValues(args), options, allowPositionals: true, strict: true });
  } catch (thrown) {
    const [first] = (thrown instanceof Error ? thrown.message : String(thrown)).split(/[.\n]/u);
    throw new Unusable(`${first}; see "--help" for what can be asked.`);
  }
}

/** "--thickness -3" means the value -3, which is then refused as such, and not an option named 3. */
function withSignedValues(args: readonly string[]): string[] {
  return args.reduce<string[]>((joined, arg) => {
    const last = joined.at(-1);
    if (last?.startsWith('--') && /^-[\d.]/u.test(arg)) joined[joined.length - 1] = `${last}=${arg}`;
    else joined.push(arg);
    return joined;
  }, []);
}

function wanted(name: string, value: string | undefined): string {
  if (!value) throw new Unusable(`Say where to write, with ${name}.`);
  return value;
}

function number(name: string, value: string | undefined, range: Range, unit = ' mm'): number | undefined {
  if (value === undefined) return undefined;
  const figure = value.trim() === '' ? Number.NaN : Number(value);
  if (!isWithin(figure, range)) {
    throw new Unusable(`${name} must be a number from ${range.min} to ${range.max}${unit}, not "${value}".`);
  }
  return figure;
}
