/** The absolute size of a print from a bank card that lies beside the page. */
import type { Progress } from '../outcome.ts';
import type { Vision } from '../vision/opencv.ts';
import type { Raster } from '../vision/raster.ts';
import { capturePhoto } from './capture-photo.ts';
import { PAPER_THICKNESS_MM } from './card.ts';
import { PRINT_SCALE_SIGMA } from './priors.ts';
import type { BankCardReference, PhotoFacts } from './types.ts';

/** True length of a printed millimetre, mean of both ways, and one sigma of it; or in words why there is none. */
export type PrintScaleOutcome =
  | { readonly scale: { readonly value: number; readonly tolerance: number } }
  | { readonly missing: string };

const BY_RULER = 'Or measure a bar with a ruler.';
const UNUSED =
  'The bank card does not agree with the page, so it says nothing of the size. Lay both flat on one table, the card beside the page, ' +
  'and take the photo again, or measure a bar with a ruler.';
/** What is left of the solve's own belief in the printer must be less than this share of what the card says. */
const LEAST_OWN_SHARE = 0.2;

/**
 * Solves for page and bank card together and takes the solve's belief that printers are true (Gaussian, about 1) out
 * of the result again: the product of two Gaussians, divided by one of them. `bankCard` may say where its corners are.
 */
export function printScaleByBankCard(
  vision: Vision,
  photo: Raster,
  facts: PhotoFacts,
  bankCard: BankCardReference,
  progress?: Progress,
): PrintScaleOutcome {
  const outcome = capturePhoto(
    vision,
    photo,
    {
      facts,
      thicknessMm: PAPER_THICKNESS_MM,
      references: [{ kind: 'cards' }, bankCard],
    },
    progress,
  );
  if (!outcome.ok) return { missing: outcome.problem.message };
  const { references, covariance, parameters, printScale, warnings } = outcome.value;
  if (!references) {
    const why = warnings.flatMap(({ code, message }) => (code === 'reference-missing' ? [message] : []));
    return { missing: [...why, BY_RULER].join(' ') };
  }
  if (!references[0]!.used) return { missing: UNUSED };
  const n = parameters.length;
  const [a, b] = [parameters.indexOf('lnAcross'), parameters.indexOf('lnAlong')];
  const at = (row: number, column: number): number => covariance[row * n + column]!;
  const variance = (at(a, a) + 2 * at(a, b) + at(b, b)) / 4;
  const whole = 1 / variance;
  const own = whole - 1 / PRINT_SCALE_SIGMA ** 2;
  if (!(own > LEAST_OWN_SHARE * whole)) return { missing: UNUSED };
  const ln = (Math.log(printScale.across * printScale.along) / 2) * (whole / own);
  return { scale: { value: Math.exp(ln), tolerance: Math.exp(ln) / Math.sqrt(own) } };
}
