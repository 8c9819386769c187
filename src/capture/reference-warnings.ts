/** What is wrong with a bank card, a sheet or two points as a reference, in words for the maker. */
import type { StrayLook } from './misfit.ts';
import { SHEET_SIZES } from './reference-shapes.ts';
import type { CaptureWarning, CaptureWarningCode, Reference, ReferenceFinding, SheetName } from './types.ts';

type Other = Exclude<Reference, { readonly kind: 'cards' }>;

function warn(code: CaptureWarningCode, message: string): CaptureWarning {
  return { code, message };
}

/** "the bank card", "the A4 sheet", "the two points". */
export function referenceName(reference: Pick<ReferenceFinding, 'kind' | 'sheet'>): string {
  if (reference.kind === 'bank-card') return 'the bank card';
  return reference.kind === 'sheet' ? `the ${reference.sheet} sheet` : 'the two points';
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** Proportions within this of a sheet's are that sheet's. */
const SAME_PROPORTION = 0.03;

/** Another sheet that a shape of these proportions could be. */
function otherSheet(asked: SheetName, aspect: number | undefined): string | undefined {
  if (aspect === undefined) return undefined;
  const like = (sheet: SheetName): boolean =>
    Math.abs((aspect * SHEET_SIZES[sheet][0]) / SHEET_SIZES[sheet][1] - 1) < SAME_PROPORTION;
  if (like(asked)) return undefined;
  if (like('Letter')) return 'Letter paper';
  return like('A4') ? 'A4 or A3 paper' : undefined;
}

/** Why there is no reference; `aspect` is that of a four-sided shape which did not fit. */
export function missingReference(reference: Other, aspect: number | undefined): CaptureWarning {
  const name = referenceName(reference);
  if (reference.kind !== 'two-points' && reference.nearPx) {
    return warn(
      'reference-missing',
      `No four straight sides of ${name} are to be seen near the corners that were pointed out, so nothing is measured by it. ` +
        'Point at its corners again, close up, or photograph it on a table of another tone.',
    );
  }
  const other = reference.kind === 'sheet' ? otherSheet(reference.sheet, aspect) : undefined;
  if (other) {
    return warn(
      'reference-missing',
      `The sheet in the photo has the proportions of ${other}, not of ${name.slice(4)}, so nothing is measured by it. ` +
        'Choose the paper that lies in the photo, or point out its corners.',
    );
  }
  return warn(
    'reference-missing',
    `${capital(name)} was not found in the photo, so nothing is measured by it. It must lie flat, whole in the picture, ` +
      'on a table of another tone, with all four sides to be seen. Point out its four corners on the photo, or take it again.',
  );
}

export function severalReferences(reference: Other, count: number): CaptureWarning {
  const name = referenceName(reference);
  return warn(
    'one-of-several',
    `${count} things in the photo could be ${name}; the likeliest was taken, and every length hangs on that. ` +
      'If the outline is on the wrong one, point out the four corners of the right one.',
  );
}

/** Several things could be the bank card. */
export function whichOfThem(count: number): CaptureWarning {
  return warn(
    'reference-missing',
    `${count} things in the photo could be the bank card, and a wrong one would spoil every length, so nothing is measured by it. ` +
      'Point out the four corners of the card on the photo.',
  );
}

/** A side that lies where the maker pointed. */
export function unclearSide(reference: Other): CaptureWarning {
  return warn(
    'side-unclear',
    `One side of ${referenceName(reference)} is not clearly seen and was taken where you pointed, to about 1.5 mm; the tolerance allows ` +
      'for that. Lay it on a table of another tone and take the photo again, and lengths become surer.',
  );
}

/** What fits a bank card only through a lens that the photo does not have. */
export const CARD_UNLIKELY =
  'What looks like the bank card fits one only if the lens is not the one that the photo names, so it may be something else, and nothing ' +
  "is measured by it. Point out its four corners on the photo, closely, or use the phone's original photo, neither cut nor zoomed.";

/** Nothing of the card's size has its corners. */
export function noRoundCorners(): CaptureWarning {
  return warn(
    'reference-missing',
    'What could be the bank card has square corners, while a bank card has round ones: it may be something else, so nothing is measured by it. ' +
      'If it is the card, point out its four corners on the photo.',
  );
}

export function squareCorners(): CaptureWarning {
  return warn(
    'square-corners',
    'What was taken for the bank card has square corners, while a bank card has round ones: it may be something else, and ' +
      'then every length is off. Check the outline on the photo, and point out the four corners of the card if it is wrong.',
  );
}

/** Nothing but its shape tells a bank card, and nothing else in the photo could contradict it. */
export function foundByShape(): CaptureWarning {
  return warn(
    'found-by-shape',
    'The bank card was found by its shape alone, and about one time in a hundred that is something else, which would make every length ' +
      'wrong. See whether its frame on the photo lies on the card; if not, point out its four corners.',
  );
}

/** Where the tolerance comes from when a single reference stands for all: one sentence each. */
export function loneReference(
  { kind, sheet }: ReferenceFinding,
  isMeasured: boolean,
): readonly CaptureWarning[] {
  if (kind === 'bank-card') {
    return [
      warn(
        'small-reference',
        "A bank card is small, so lengths become less sure with every hand's breadth away from it (the tolerance says how much). " +
          'Lay it close beside the piece, or add scale cards on the other sides.',
      ),
    ];
  }
  if (kind === 'two-points') {
    return [
      warn(
        'straight-above-assumed',
        'Two points cannot show whether the phone was held level: the photo is taken as looking straight down to within 2.5°, and the ' +
          'tolerance allows for no more. If it was tilted, lengths are off by more than stated; use a card or a sheet instead.',
      ),
    ];
  }
  if (isMeasured) return [];
  return [
    warn(
      'sheet-unmeasured',
      `${sheet} paper may by its standard be 2 mm longer or shorter than its name says, and the tolerance allows for that. ` +
        'Measure both sides of the sheet with a ruler and enter them, and the lengths become much surer.',
    ),
  ];
}

/** A sheet whose sides stand off straight by more than this, mm, is curled or cut crooked. */
const CURLED_MM = 0.45;
/** A reference whose size is off by so many of its doubts is something else. */
const OTHER_SIZE_SIGMAS = 3;

/** A used reference that is not as it should be: how its sides came out, mm, and the doubts they had. */
export function outlineWarnings(
  finding: ReferenceFinding,
  sides: {
    readonly shiftMm: readonly number[];
    readonly unevenMm: number;
    readonly shiftDoubtMm: number;
  },
): readonly CaptureWarning[] {
  const name = referenceName(finding);
  const warnings: CaptureWarning[] = [];
  const growth = [0, 1].map((k) => sides.shiftMm[k]! + sides.shiftMm[k + 2]!);
  const most = growth.reduce((a, b) => (Math.abs(a) > Math.abs(b) ? a : b));
  if (Math.abs(most) > OTHER_SIZE_SIGMAS * Math.SQRT2 * sides.shiftDoubtMm) {
    warnings.push(
      warn(
        'reference-other-size',
        `By the other references ${name} is ${Math.abs(most).toFixed(1)} mm ${most > 0 ? 'larger' : 'smaller'} than it should be: it is ` +
          'something else, does not lie flat on their table, or they were printed at another size. Check all of them.',
      ),
    );
  }
  if (finding.kind === 'sheet' && sides.unevenMm > CURLED_MM) {
    warnings.push(
      warn(
        'sheet-curled',
        `The sides of ${name} are up to ${sides.unevenMm.toFixed(1)} mm off straight: it is curled, or was not cut square, so lengths are ` +
          'less sure. Flatten it, or weigh its corners down, and take the photo again.',
      ),
    );
  }
  return warnings;
}

/** A reference that the robust solve left out. */
export function strayReference(finding: ReferenceFinding, { size }: StrayLook): CaptureWarning {
  const name = referenceName(finding);
  const percent = 100 * Math.abs(size - 1);
  const looks =
    percent > 0.2
      ? `looks ${percent.toFixed(1)} % ${size > 1 ? 'larger' : 'smaller'} than the others say`
      : 'does not agree with the others';
  return warn(
    'reference-left-out',
    `${capital(name)} ${looks}, so it was not used. Check that it lies flat on the same table, and that it is what you chose.`,
  );
}

/** Two references that contradict each other: neither can be left out. */
export function referencesDisagree(names: readonly string[]): CaptureWarning {
  return warn(
    'reference-left-out',
    `${capital(names.join(' and '))} contradict each other: one is not what it should be, or does not lie flat on the table. With two ` +
      'nobody can tell which, so do not trust the lengths. Add scale cards, all flat on the table, and take the photo again.',
  );
}
