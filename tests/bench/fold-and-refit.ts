/**
 * Fold check and refit on simulated photos: `npx tsx tests/bench/fold-and-refit.ts [--megapixels N] [--seeds N] [symmetric|bumps|refit ...]`.
 * Every piece is rendered, captured and traced before it is folded or laid. Prints the figures beside the limits of issue 5.
 */
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import type { Path } from '../../src/geometry/path.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { point } from '../geometry/drawn.ts';
import { OUTLINES, OVAL, trimmedRight, VISOR, withBumps } from '../mirror/outlines.ts';
import { type JudgedFold, judgeFold, judgeRefit } from '../refit/judged-photos.ts';
import { trimmed } from '../refit/mock-ups.ts';
import { photographedPiece } from '../simulator/photographed-pieces.ts';
import { seeded } from '../simulator/seeded.ts';

function numberAfter(flag: string, fallback: number): number {
  const at = process.argv.indexOf(flag);
  return at < 0 ? fallback : Number(process.argv[at + 1]);
}
const MEGAPIXELS = numberAfter('--megapixels', 12);
const SEEDS = numberAfter('--seeds', 2);
const mm = (value: number): string => value.toFixed(3).padStart(7);
const verdict = (isKept: boolean): string => (isKept ? 'ok' : 'OVER');

/** Any turn, and a little off the middle of the table. */
function lyingAnyhow(seed: number) {
  const random = seeded(seed * 31 + 7);
  const half = random.below(2) * Math.PI;
  return {
    mirrored: false,
    angleRad: half + random.normal(0.1),
    shift: point(random.normal(3), random.normal(3)),
  };
}

/** Pieces that fit between the cards round an A4 sheet. */
const PIECES: Readonly<Record<string, Path>> = {
  VISOR,
  OVAL,
  TRIANGLE: OUTLINES.TRIANGLE!,
  LEAF: OUTLINES.LEAF!,
  HORSESHOE: OUTLINES.HORSESHOE!,
  NEAR_CIRCLE: OUTLINES.NEAR_CIRCLE!,
};

async function photographedFold(
  vision: Vision,
  path: Path,
  seed: number,
  bump?: { readonly at: { readonly x: number; readonly y: number }; readonly heightMm: number },
): Promise<JudgedFold> {
  const lines = await photographedPiece(vision, { outline: path, lies: lyingAnyhow(seed) }, seed, MEGAPIXELS);
  return judgeFold(lines, path, bump);
}

async function symmetric(vision: Vision): Promise<void> {
  console.log('\nSymmetric pieces: axis and largest difference (limits 0.15 mm, 0.1 deg, 0.5 mm)');
  for (const [name, path] of Object.entries(PIECES)) {
    for (let seed = 1; seed <= SEEDS; seed++) {
      const { axisMm, axisDeg, maxMm, findings } = await photographedFold(vision, path, seed);
      const isKept = axisMm <= 0.15 && axisDeg <= 0.1 && findings === 0;
      console.log(
        `  ${name.padEnd(12)} axis ${mm(axisMm)} mm ${mm(axisDeg)} deg, largest ${mm(maxMm)} mm  ${verdict(isKept)}`,
      );
    }
  }
}

const BUMPED: readonly (readonly [string, Path, { readonly x: number; readonly y: number }])[] = [
  ['VISOR', VISOR, point(100, 55)],
  ['OVAL', OVAL, point(90, -55)],
  ['LEAF', OUTLINES.LEAF!, point(-95, -10)],
];

async function bumps(vision: Vision): Promise<void> {
  console.log(
    '\nKnown bumps, 25 mm wide (limits: place 5 mm, height 0.25 mm, nothing else found from 0.3 mm on)',
  );
  for (const [name, clean, near] of BUMPED) {
    for (const heightMm of [0.5, 1, -1.5, 2, -3, 4]) {
      const bump = { near, heightMm, widthMm: 25 };
      const { path, middles } = withBumps(clean, [bump]);
      const judged = await photographedFold(vision, path, 3 + Math.round(10 * Math.abs(heightMm)), {
        at: middles[0]!,
        heightMm,
      });
      const isKept = judged.placeMm <= 5 && Math.abs(judged.heightMm) <= 0.25 && judged.findings === 1;
      console.log(
        `  ${name.padEnd(6)} ${mm(heightMm)} mm: off by ${mm(judged.placeMm)} mm in place, ${mm(judged.heightMm)} mm in height, ${judged.findings} finding(s), axis ${mm(judged.axisMm)} mm ${mm(judged.axisDeg)} deg  ${verdict(isKept)}`,
      );
    }
  }
}

async function refit(vision: Vision): Promise<void> {
  console.log('\nRefit with 30 % of the outline trimmed (limits: untouched 0.2 mm, amount 0.3 mm)');
  const pieces: readonly (readonly [string, Path])[] = [
    ['VISOR', VISOR],
    ['LEAF', OUTLINES.LEAF!],
    ['half visor', trimmedRight(VISOR, 60)],
  ];
  for (const [name, path] of pieces) {
    for (const [depthMm, isTurned] of [
      [2, false],
      [4, true],
      [8, false],
    ] as const) {
      const { path: after, untouched } = trimmed(path, depthMm, 0.15);
      const before = await photographedPiece(
        vision,
        { outline: path, lies: lyingAnyhow(depthMm) },
        depthMm,
        MEGAPIXELS,
      );
      const lies = { ...lyingAnyhow(depthMm + 1), mirrored: isTurned };
      const mockUp = await photographedPiece(vision, { outline: after, lies }, depthMm + 1, MEGAPIXELS);
      const judged = judgeRefit(before, mockUp, { drawn: path, untouched, depthMm });
      const isKept = judged.untouchedMm <= 0.2 && Math.abs(judged.trimErrorMm) <= 0.3;
      console.log(
        `  ${name.padEnd(10)} ${depthMm} mm${isTurned ? ', turned over' : ''}: untouched within ${mm(judged.untouchedMm)} mm, amount off by ${mm(judged.trimErrorMm)} mm, ${judged.stretches} stretch(es)  ${verdict(isKept)}`,
      );
    }
  }
}

const PARTS = { symmetric, bumps, refit };
const wanted = Object.keys(PARTS).filter((part) => process.argv.includes(part));
const vision = await loadVisionInNode();
for (const part of wanted.length > 0 ? wanted : Object.keys(PARTS)) {
  await PARTS[part as keyof typeof PARTS](vision);
}
