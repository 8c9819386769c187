import { describe, expect, it } from 'vitest';
import type { Camera } from '../../src/capture/camera.ts';
import { CARD_FACE_HEIGHT_MM } from '../../src/capture/card.ts';
import { planeToImage } from '../../src/capture/camera.ts';
import type { Capture, CardFinding } from '../../src/capture/types.ts';
import { cameraWords } from '../../src/ui/capture/camera-words.ts';
import {
  longestMarkSpan,
  marksInPhoto,
  markWords,
  nearestMark,
  spanBetween,
} from '../../src/ui/capture/marks.ts';
import { readTruth } from '../setup/truth.ts';

/** Looks straight down from 700 mm, tilted by the angle about the x axis. */
function cameraAt(tilt: number): Camera {
  const [c, s] = [Math.cos(tilt), Math.sin(tilt)];
  return {
    widthPx: 4000,
    heightPx: 3000,
    focalPx: 3000,
    offsetUPx: 0,
    offsetVPx: 0,
    k1: 0,
    k2: 0,
    rotation: [1, 0, 0, 0, -c, -s, 0, s, -c],
    centreMm: [0, 0, 700],
  };
}

function cardAt(id: number, x: number, y: number, degrees: number, used = true): CardFinding {
  const turnRad = (degrees * Math.PI) / 180;
  return { id, centre: { x, y }, turnRad, cornersPx: [], residualMm: 0.05, points: [], used };
}

function captureWith(camera: Camera, cards: readonly CardFinding[], scale = 1): Capture {
  return {
    camera,
    cards,
    thicknessMm: 0,
    thicknessDoubtMm: 0.05,
    printScale: { across: scale, along: scale },
    rmsPx: 0.2,
    covariance: [],
    parameters: [],
    warnings: [],
  };
}

describe('where the camera was, in words', () => {
  it('says height in centimetres and what the tilt means', () => {
    expect(cameraWords(cameraAt(0.05))).toContain(
      '70 cm above the table, looking almost straight down (3° off)',
    );
    expect(cameraWords(cameraAt(0.4))).toContain('leaning 23°; this is measured and taken out');
    expect(cameraWords(cameraAt(0.8))).toContain('steep');
  });
});

describe('hourglass marks', () => {
  const cards = [cardAt(0, 0, 0, 0), cardAt(3, 300, 0, 90), cardAt(5, 900, 900, 0, false)];

  it('lie at ±33 mm of the card, turned with it and scaled with the print', () => {
    const capture = captureWith(cameraAt(0), cards, 0.99);
    // Card 3 is turned a quarter: its top left mark lies at the lower left, 33 * 0.99 away both ways.
    const span = spanBetween(capture, { cardId: 0, mark: 1 }, { cardId: 3, mark: 0 })!;
    expect(span.fromMm.x).toBeCloseTo(32.67, 9);
    expect(span.fromMm.y).toBeCloseTo(32.67, 9);
    expect(span.toMm.x).toBeCloseTo(300 - 32.67, 9);
    expect(span.toMm.y).toBeCloseTo(-32.67, 9);
  });

  it('give the longest span among the cards that the solve used', () => {
    const span = longestMarkSpan(captureWith(cameraAt(0), cards))!;
    expect(span.lengthMm).toBeCloseTo(Math.hypot(366, 66), 9);
    expect(longestMarkSpan(captureWith(cameraAt(0), []))).toBeUndefined();
  });

  it('are found under a tap, and not where there is none', () => {
    const capture = captureWith(cameraAt(0.2), cards);
    const marks = marksInPhoto(capture);
    expect(marks).toHaveLength(8);
    const at = planeToImage(capture.camera, { x: 33, y: -33 }, CARD_FACE_HEIGHT_MM);
    const mark = nearestMark(marks, { u: at.u + 20, v: at.v - 30 }, 60)!;
    expect(mark).toEqual({ cardId: 0, mark: 2 });
    expect(markWords(mark)).toBe('card 0, bottom right');
    expect(nearestMark(marks, { u: 10, v: 10 }, 60)).toBeUndefined();
    expect(spanBetween(capture, { cardId: 0, mark: 0 }, { cardId: 11, mark: 0 })).toBeUndefined();
  });

  it('fall on the hourglasses of a practice photo when the truth is put in', () => {
    const truth = readTruth('brow-band');
    const found = truth.cards.map(({ id, centre, turnRad }) => ({
      ...cardAt(id, centre.x, centre.y, 0),
      turnRad,
    }));
    const marks = marksInPhoto(captureWith(truth.camera, found));
    // Read off the photo by eye, at a third of its size: card 0's top left and card 1's top right hourglass.
    const place = (cardId: number, mark: number) =>
      marks.find(({ mark: each }) => each.cardId === cardId && each.mark === mark)!.at;
    const topLeft = place(0, 0);
    expect(Math.hypot(topLeft.u - 604, topLeft.v - 721)).toBeLessThan(12);
    const topRight = place(1, 1);
    expect(Math.hypot(topRight.u - 3645, topRight.v - 337)).toBeLessThan(12);
  });
});
