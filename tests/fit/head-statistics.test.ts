import { describe, expect, test } from 'vitest';
import { estimateMeasure, missingMeasures } from '../../src/fit/estimate-measures.ts';
import type { HeadMeasure, HeadMeasures } from '../../src/fit/head-measures.ts';
import { ADULTS, COVARIANCES_MM2, GROUP_MEANS, MEANS_MM, REGRESSED } from '../../src/fit/head-statistics.ts';
import { measureSense, usualRangeWords } from '../../src/fit/measure-sense.ts';
import { ansurColumn, covariance, mean, percentile, type Sex } from './ansur.ts';

const COLUMNS: Readonly<Record<(typeof REGRESSED)[number], string>> = {
  girthMm: 'headcircumference_mm',
  headLengthMm: 'headlength_mm',
  headBreadthMm: 'headbreadth_mm',
  browToChinMm: 'mentonsellionlength_mm',
};
const SEXES: readonly Sex[] = ['F', 'M'];
const columns = new Map(
  SEXES.map((sex) => [sex, REGRESSED.map((measure) => ansurColumn(sex, COLUMNS[measure]))]),
);
const heads = (sex: Sex): HeadMeasures[] => {
  const [girth, length, breadth, face] = columns.get(sex)!;
  return girth!.map((girthMm, i) => ({
    girthMm,
    headLengthMm: length![i]!,
    headBreadthMm: breadth![i]!,
    browToChinMm: face![i]!,
  }));
};

describe('the coefficients in the code are those of ANSUR II, worked out afresh', () => {
  test('means over women and men with equal weight', () => {
    REGRESSED.forEach((measure, i) => {
      const worked = mean(SEXES.map((sex) => mean(columns.get(sex)![i]!)));
      expect(worked, measure).toBeCloseTo(MEANS_MM[i]!, 3);
    });
  });

  test('covariances over women and men with equal weight', () => {
    REGRESSED.forEach((_, i) =>
      REGRESSED.forEach((__, j) => {
        const within = mean(SEXES.map((sex) => covariance(columns.get(sex)![i]!, columns.get(sex)![j]!)));
        const means = (k: number) => SEXES.map((sex) => mean(columns.get(sex)![k]!));
        expect(within + covariance(means(i), means(j))).toBeCloseTo(COVARIANCES_MM2[i]![j]!, 3);
      }),
    );
  });

  test.each(REGRESSED)('percentiles of %s', (measure) => {
    const stated = ADULTS[measure]!;
    const at = REGRESSED.indexOf(measure);
    for (const [spread, sex] of [
      [stated.women, 'F'],
      [stated.men, 'M'],
    ] as const) {
      for (const p of [1, 5, 50, 95, 99] as const)
        expect(Math.round(percentile(columns.get(sex)![at]!, p)), `${sex} ${p}`).toBe(spread[`p${p}`]);
    }
    const all = SEXES.flatMap((sex) => columns.get(sex)![at]!);
    expect([Math.min(...all), Math.max(...all)]).toEqual(stated.extremes);
  });

  test('how an arc over the top follows the girth, by half an ellipse over breadth and height above the ear', () => {
    // Ramanujan's first formula (FACTS section 5), halved.
    const halfEllipse = (a: number, b: number) =>
      (Math.PI / 2) * (3 * (a + b) - Math.sqrt((3 * a + b) * (a + 3 * b)));
    const slopes = SEXES.map((sex) => {
      const girth = ansurColumn(sex, 'headcircumference_mm');
      const breadth = ansurColumn(sex, 'headbreadth_mm');
      const arc = ansurColumn(sex, 'tragiontopofhead_mm').map((up, i) => halfEllipse(breadth[i]! / 2, up));
      const r = covariance(girth, arc) / Math.sqrt(covariance(girth, girth) * covariance(arc, arc));
      expect(r).toBeCloseTo(sex === 'M' ? 0.5 : 0.46, 2);
      return r;
    });
    // Deviations of the arc, NIOSH 2003 (FACTS section 2.5); girths as above; both sexes with equal weight.
    const [women, men] = [
      { mean: 341, deviation: 15.6 },
      { mean: 350.7, deviation: 14.1 },
    ];
    const girthVariance = COVARIANCES_MM2[0]![0]!;
    const girthDeviations = SEXES.map((sex) =>
      Math.sqrt(covariance(columns.get(sex)![0]!, columns.get(sex)![0]!)),
    );
    const within = mean([
      slopes[0]! * women.deviation * girthDeviations[0]!,
      slopes[1]! * men.deviation * girthDeviations[1]!,
    ]);
    const girthMeans = SEXES.map((sex) => mean(columns.get(sex)![0]!));
    const shared = within + covariance(girthMeans, [women.mean, men.mean]);
    const variance =
      mean([women.deviation ** 2, men.deviation ** 2]) +
      covariance([women.mean, men.mean], [women.mean, men.mean]);
    const { meanMm, perGirth, deviationMm } = GROUP_MEANS.earToEarMm;
    expect(meanMm).toBeCloseTo((women.mean + men.mean) / 2, 6);
    expect(shared / girthVariance).toBeCloseTo(perGirth, 2);
    expect(Math.sqrt(variance - shared ** 2 / girthVariance)).toBeCloseTo(deviationMm, 0);
    // Ear to brow: half the arc over the brow, the middle of all.
    const { meanMm: middle, deviationMm: scatter } = GROUP_MEANS.earToBrowMm;
    expect(middle).toBeCloseTo((288.9 + 304.4) / 4, 2);
    const spread = mean([6.15 ** 2, 6.45 ** 2]) + covariance([144.45, 152.2], [144.45, 152.2]);
    expect(Math.sqrt(spread)).toBeCloseTo(scatter, 1);
  });
});

