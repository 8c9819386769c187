/** Size range: every head its own wrap length, nested lines, dash codes that differ in black and white. */
import { expect, test } from 'vitest';
import { sizeDashMm, sizeDashWords } from '../../src/fit/range/dash-codes.ts';
import { headsInSteps, piecesInSizes } from '../../src/fit/range/size-range.ts';
import { midpoint } from '../../src/geometry/point.ts';
import { polylinePath } from '../../src/geometry/path.ts';

const strip = polylinePath(
  [
    { x: 0, y: 0 },
    { x: 600, y: 0 },
    { x: 600, y: 40 },
    { x: 0, y: 40 },
  ],
  true,
);
const wrapLine = { from: { x: 0, y: 20 }, to: { x: 600, y: 20 }, along: 'straight' } as const;
const need = { easeMm: 0, coverageRad: 2 * Math.PI, foam: { thicknessMm: 6, neutralK: 0.5 } };

test('heads run from 54 to 64 cm in the chosen steps, the largest always among them', () => {
  expect(headsInSteps(540, 640, 20).map(({ label }) => label)).toEqual([
    '54 cm',
    '56 cm',
    '58 cm',
    '60 cm',
    '62 cm',
    '64 cm',
  ]);
  expect(headsInSteps(540, 640, 30).map(({ girthMm }) => girthMm)).toEqual([540, 570, 600, 630, 640]);
  expect(headsInSteps(570, 570, 10)).toHaveLength(1);
});

test('each size has the strip length of the published table (FACTS section 3, 6 mm foam), all about one middle', () => {
  const sizes = piecesInSizes(
    [{ id: 'cut', kind: 'cut', path: strip }],
    wrapLine,
    need,
    headsInSteps(560, 580, 10),
    'along-wrap',
  );
  expect(sizes.map(({ plan }) => plan?.after.wrapMm.toFixed(2))).toEqual(['578.85', '588.85', '598.85']);
  for (const { plan } of sizes) {
    const { from, to } = plan!.wrapLine;
    expect(midpoint(from, to)).toEqual({ x: 300, y: 20 });
  }
});

test('a head that cannot be fitted says why and has no plan, beside others that can', () => {
  const heads = [
    { label: 'hat box', girthMm: 5 },
    { label: 'Wren', girthMm: 580 },
  ];
  const [none, some] = piecesInSizes(
    [{ id: 'cut', kind: 'cut', path: strip }],
    wrapLine,
    need,
    heads,
    'whole',
  );
  expect(none!.problem?.code).toBe('bad-measure');
  expect(none!.plan).toBeUndefined();
  expect(some!.problem).toBeUndefined();
});

test('dash codes are counted off: no two alike, each begun by its one long dash', () => {
  const codes = Array.from({ length: 40 }, (_, i) => sizeDashMm(i));
  expect(new Set(codes.map(String)).size).toBe(40);
  for (const code of codes) expect(code.filter((mm) => mm > 5)).toHaveLength(1);
  expect(sizeDashMm(0)).toEqual([9, 1.6]);
  expect(sizeDashWords(7)).toBe('long, 1 short, 2 dots');
});
