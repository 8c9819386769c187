import { statedTolerance } from '../../stated-tolerance.ts';
import type { Foam } from '../../build/fit-types.ts';
import { foamDifferenceMm, type WrapFoam } from '../../fit/wrap-length.ts';
import { mmWords } from '../controls/number-words.ts';

const PAPER: WrapFoam = { thicknessMm: 0, neutralK: 0 };

/** "In 6 mm foam this piece is cut 18.8 mm longer than in paper; in 10 mm foam, 12.6 mm longer than that." */
export function thicknessWords(foam: Foam, foams: readonly Foam[], coverageRad: number): string {
  const more = foamDifferenceMm(coverageRad, foam, PAPER);
  const words = `In ${foam.name} this piece is cut ${mmWords(more)} mm longer than in paper, because foam bends about its middle`;
  const other = comparedFoam(foam, foams);
  if (!other) return `${words}.`;
  const difference = foamDifferenceMm(coverageRad, other, foam);
  const way = difference >= 0 ? 'longer' : 'shorter';
  return `${words}; in ${other.name} it would be cut ${mmWords(Math.abs(difference))} mm ${way} than that.`;
}

/** From 6 mm to 10 mm is the step that makers most often take by mistake (two sizes of hat). */
const STEP = 10 / 6;

/** The foam to compare with: a step thicker, or a step thinner where none is as thick. */
function comparedFoam(foam: Foam, foams: readonly Foam[]): Foam | undefined {
  const others = foams.filter(({ thicknessMm }) => thicknessMm !== foam.thicknessMm);
  const thickest = Math.max(...foams.map(({ thicknessMm }) => thicknessMm));
  const wanted = foam.thicknessMm * STEP <= thickest ? foam.thicknessMm * STEP : foam.thicknessMm / STEP;
  const gap = (other: Foam) => Math.abs(Math.log(other.thicknessMm / wanted));
  return others.reduce<Foam | undefined>(
    (best, other) => (best && gap(best) <= gap(other) ? best : other),
    undefined,
  );
}

/** "0.48 ± 0.03", or "0.50". */
export function neutralWords({ neutralK, doubtK }: Pick<WrapFoam, 'neutralK' | 'doubtK'>): string {
  const value = mmWords(neutralK, 2);
  return doubtK === undefined ? value : `${value} ± ${mmWords(statedTolerance(doubtK), 2)}`;
}
