/** The sides of a bank card, with the wall of its edge and its shadow reckoned with. */
import { beforeAll, describe, expect, it } from 'vitest';
import { type EdgeStrips, fitEdge, type OpenTable } from '../../src/capture/edge-fit.ts';
import { findReference } from '../../src/capture/found-reference.ts';
import { focalPriors } from '../../src/capture/priors.ts';
import { errorFunction } from '../../src/capture/saddle.ts';
import { tightestLine } from '../../src/capture/side-curve.ts';
import type { SeenSide } from '../../src/capture/solve-target.ts';
import { fitStep } from '../../src/capture/step-fit.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { project } from '../simulator/lens.ts';
import { photograph } from '../simulator/photograph.ts';
import { type ReferenceScene, referenceScene } from '../simulator/reference-captures.ts';

const BLUR_PX = 1.1;
const STEP_PX = 0.5;
const REACH_PX = 16;

/** The light beyond an edge blurred by a Gaussian: its integral in closed form (Abramowitz & Stegun 7.1). */
function past(x: number): number {
  const z = x / (Math.SQRT2 * BLUR_PX);
  return 0.5 + 0.5 * errorFunction(z, Math.exp(-z * z));
}

/** A colour profile of areas side by side: each begins at a place, px, and has a colour. */
function profileOf(areas: readonly (readonly [number, readonly [number, number, number]])[]) {
  const samples = (2 * REACH_PX) / STEP_PX + 1;
  const colors = Float64Array.from({ length: 3 * samples }, (_, k) => {
    const x = Math.floor(k / 3) * STEP_PX - REACH_PX;
    const c = k % 3;
    return areas.reduce((light, [from, color], i) => {
      const before = i === 0 ? 0 : areas[i - 1]![1][c]!;
      return light + (i === 0 ? color[c]! : (color[c]! - before) * past(x - from));
    }, 0);
  });
  return { colors, stepPx: STEP_PX, reachPx: REACH_PX };
}

const PLACE = 0.37;
const BLUE = [0.03, 0.06, 0.22] as const;
const GREY = [0.1, 0.13, 0.18] as const;
const shaded = (share: number) =>
  GREY.map((level) => share * level) as unknown as readonly [number, number, number];
const OPEN: OpenTable = { color: GREY, weight: 2, spread: 0.005, fromPx: 6 };

describe('where a face ends', () => {
  it('is told beside a light wall and a dark shadow', () => {
    const profile = profileOf([
      [-99, BLUE],
      [PLACE, [0.3, 0.3, 0.3]],
      [PLACE + 1.2, shaded(0.5)],
      [PLACE + 3.6, GREY],
    ]);
    const strips: EdgeStrips = { footPx: 1.2, wall: 0.3, shadowPx: 3.6, shade: 0.5 };
    const fit = fitEdge(profile, 0, 4.4, BLUR_PX, strips, OPEN)!;
    expect(Math.abs(fit.place - PLACE)).toBeLessThan(0.02);
    expect(fit.noise).toBeLessThan(1e-3);
    fit.face.forEach((level, c) => expect(level).toBeCloseTo(BLUE[c]!, 2));
    const unaware = fitEdge(profile, 0, 4.4, BLUR_PX, { footPx: 0, wall: 0, shadowPx: 0, shade: 1 }, OPEN);
    expect(unaware === undefined || unaware.noise > 10 * fit.noise).toBe(true);
  });

  it("is not where a dark card's shadow ends, though one step alone says so", () => {
    const profile = profileOf([
      [-99, [0.05, 0.06, 0.08]],
      [PLACE, shaded(0.5)],
      [PLACE + 2.4, GREY],
    ]);
    const strips: EdgeStrips = { footPx: 0, wall: 0, shadowPx: 2.4, shade: 0.5 };
    const fit = fitEdge(profile, 1, 4.4, BLUR_PX, strips, OPEN)!;
    expect(Math.abs(fit.place - PLACE)).toBeLessThan(0.02);
    const green = profile.colors.filter((_, k) => k % 3 === 1);
    const step = fitStep({ ...profile, values: green }, 1, 4.4, BLUR_PX);
    expect(step === undefined || step.place - PLACE > 1).toBe(true);
  });

  it('is not moved by a pale line drawn on the table farther out', () => {
    const profile = profileOf([
      [-99, BLUE],
      [PLACE, GREY],
      [PLACE + 5.5, [0.5, 0.55, 0.45]],
      [PLACE + 7.5, GREY],
    ]);
    const strips: EdgeStrips = { footPx: 0, wall: 0, shadowPx: 2, shade: 0.999 };
    const open = { ...OPEN, fromPx: 4 };
    const off = (table: OpenTable): number =>
      Math.abs(fitEdge(profile, 0, 4.4, BLUR_PX, strips, table)!.place - PLACE);
    expect(off(open)).toBeLessThan(0.08);
    expect(off({ ...open, spread: 1 })).toBeGreaterThan(4 * off(open));
  });
});

