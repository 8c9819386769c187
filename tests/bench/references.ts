/**
 * How true are lengths measured by a bank card, a sheet of paper or two points?
 * `npx tsx tests/bench/references.ts [bank-card|sheet|two-points] [--photos N] [--megapixels N] [--first SEED] [--pointed] [--keep DIR]`:
 * N seeded captures (100) each, from whole rendered photos (3 MP unless told otherwise) through the whole capture stage;
 * two points are given as a maker would tap them; with --pointed the corners of card or sheet are tapped as well, 1.5 mm off; with --keep rendered
 * photos are kept there and taken from there the next time (one folder for each number of megapixels). Prints the share of true lengths inside the stated tolerance and how
 * wide the tolerance is beside the real scatter (limits of issue 3: at least 95 %, at most 2.5 times).
 */
import { imageToPlane } from '../../src/capture/camera.ts';
import { capturePhoto, LEVEL_DOUBT_RAD } from '../../src/capture/capture-photo.ts';
import { statedTolerance } from '../../src/stated-tolerance.ts';
import { toleranceOfLengthMm } from '../../src/capture/tolerance.ts';
import type { Capture, CaptureOptions, Reference } from '../../src/capture/types.ts';
import type { ImagePoint, PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { project } from '../simulator/lens.ts';
import { type ReferenceCase, type ReferenceScene, referenceScene } from '../simulator/reference-captures.ts';
import { SHEET_SIZES, type SheetSize } from '../simulator/scene.ts';
import { seeded } from '../simulator/seeded.ts';
import { keptPhoto } from './kept-photo.ts';
import { median, PAPER_FACE_MM, rms } from './length-errors.ts';

function numberAfter(flag: string, fallback: number): number {
  const at = process.argv.indexOf(flag);
  return at < 0 ? fallback : Number(process.argv[at + 1]);
}
const PHOTOS = numberAfter('--photos', 100);
const MEGAPIXELS = numberAfter('--megapixels', 3);
const FIRST = numberAfter('--first', 1);
const KINDS = ['bank-card', 'sheet', 'two-points'] as const;
type Kind = (typeof KINDS)[number];
const asked = KINDS.filter((kind) => process.argv.includes(kind));
const isPointed = process.argv.includes('--pointed');
const KEEP = process.argv.includes('--keep') ? process.argv[process.argv.indexOf('--keep') + 1] : undefined;
const isLoud = process.argv.includes('--each');

/** A true length's ends stand this much above the paper's face, mm RMS: twice what the tolerance allows for. */
const LIFT_MM = 0.3;
const SHEETS: readonly SheetSize[] = ['A4', 'A3', 'Letter'];

function caseOf(kind: Kind, seed: number): ReferenceCase {
  const random = seeded(seed * 31 + 7);
  const level = Math.hypot(random.normal(LEVEL_DOUBT_RAD), random.normal(LEVEL_DOUBT_RAD));
  return {
    kind,
    megapixels: MEGAPIXELS,
    region: 'A4',
    // Handheld from above; two points ask for a phone held level.
    tiltDeg: kind === 'two-points' ? (level * 180) / Math.PI : random.between(0, 30),
    sheet: SHEETS[seed % 3]!,
    isOnSheet: seed % 2 === 0,
  };
}

/** The two ends of a ruler laid across the region, tapped to within a few pixels and read to a few tenths. */
function tapped({ scene, halfWidthMm }: ReferenceScene, seed: number): Reference {
  const random = seeded(seed + 4711);
  const turn = random.between(0, Math.PI);
  const lengthMm = Math.round(random.between(0.5, 0.9) * 2 * halfWidthMm);
  const [c, s] = [Math.cos(turn) * lengthMm * 0.5, Math.sin(turn) * lengthMm * 0.5];
  const heightMm = random.between(0, 1);
  const at = (x: number, y: number) => {
    const { u, v } = project(scene.camera, x + random.normal(0.3), y + random.normal(0.3), heightMm);
    return { u: u + random.normal(1.5), v: v + random.normal(1.5) };
  };
  return {
    kind: 'two-points',
    fromPx: at(-c, -s),
    toPx: at(c, s),
    distanceMm: lengthMm + random.normal(0.3),
  };
}

/** How well corners are tapped, mm. */
const TAPPED_MM = 1.5;

/** The corners of the card or sheet as they show in the photo. */
function trueCorners({ scene }: ReferenceScene): readonly ImagePoint[] {
  const [card] = scene.bankCards;
  const lies = card ?? scene.sheets[0]!;
  const [width, height] = card ? [85.6, 53.98] : SHEET_SIZES[scene.sheets[0]!.size];
  const [c, s] = [Math.cos(lies.turnRad), Math.sin(lies.turnRad)];
  const corners = [
    [-1, 1],
    [1, 1],
    [1, -1],
    [-1, -1],
  ] as const;
  return corners.map(([i, j]) => {
    const [x, y] = [(i * width) / 2, (j * height) / 2];
    const { u, v } = project(scene.camera, lies.centre.x + c * x - s * y, lies.centre.y + s * x + c * y, 0.4);
    return { u, v };
  });
}

/** The corners as a maker taps them. */
function tappedCorners(made: ReferenceScene, seed: number): readonly ImagePoint[] {
  const random = seeded(seed + 815);
  const { widthPx, heightPx } = made.scene.camera;
  const corners = trueCorners(made);
  const side = made.scene.bankCards.length > 0 ? 85.6 : SHEET_SIZES[made.scene.sheets[0]!.size][0];
  const pxPerMm = Math.hypot(corners[0]!.u - corners[1]!.u, corners[0]!.v - corners[1]!.v) / side;
  const within = (value: number, size: number): number => Math.min(size - 1, Math.max(0, value));
  return corners.map(({ u, v }) => ({
    u: within(u + random.normal(TAPPED_MM * pxPerMm), widthPx),
    v: within(v + random.normal(TAPPED_MM * pxPerMm), heightPx),
  }));
}

function referenceOf(made: ReferenceScene, kind: Kind, seed: number): Reference {
  if (kind === 'two-points') return tapped(made, seed);
  const near = isPointed && { nearPx: tappedCorners(made, seed) };
  if (kind === 'bank-card') return { kind, ...near };
  return { kind, sheet: made.scene.sheets[0]!.size, ...near };
}

/** A finding this far off, px, is the wrong thing or has a wrong side. */
const FALSE_PX = 12;

function isFalse(made: ReferenceScene, capture: Capture): boolean {
  const [found] = capture.references!;
  if (found!.kind === 'two-points') return false;
  const corners = trueCorners(made);
  return found!.cornersPx.some(({ u, v }) =>
    corners.every((corner) => Math.hypot(corner.u - u, corner.v - v) > FALSE_PX),
  );
}

interface Length {
  readonly errorMm: number;
  readonly statedMm: number;
}

/** Lengths across the region, the longest first: both diagonals, across, along. */
function lengthsOf({ scene, halfWidthMm: x, halfHeightMm: y }: ReferenceScene, capture: Capture): Length[] {
  const random = seeded(scene.seed + 99);
  const ends: readonly (readonly [PlanePoint, PlanePoint])[] = [
    [
      { x: -x, y: -y },
      { x, y },
    ],
    [
      { x: -x, y },
      { x, y: -y },
    ],
    [
      { x: -x, y: 0 },
      { x, y: 0 },
    ],
    [
      { x: 0, y: -y },
      { x: 0, y },
    ],
  ];
  return ends.map(([a, b]) => {
    const [p, q] = [a, b].map((end) => {
      const z = PAPER_FACE_MM + Math.abs(random.normal(LIFT_MM));
      return imageToPlane(capture.camera, project(scene.camera, end.x, end.y, z), capture.thicknessMm);
    });
    return {
      errorMm: Math.hypot(p!.x - q!.x, p!.y - q!.y) - Math.hypot(a.x - b.x, a.y - b.y),
      statedMm: statedTolerance(toleranceOfLengthMm(capture, p!, q!)),
    };
  });
}

function row(name: string, lengths: readonly Length[]): void {
  const inside =
    lengths.filter(({ errorMm, statedMm }) => Math.abs(errorMm) <= statedMm).length / lengths.length;
  const scatter = rms(lengths.map(({ errorMm }) => errorMm));
  const typical = rms(lengths.map(({ statedMm }) => statedMm));
  // Each error in units of its own tolerance, so that near and far captures count alike.
  const ownRatio = 1 / rms(lengths.map(({ errorMm, statedMm }) => errorMm / statedMm));
  const ok = inside >= 0.95 && typical / scatter <= 2.5;
  console.log(
    `${name.padEnd(26)} | ${(100 * inside).toFixed(1).padStart(5)} % | ${scatter.toFixed(2).padStart(5)} | ` +
      `${typical.toFixed(2).padStart(5)} (middle ${median(lengths.map(({ statedMm }) => statedMm)).toFixed(2)}) | ` +
      `${(typical / scatter).toFixed(2)} | ${ownRatio.toFixed(2)} ${ok ? 'ok' : 'OUTSIDE'}`,
  );
}

async function bench(kind: Kind): Promise<void> {
  const vision = await loadVisionInNode();
  const all: Length[][] = [];
  const failures: string[] = [];
  const falseFinds: number[] = [];
  for (let seed = FIRST; seed < FIRST + PHOTOS; seed++) {
    const made = referenceScene(seed, caseOf(kind, seed));
    const { scene } = made;
    const { widthPx: width, heightPx: height } = scene.camera;
    // Two points are tapped, not found: no picture is needed.
    const photo =
      kind === 'two-points'
        ? { width, height, data: new Uint8Array(width * height * 4) }
        : await keptPhoto(scene, KEEP, `${kind}-${seed}`);
    const options: CaptureOptions = {
      facts: scene.facts,
      thicknessMm: PAPER_FACE_MM,
      references: [referenceOf(made, kind, seed)],
    };
    const outcome = capturePhoto(vision, photo, options);
    if (!outcome.ok) {
      failures.push(`${seed}: ${outcome.problem.code}`);
      if (isLoud) console.log(seed, outcome.problem.message);
      continue;
    }
    if (isFalse(made, outcome.value)) falseFinds.push(seed);
    const lengths = lengthsOf(made, outcome.value);
    if (isLoud) {
      const words = lengths.map(({ errorMm, statedMm }) => `${errorMm.toFixed(2)}±${statedMm.toFixed(2)}`);
      const [found] = outcome.value.references!;
      const notes = outcome.value.warnings.map(({ code }) => code);
      console.log(
        seed,
        scene.table.kind,
        words.join(' '),
        found?.residualMm.toFixed(3),
        found?.isUnderPieces,
        notes.join(','),
      );
    }
    all.push(lengths);
  }
  const names = ['longest (diagonal)', 'other diagonal', 'across', 'along'];
  console.log(
    `\n${kind}: ${PHOTOS} captures, ${failures.length} not measured${failures.length > 0 ? ` (${failures.join('; ')})` : ''}, ` +
      `${falseFinds.length} on the wrong thing or side (${falseFinds.join(', ')})`,
  );
  console.log(
    'length                     | inside  | RMS mm | stated mm           | stated over RMS | same, each by its own',
  );
  names.forEach((name, k) =>
    row(
      name,
      all.map((lengths) => lengths[k]!),
    ),
  );
  row('all four', all.flat());
}

for (const kind of asked.length > 0 ? asked : KINDS) await bench(kind);
