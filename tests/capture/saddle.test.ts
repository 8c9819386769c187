import { describe, expect, it } from 'vitest';
import { MARK_CENTRES, SQUARE_CORNERS } from '../../src/capture/card.ts';
import { applyHomography, fitHomography, homographySlope } from '../../src/capture/homography.ts';
import { fitSaddle } from '../../src/capture/saddle.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import type { Raster } from '../../src/vision/raster.ts';
import { cameraOver, type RenderedCard, renderCards, type Scene, seenAt } from './card-renderer.ts';

interface Shot {
  readonly scene: Scene;
  readonly card: RenderedCard;
  readonly photo: Raster;
}

/** One tilted, turned card filling a small picture. */
function shoot(seed: number, pxPerMm: number, change: Partial<Scene & RenderedCard>): Shot {
  const side = Math.round(pxPerMm * 115);
  const camera = cameraOver({
    widthPx: side,
    heightPx: side,
    focalPx: pxPerMm * 500,
    distanceMm: 500,
    tiltRad: 0.1 + 0.1 * (seed % 6),
    azimuthRad: seed,
    rollRad: 0.7 * seed,
    k1: 0.02,
  });
  const card = { id: seed % 12, centre: { x: 0.3 * seed, y: -0.2 * seed }, turnRad: 0.5 * seed, ...change };
  const scene = { camera, cards: [card], blurPx: 1, noise: 2, seed, falloff: 0.3, ...change };
  return { scene, card, photo: renderCards(scene) };
}

/** Fits a mark as the capture does: its place and slope foretold by the square. */
function fitMark({ scene, card, photo }: Shot, mark: PlanePoint) {
  const square = fitHomography(SQUARE_CORNERS.map((at) => ({ at, seen: seenAt(scene.camera, card, at) })))!;
  return fitSaddle(photo, applyHomography(square, mark), homographySlope(square, mark));
}

interface Errors {
  readonly rmsPx: number;
  /** Mean error away from the card's centre: negative = inward. */
  readonly outwardPx: number;
  readonly blurPx: number;
  /** RMS error over the stated sigma. */
  readonly overSigma: number;
}

/** Errors over four marks of several cards; every mark must be found. */
function errorsOf(shots: readonly Shot[]): Errors {
  let [squares, outward, blur, over, count] = [0, 0, 0, 0, 0];
  for (const shot of shots) {
    const { camera } = shot.scene;
    const centre = seenAt(camera, shot.card, { x: 0, y: 0 });
    for (const mark of MARK_CENTRES) {
      const outcome = fitMark(shot, mark);
      if (!('fit' in outcome)) throw new Error(`a mark was refused: ${outcome.fault}`);
      const truth = seenAt(camera, shot.card, mark);
      const [du, dv] = [outcome.fit.at.u - truth.u, outcome.fit.at.v - truth.v];
      const [ru, rv] = [truth.u - centre.u, truth.v - centre.v];
      squares += (du * du + dv * dv) / 2;
      over += (du * du + dv * dv) / 2 / outcome.fit.sigmaPx ** 2;
      outward += (du * ru + dv * rv) / Math.hypot(ru, rv);
      blur += outcome.fit.blurPx;
      count++;
    }
  }
  return {
    rmsPx: Math.sqrt(squares / count),
    outwardPx: outward / count,
    blurPx: blur / count,
    overSigma: Math.sqrt(over / count),
  };
}

const SEEDS = [0, 1, 2, 3, 4, 5];

describe('hourglass marks', () => {
  for (const blurPx of [0.7, 1.5, 2.5]) {
    it(`are placed to 0.04 px RMS with no inward bias at ${blurPx} px blur (a square's corner goes inward by up to 0.7)`, () => {
      const errors = errorsOf(SEEDS.map((seed) => shoot(seed, 5, { blurPx })));
      expect(errors.rmsPx).toBeLessThan(0.04);
      expect(Math.abs(errors.outwardPx)).toBeLessThan(0.015);
      expect(errors.blurPx).toBeCloseTo(blurPx, 0);
    });
  }

  it('are placed to 0.1 px RMS even when small, blurred and noisy at once', () => {
    const errors = errorsOf(SEEDS.map((seed) => shoot(seed, 2.2, { blurPx: 2.5, noise: 4 })));
    expect(errors.rmsPx).toBeLessThan(0.1);
  });

  it('stay where they are when ink spreads by 0.15 mm', () => {
    const errors = errorsOf([1, 4].map((seed) => shoot(seed, 5, { inkSpreadMm: 0.15 })));
    expect(errors.rmsPx).toBeLessThan(0.06);
    expect(Math.abs(errors.outwardPx)).toBeLessThan(0.03);
  });

  it('stay where they are under a strong tone curve', () => {
    const shots = SEEDS.slice(0, 3).map((seed) => {
      const shot = shoot(seed, 5, { noise: 0.5 });
      const data = shot.photo.data.map((value, at) => (at % 4 === 3 ? value : 255 * (value / 255) ** 2.2));
      return { ...shot, photo: { ...shot.photo, data } };
    });
    expect(errorsOf(shots).rmsPx).toBeLessThan(0.04);
  });

  it('state a noise that is neither proud nor timid when the picture is noisy', () => {
    const { overSigma } = errorsOf(SEEDS.map((seed) => shoot(seed, 5, { noise: 8, blurPx: 1.5 })));
    expect(overSigma).toBeGreaterThan(0.2);
    expect(overSigma).toBeLessThan(1.2);
  });

  it('are refused when something covers half of one', () => {
    const half = (at: PlanePoint) => (at.x > 33 ? 0.3 : undefined);
    const shot = shoot(1, 5, { cover: half });
    expect(fitMark(shot, MARK_CENTRES[1])).toEqual({ fault: 'misshapen' });
    expect('fit' in fitMark(shot, MARK_CENTRES[0])).toBe(true);
  });

  it('are refused when a quarter is covered by something dark', () => {
    const quarter = (at: PlanePoint) => (at.x > 33 && at.y < 33 ? 0.05 : undefined);
    expect('fault' in fitMark(shoot(2, 5, { cover: quarter }), MARK_CENTRES[1])).toBe(true);
  });

  it('are refused when they are gone, washed out, or out of the picture', () => {
    const gone = shoot(1, 5, { cover: (at: PlanePoint) => (at.y > 27 ? 0.4 : undefined) });
    expect('fault' in fitMark(gone, MARK_CENTRES[0])).toBe(true);
    const washedOut = shoot(1, 5, { ink: 0.62 });
    expect(fitMark(washedOut, MARK_CENTRES[0])).toEqual({ fault: 'faint' });
    const away = shoot(1, 5, {});
    expect(fitSaddle(away.photo, { u: 3, v: 200 }, [5, 0, 0, -5])).toEqual({ fault: 'outside' });
  });
});