describe('the line to which most places lie closest', () => {
  it('passes by strays at one end that draw least squares after them', () => {
    const at = [-0.9, -0.7, -0.5, -0.3, -0.1, 0.1, 0.3, 0.5, 0.7, 0.9];
    const points = at.map((t) => ({ t, place: 0.2 + 0.5 * t + (t > 0.4 ? 2 : 0.02 * Math.sin(40 * t)) }));
    const [a, b] = tightestLine(points)!;
    expect(Math.abs(a - 0.2)).toBeLessThan(0.05);
    expect(Math.abs(b - 0.5)).toBeLessThan(0.08);
  });
});

describe('the sides of a dark card', () => {
  let vision: Vision;
  beforeAll(async () => {
    vision = await loadVisionInNode();
  });

  /** How far outward of the true side its places lie on the whole, mm. */
  function offMm({ scene }: ReferenceScene, { places }: SeenSide, turn: number): number {
    const [card] = scene.bankCards;
    const { centre, turnRad, excessMm } = card!;
    const [x, y] = [(85.6 + excessMm![0]) / 2, (53.98 + excessMm![1]) / 2];
    const corners = [
      [-x, y],
      [x, y],
      [x, -y],
      [-x, -y],
    ] as const;
    const [from, to] = [corners[turn % 4]!, corners[(turn + 1) % 4]!];
    const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
    const side = Array.from({ length: 201 }, (_, k) => {
      const [lx, ly] = [0, 1].map((axis) => from[axis]! + (k / 200) * (to[axis]! - from[axis]!)) as [
        number,
        number,
      ];
      return project(scene.camera, centre.x + c * lx - s * ly, centre.y + s * lx + c * ly, 0.76);
    });
    const lengthMm = Math.hypot(to[0] - from[0], to[1] - from[1]);
    const [p, q] = [side[0]!, side[200]!];
    const pxPerMm = Math.hypot(q.u - p.u, q.v - p.v) / lengthMm;
    const offs = places.map(({ seen, normal }) => {
      const near = side.reduce((best, at) =>
        Math.hypot(at.u - seen.u, at.v - seen.v) < Math.hypot(best.u - seen.u, best.v - seen.v) ? at : best,
      );
      return (seen.u - near.u) * normal.u + (seen.v - near.v) * normal.v;
    });
    return offs.reduce((sum, off) => sum + off, 0) / offs.length / pxPerMm;
  }

  // Blue, dark green and black cards in lamplight from one side: read by one step alone, a side of the first lies 0.54 mm off, one of the second 0.28.
  it.each([
    [15, 18.04],
    [1032, 5.96],
    [18, 14.76],
  ])('lie where they are, shadow or not (seed %i)', async (seed, tiltDeg) => {
    const made = referenceScene(seed, { kind: 'bank-card', megapixels: 3, region: 'A4', tiltDeg });
    const photo = await photograph(made.scene);
    const focals = focalPriors(made.scene.facts, photo.width, photo.height);
    const outcome = findReference(vision, photo, { kind: 'bank-card' }, focals, []);
    if (!('found' in outcome)) throw new Error(outcome.missing.message);
    const sides = outcome.found.target.sides!;
    const off = [0, 2].map((half) => sides.map((side, i) => offMm(made, side, i + half)));
    // A card looks the same turned by half a turn.
    const [ours] = off.sort((a, b) => Math.max(...a.map(Math.abs)) - Math.max(...b.map(Math.abs)));
    ours!.forEach((one, i) => {
      expect(Math.abs(one), `side ${i}`).toBeLessThan(0.11);
      expect(Math.abs(one), `side ${i} by its doubt`).toBeLessThan(3 * sides[i]!.shiftDoubtMm);
    });
  });
});
