import { describe, expect, it } from 'vitest';
import { SQUARE_CORNERS } from '../../src/capture/card.ts';
import { refineSquare, type SquareFit } from '../../src/capture/square-edges.ts';
import { cameraOver, type RenderedCard, renderCards, seenAt } from './card-renderer.ts';

const camera = (seed: number) =>
  cameraOver({
    widthPx: 575,
    heightPx: 575,
    focalPx: 2500,
    distanceMm: 500,
    tiltRad: 0.1 + 0.1 * seed,
    azimuthRad: seed,
    rollRad: 0.7 * seed,
    k1: 0.02,
  });

/** Outward mean and RMS error of refined corners, px, from rough corners 2 px off. */
function errorsOf(
  blurPx: number,
  change: Partial<RenderedCard>,
  seeds: readonly number[] = [0, 1, 2, 3, 4, 5],
): { rmsPx: number; outwardPx: number } {
  let [squares, outward, count] = [0, 0, 0];
  for (const seed of seeds) {
    const card = { id: seed, centre: { x: 0.3 * seed, y: -0.2 * seed }, turnRad: seed / 2, ...change };
    const eye = camera(seed);
    const photo = renderCards({ camera: eye, cards: [card], blurPx, noise: 2, seed, falloff: 0.3 });
    const [a, b, c, d] = SQUARE_CORNERS.map((at, i) => {
      const { u, v } = seenAt(eye, card, at);
      return { u: u + 2 * Math.cos(3 * i + seed), v: v + 2 * Math.sin(3 * i + seed) };
    });
    const rough: SquareFit['cornersPx'] = [a!, b!, c!, d!];
    const fit = refineSquare(photo, rough)!;
    const centre = seenAt(eye, card, { x: 0, y: 0 });
    SQUARE_CORNERS.forEach((at, i) => {
      const truth = seenAt(eye, card, at);
      const [du, dv] = [fit.cornersPx[i]!.u - truth.u, fit.cornersPx[i]!.v - truth.v];
      const [ru, rv] = [truth.u - centre.u, truth.v - centre.v];
      squares += (du * du + dv * dv) / 2;
      outward += (du * ru + dv * rv) / Math.hypot(ru, rv);
      count++;
    });
  }
  return { rmsPx: Math.sqrt(squares / count), outwardPx: outward / count };
}

describe("the square's edges", () => {
  it.each([0.7, 1.5, 2.5])('give its corners to 0.1 px with no inward pull at %s px blur', (blurPx) => {
    const { rmsPx, outwardPx } = errorsOf(blurPx, {});
    expect(rmsPx).toBeLessThan(0.1);
    expect(Math.abs(outwardPx)).toBeLessThan(0.03);
  });

  it('move outward when ink spreads: why the hourglass marks come first', () => {
    // 0.2 mm of ink on either side at 5 px/mm is 1 px on both axes, 1.4 px along the diagonal.
    expect(errorsOf(1, { inkSpreadMm: 0.2 }, [2]).outwardPx).toBeGreaterThan(0.8);
  });

  it('bear a finger over a fifth of one side', () => {
    const cover = (at: { x: number; y: number }) =>
      at.x > 18 && at.x < 27 && at.y > -5 && at.y < 5 ? 0.25 : undefined;
    expect(errorsOf(1, { cover }).rmsPx).toBeLessThan(0.3);
  });

  it('are refused where there is no square', () => {
    const eye = camera(1);
    const photo = renderCards({ camera: eye, cards: [], blurPx: 0, noise: 2, seed: 1 });
    const [a, b, c, d] = SQUARE_CORNERS.map((at) =>
      seenAt(eye, { id: 0, centre: { x: 0, y: 0 }, turnRad: 0 }, at),
    );
    expect(refineSquare(photo, [a!, b!, c!, d!])).toBeUndefined();
  });
});