describe('a measure that was not taken', () => {
  const cases: readonly (readonly [HeadMeasure, readonly HeadMeasure[]])[] = [
    ['headLengthMm', ['girthMm']],
    ['headBreadthMm', ['girthMm']],
    ['headBreadthMm', ['girthMm', 'headLengthMm']],
    ['browToChinMm', ['girthMm', 'headLengthMm', 'headBreadthMm']],
    ['girthMm', ['headLengthMm', 'headBreadthMm']],
  ];
  test.each(cases)('%s from %j: no bias, the stated scatter, 95 in 100 within twice it', (target, known) => {
    const errors = SEXES.map((sex) =>
      heads(sex).map((person) => {
        const given = Object.fromEntries(known.map((measure) => [measure, person[measure]]));
        const estimate = estimateMeasure(target, given)!;
        expect(estimate.from).toEqual(known);
        return { error: person[target]! - estimate.valueMm, scatterMm: estimate.scatterMm };
      }),
    );
    const { scatterMm } = errors[0]![0]!;
    const bySex = (of: (error: number) => number) =>
      mean(errors.map((sex) => mean(sex.map(({ error }) => of(error)))));
    expect(bySex((error) => error)).toBeCloseTo(0, 2);
    expect(Math.sqrt(bySex((error) => error ** 2))).toBeCloseTo(scatterMm, 2);
    const inside = bySex((error) => (Math.abs(error) <= 2 * scatterMm ? 1 : 0));
    expect(inside).toBeGreaterThan(0.94);
    expect(inside).toBeLessThan(0.97);
  });

  test('the more is known, the less scatter is left', () => {
    const few = estimateMeasure('headBreadthMm', { girthMm: 580 })!;
    const more = estimateMeasure('headBreadthMm', { girthMm: 580, headLengthMm: 200 })!;
    expect(more.scatterMm).toBeLessThan(few.scatterMm);
  });

  test('is offered for all but brow to nape, of which no open data was found, and never for one that was taken', () => {
    expect(Object.keys(missingMeasures({ girthMm: 580, headLengthMm: 201 })).sort()).toEqual(
      ['headBreadthMm', 'earToEarMm', 'browToChinMm', 'earToBrowMm'].sort(),
    );
    expect(estimateMeasure('browToNapeMm', { girthMm: 580 })).toBeUndefined();
  });
});

describe('a measure that looks odd', () => {
  test('nothing is said of the middle woman and man', () => {
    for (const sex of SEXES) {
      const [girth, length, breadth, face] = columns.get(sex)!.map((column) => percentile(column, 50));
      const measures = {
        girthMm: girth!,
        headLengthMm: length!,
        headBreadthMm: breadth!,
        browToChinMm: face!,
        earToEarMm: 346,
        browToNapeMm: 350,
      };
      for (const measure of Object.keys(measures) as (keyof typeof measures)[])
        expect(measureSense(measure, measures[measure], measures), measure).toBeUndefined();
    }
  });

  test('fewer than 4 heads in 100 are asked to be measured again for any one measure', () => {
    for (const measure of REGRESSED) {
      const asked = SEXES.map((sex) =>
        mean(heads(sex).map((person) => (measureSense(measure, person[measure]!, person) ? 1 : 0))),
      );
      expect(mean(asked), measure).toBeLessThan(0.04);
      expect(mean(asked), measure).toBeGreaterThan(0);
    }
  });

  test('a rare one and an impossible one are told apart, and neither is refused', () => {
    expect(measureSense('headLengthMm', 170, { girthMm: 520 })).toContain('rarer than 1 adult in 100');
    expect(measureSense('headLengthMm', 150, { girthMm: 520 })).toContain('outside all adults');
  });

  test('a usual length that does not go with the girth is told with what would', () => {
    const words = measureSense('headLengthMm', 178, { girthMm: 600 })!;
    expect(words).toContain('goes oddly with the other measures');
    expect(words).toMatch(/20\d ± \d+ mm/u);
  });

  test('brow to nape is held against the head that it goes over', () => {
    expect(measureSense('browToNapeMm', 190, { headLengthMm: 198 })).toContain('must be longer');
    expect(measureSense('browToNapeMm', 590, { girthMm: 580 })).toContain('shorter than the whole way round');
    expect(measureSense('browToNapeMm', 350, { girthMm: 580 })).toBeUndefined();
  });

  test('the usual range is told in the words of the survey', () => {
    expect(usualRangeWords('headLengthMm')).toBe('178-202 mm in 9 of 10 women, 188-211 mm in 9 of 10 men');
    // Percentiles 5 and 95 of the survey itself, FACTS section 2.5: 315-367 women, 330-375 men.
    const { women, men } = ADULTS.earToEarMm!;
    expect(Math.abs(women.p5 - 315)).toBeLessThan(1);
    expect(Math.abs(women.p95 - 367)).toBeLessThan(1);
    expect(Math.abs(men.p5 - 330)).toBeLessThan(3);
    expect(Math.abs(men.p95 - 375)).toBeLessThan(2);
    expect(usualRangeWords('browToNapeMm')).toBeUndefined();
  });
});
