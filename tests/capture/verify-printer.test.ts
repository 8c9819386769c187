import { beforeAll, describe, expect, it } from 'vitest';
import { MARK_CENTRES } from '../../src/capture/card.ts';
import { cardCentreOnPage } from '../../src/capture/card-page-layout.ts';
import type { SeenCard } from '../../src/capture/card-points.ts';
import {
  type PrintFinding,
  printOfPage,
  printSize,
  verifyPrinter,
} from '../../src/capture/verify-printer.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { project, type SimCamera } from '../simulator/lens.ts';
import { photograph } from '../simulator/photograph.ts';
import {
  cameraOverPage,
  PAGE_PRINT,
  pageBetweenTwoBankCards,
  type Print,
  printedPage,
  tappedBankCard,
} from '../simulator/card-page.ts';
import { emptyScene, PHONE_PICTURE, ROOM_LIGHT, table } from '../simulator/presets.ts';
import { type Random, seeded } from '../simulator/seeded.ts';

const SKEW = Math.tan((0.2 * Math.PI) / 180);
/** The page's marks straight from the camera, with noise, on paper that bulges. */
function sightings(
  camera: SimCamera,
  print: Print,
  bulge: readonly [number, number],
  random: Random,
): SeenCard[] {
  const { across, along, skew } = print;
  return Array.from({ length: 6 }, (_, id): SeenCard => {
    const centre = cardCentreOnPage(id);
    return {
      id,
      points: MARK_CENTRES.map((at, index) => {
        const [px, py] = [centre.x - 80 + at.x, centre.y - 120 + at.y];
        const z = 0.15 + bulge[0] * (px / 120) ** 2 + bulge[1] * (py / 120) ** 2;
        const { u, v } = project(camera, across * px + skew * along * py, along * py, z);
        const seen = { u: u + random.normal(0.1), v: v + random.normal(0.1) };
        return { kind: 'hourglass', index, at, seen, sigmaPx: 0.1 };
      }),
      faults: [],
      isCutOff: false,
      pxPerMm: 5,
      blurPx: 1,
      inkShare: 0.05,
    };
  });
}

