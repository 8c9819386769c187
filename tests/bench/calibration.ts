/** Are the stated tolerances true? Length errors of simulated captures beside what the engine states for each. */
import type { ToleranceOf } from '../../src/capture/tolerance.ts';
import { captureScene } from '../simulator/captures.ts';
import type { RegionSize } from '../simulator/poses.ts';
import { seeded } from '../simulator/seeded.ts';
import { type LengthError, lengthErrors, PAPER_FACE_MM, type PaperReading } from './length-errors.ts';
import { captureFromPoints } from './seen-captures.ts';

const REGIONS: readonly RegionSize[] = ['A4', 'A3', 'A2'];
/** Both readings scatter alike; the first also raises the piece as a whole. */
export const PAPER_READINGS = [
  'only lifting',
  'uneven about its face',
] as const satisfies readonly PaperReading[];

/** Printers are off by about this; both check bars are read with a ruler to about that, mm. */
const PRINT_OFF = 0.01;
const BAR_READING_MM = 0.3;

export interface CalibrationCell {
  readonly name: string;
  readonly errors: readonly LengthError[];
}
export type Calibration = Readonly<Record<(typeof PAPER_READINGS)[number], readonly CalibrationCell[]>>;

/**
 * `count` captures of 12 MP in each cell (4 and 6 cards round A4, A3 and A2; any tilt to 35 degrees; lens, curl and ink
 * beyond the solver's model), seeds from `first`. `same-printer`: cards in true size, for their scale cancels.
 * `true-mm`: lengths by a true ruler, from cards off by 1 % either way and corrected by bars that were read to 0.3 mm.
 */
export function calibrate(of: ToleranceOf, first: number, count: number): Calibration {
  const cells = ([4, 6] as const).flatMap((cardCount) =>
    REGIONS.map((region) => {
      const errors: Record<PaperReading, LengthError[]> = {
        flat: [],
        'only lifting': [],
        'uneven about its face': [],
      };
      for (let seed = first; seed < first + count; seed++) {
        const random = seeded(seed * 31 + cardCount * 7 + region.charCodeAt(1));
        const tiltDeg = random.between(0, 35);
        const off = (): number => (of === 'true-mm' ? 1 + random.normal(PRINT_OFF) : 1);
        const print = { across: off(), along: off() };
        const how = { megapixels: 12, unmodelled: true, region, cardCount, tiltDeg, print } as const;
        const scene = captureScene(seed, how);
        const printer = {
          acrossMm: 150 * print.across + random.normal(BAR_READING_MM),
          alongMm: 200 * print.along + random.normal(BAR_READING_MM),
        };
        const capture = captureFromPoints(scene, {
          facts: scene.facts,
          thicknessMm: PAPER_FACE_MM,
          ...(of === 'true-mm' && { printer }),
        });
        if (!capture) continue;
        for (const paper of PAPER_READINGS)
          errors[paper].push(...lengthErrors(scene, capture, { region, count: 4, paper, of }));
      }
      return { name: `${cardCount} cards ${region}`, errors };
    }),
  );
  const reading = (paper: PaperReading): CalibrationCell[] =>
    cells.map(({ name, errors }) => ({ name, errors: errors[paper] }));
  return {
    'only lifting': reading('only lifting'),
    'uneven about its face': reading('uneven about its face'),
  };
}