function found(outcome: ReturnType<typeof printOfPage>): PrintFinding {
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

describe('the printer by a photo of its card page', () => {
  let vision: Vision;
  beforeAll(async () => {
    vision = await loadVisionInNode();
  });

  it.each([
    [{ across: 0.99, along: 1.01, skew: SKEW }, 0 as const, 4, 0.0008],
    [{ across: 1.004, along: 0.998, skew: 0 }, 6 as const, 12, 0.002],
  ] satisfies [Print, 0 | 6, number, number][])(
    'reads proportions and skew of %o from a rendered photo',
    async (print: Print, first, tiltDeg, limit) => {
      const cards = printedPage(print, first);
      const camera = cameraOverPage(cards, tiltDeg, seeded(first + 3));
      const scene = emptyScene(camera, {
        picture: { ...PHONE_PICTURE, edgeSamples: 34 },
        light: ROOM_LIGHT,
        table: table('wood'),
        cards,
      });
      const finding = found(verifyPrinter(vision, await photograph(scene), scene.facts));
      const { ratio, skewRad, unevenMm, cardIds } = finding;
      expect(cardIds).toEqual(cards.map(({ id }) => id));
      expect(Math.abs(ratio.value - print.across / print.along)).toBeLessThan(3 * ratio.tolerance);
      // The squarer the photo, the surer: a tilt lets the doubt of the focal length in.
      expect(ratio.tolerance).toBeLessThan(limit);
      expect(Math.abs(skewRad.value - Math.atan(print.skew))).toBeLessThan(3 * skewRad.tolerance);
      expect(skewRad.tolerance).toBeLessThan(limit);
      expect(finding.tiltRad * (180 / Math.PI)).toBeCloseTo(tiltDeg, 0);
      expect(unevenMm.rms).toBeLessThan(0.1);
      const size = printSize(finding, { acrossMm: 150 * print.across })!;
      expect(Math.abs(size.alongScale.value - print.along)).toBeLessThan(3 * size.alongScale.tolerance);
      // A bar of 150 mm read to 0.3 mm leaves 0.2 %.
      expect(size.acrossScale.tolerance).toBeCloseTo(0.002 * print.across, 4);
    },
  );

  it('takes the absolute size from a bank card beside the page, when asked to', async () => {
    const print = { across: 0.985, along: 0.992, skew: 0 };
    const cards = printedPage(print);
    const card = {
      centre: { x: 5, y: -162 },
      turnRad: 0.1,
      heightMm: 0,
      color: [0.55, 0.05, 0.05] as const,
    };
    const camera = cameraOverPage(cards, 8, seeded(11), 3, [{ x: 0, y: -200 }]);
    const scene = emptyScene(camera, {
      picture: PHONE_PICTURE,
      light: ROOM_LIGHT,
      table: table('wood'),
      cards,
      bankCards: [card],
    });
    const photo = await photograph(scene);
    const finding = found(verifyPrinter(vision, photo, scene.facts, undefined, { kind: 'bank-card' }));
    const { acrossScale, alongScale } = printSize(finding, {})!;
    expect(Math.abs(acrossScale.value - print.across)).toBeLessThan(3 * acrossScale.tolerance);
    expect(Math.abs(alongScale.value - print.along)).toBeLessThan(3 * alongScale.tolerance);
    // Two sides known to about 0.1 mm over 54 and 86 mm, carried over a page.
    expect(acrossScale.tolerance).toBeLessThan(0.004);
  }, 120_000);

  it('takes the bank card that the maker points at, where two lie beside the page', async () => {
    const scene = pageBetweenTwoBankCards();
    const photo = await photograph(scene);
    const alone = verifyPrinter(vision, photo, scene.facts, undefined, { kind: 'bank-card' });
    expect(alone.ok).toBe(false);
    if (!alone.ok) {
      expect(alone.problem.code).toBe('no-bank-card');
      expect(alone.problem.message).toContain('Point out the four corners');
    }
    const nearPx = tappedBankCard(scene);
    const finding = found(
      verifyPrinter(vision, photo, scene.facts, undefined, { kind: 'bank-card', nearPx }),
    );
    const { acrossScale, alongScale } = printSize(finding, {})!;
    expect(Math.abs(acrossScale.value - PAGE_PRINT.across)).toBeLessThan(3 * acrossScale.tolerance);
    expect(Math.abs(alongScale.value - PAGE_PRINT.along)).toBeLessThan(3 * alongScale.tolerance);
    expect(acrossScale.tolerance).toBeLessThan(0.004);
    // Pointed at bare table there is nothing to measure by.
    const beside = nearPx.map(({ u, v }) => ({
      u: u + 0.25 * scene.camera.widthPx,
      v: v + 0.3 * scene.camera.heightPx,
    }));
    const nothing = verifyPrinter(vision, photo, scene.facts, undefined, {
      kind: 'bank-card',
      nearPx: beside,
    });
    expect(nothing.ok || nothing.problem.message).toContain('near the corners that were pointed out');
  }, 120_000);

  it('states a tolerance that holds: Monte Carlo over lens, pose, noise and bulging paper', () => {
    const random = seeded(5);
    const rounds = 60;
    let [ratioOne, ratioTwo, skewOne, skewTwo] = [0, 0, 0, 0];
    for (let round = 0; round < rounds; round++) {
      const print = {
        across: 1 + random.normal(0.005),
        along: 1 + random.normal(0.005),
        skew: random.normal(0.002),
      };
      const camera = cameraOverPage(printedPage(print), random.between(0, 25), random);
      const bulge = [random.normal(0.7), random.normal(0.7)] as const;
      const facts = { focalLength35Mm: 26 };
      const { ratio, skewRad } = found(printOfPage(sightings(camera, print, bulge, random), camera, facts));
      const ratioOff = Math.abs(ratio.value - print.across / print.along) / ratio.tolerance;
      const skewOff = Math.abs(skewRad.value - Math.atan(print.skew)) / skewRad.tolerance;
      if (ratioOff < 1) ratioOne++;
      if (ratioOff < 2) ratioTwo++;
      if (skewOff < 1) skewOne++;
      if (skewOff < 2) skewTwo++;
    }
    for (const share of [ratioOne / rounds, skewOne / rounds]) {
      expect(share).toBeGreaterThan(0.55);
      expect(share).toBeLessThan(0.85);
    }
    for (const share of [ratioTwo / rounds, skewTwo / rounds]) expect(share).toBeGreaterThan(0.9);
  });

  it('says that cards cut out and scattered are not a page', () => {
    const random = seeded(2);
    const print = { across: 1, along: 1, skew: 0 };
    const camera = cameraOverPage(printedPage(print), 10, random);
    const cards = sightings(camera, print, [0, 0], random);
    // Cards 1 and 4 have changed places.
    const swapped = cards.map((card) => ({ ...card, id: card.id === 1 ? 4 : card.id === 4 ? 1 : card.id }));
    const outcome = printOfPage(swapped, camera, { focalLength35Mm: 26 });
    expect(outcome.ok || outcome.problem.code).toBe('not-a-page');
  });

  it('needs four cards of one page', () => {
    const random = seeded(2);
    const print = { across: 1, along: 1, skew: 0 };
    const camera = cameraOverPage(printedPage(print), 10, random);
    const cards = sightings(camera, print, [0, 0], random).slice(0, 3);
    const outcome = printOfPage(cards, camera, { focalLength35Mm: 26 });
    expect(outcome.ok || outcome.problem.code).toBe('no-page');
  });
});

describe('absolute size', () => {
  const finding: PrintFinding = {
    cardIds: [0, 1, 2, 3, 4, 5],
    ratio: { value: 0.98, tolerance: 0.001 },
    skewRad: { value: 0, tolerance: 0.001 },
    tiltRad: 0.05,
    unevenMm: { rms: 0.05, worst: 0.1, worstCardId: 3 },
  };

  it('is not known from the photo alone', () => {
    expect(printSize(finding, {})).toBeUndefined();
  });

  it('follows from one bar by the ratio, with the doubt of both', () => {
    const { acrossScale, alongScale, check } = printSize(finding, { acrossMm: 148.5 })!;
    expect(acrossScale.value).toBeCloseTo(0.99, 9);
    expect(alongScale.value).toBeCloseTo(0.99 / 0.98, 9);
    expect(alongScale.tolerance / alongScale.value).toBeCloseTo(Math.hypot(0.002, 0.001 / 0.98), 6);
    expect(check.alongMm).toBeCloseTo((200 * 0.99) / 0.98, 6);
    const byAlong = printSize(finding, { alongMm: 200 })!;
    expect(byAlong.acrossScale.value).toBeCloseTo(0.98, 9);
  });

  it('is surer from both bars, and two bars that contradict the photo are told', () => {
    const agreeing = printSize(finding, { acrossMm: 147, alongMm: 200 })!;
    expect(agreeing.barsOffSigmas).toBeLessThan(0.1);
    expect(agreeing.acrossScale.tolerance).toBeLessThan(
      printSize(finding, { acrossMm: 147 })!.acrossScale.tolerance,
    );
    expect(printSize(finding, { acrossMm: 150, alongMm: 200 })!.barsOffSigmas).toBeGreaterThan(5);
  });
});
