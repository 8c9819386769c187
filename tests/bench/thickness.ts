/**
 * Outlines and openings of thick pieces against their truth: `npx tsx tests/bench/thickness.ts [--seeds N] [--tilts 0,30]
 * [--thick 0.1,10] [--tones 0,4] [--keep DIR] [--each] [--whole]`. Photos of 12 MP, cropped to the piece (or not, with --whole: then regions are
 * proposed in a reduced photo, as in use), traced with the true camera, so
 * that what is measured is the trace alone: which edge was seen, and where. Prints the 95th percentile of the distance
 * of cleaned lines, mm, beside the flat case's. `--keep` keeps the photos for the next run, `--each` tells every photo.
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { tracePieces } from '../../src/trace/trace-pieces.ts';
import { DEFAULT_TRACE_OPTIONS, type TracedEdge } from '../../src/trace/types.ts';
import type { Raster } from '../../src/vision/raster.ts';
import { encodeJpeg } from '../simulator/photograph.ts';
import { renderScene } from '../simulator/render.ts';
import type { Scene } from '../simulator/scene.ts';
import { croppedToPieces, thickScene, TONES } from '../simulator/thick-scenes.ts';
import { knownCapture } from '../trace/known-capture.ts';
import { outlineDistance } from '../trace/outline-distance.ts';

function after(flag: string): string | undefined {
  const at = process.argv.indexOf(flag);
  return at < 0 ? undefined : process.argv[at + 1];
}
const numbers = (flag: string, fallback: readonly number[]): readonly number[] =>
  after(flag)?.split(',').map(Number) ?? fallback;

const SEEDS = Number(after('--seeds') ?? 1);
const TILTS = numbers('--tilts', [0, 10, 20, 30]);
const THICK = numbers('--thick', [0.1, 3, 6, 10]);
const CHOSEN = numbers(
  '--tones',
  TONES.map((_, i) => i),
);
const KEEP = after('--keep');
const EACH = process.argv.includes('--each');
const WHOLE = process.argv.includes('--whole');
const TABLE_MM = 20;
/** Issue 3: corrected error within this of the flat case, mm. */
const LIMIT_MM = 0.1;

async function photoOf(scene: Scene, name: string): Promise<Raster> {
  const file = KEEP && join(KEEP, `${name}.jpg`);
  const kept = file && existsSync(file) ? readFileSync(file) : undefined;
  const jpeg = kept ?? (await encodeJpeg(renderScene(scene), 90));
  if (file && !kept) {
    mkdirSync(KEEP, { recursive: true });
    writeFileSync(file, jpeg);
  }
  const { data, info } = await sharp(jpeg).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, data };
}

/** What one photo gave; a line that was not found counts as 99 mm. */
interface Found {
  readonly outlineMm: number;
  readonly openingsMm: readonly number[];
  readonly extra: number;
}

function nearestMm(edges: readonly TracedEdge[], truth: readonly PlanePoint[]): number {
  const all = edges.map(({ path }) => outlineDistance(path, truth));
  const best = all.reduce((a, b) => (b.meanMm < a.meanMm ? b : a), { meanMm: 5, p95Mm: 99, maxMm: 99 });
  return best.p95Mm;
}

const vision = await loadVisionInNode();

async function look(seed: number, thicknessMm: number, tiltDeg: number, tone: number): Promise<Found> {
  const tones = TONES[tone]!;
  const whole = thickScene({ seed: seed * 100 + tone, thicknessMm, tiltDeg, tones, megapixels: 12 });
  const scene = WHOLE ? whole : croppedToPieces(whole, TABLE_MM);
  const photo = await photoOf(scene, `${WHOLE ? 'whole-' : ''}${seed}-${tone}-${thicknessMm}-${tiltDeg}`);
  const { pieces } = tracePieces(
    vision,
    photo,
    knownCapture(scene.camera, scene.cards, thicknessMm),
    DEFAULT_TRACE_OPTIONS,
  );
  const [piece] = scene.pieces;
  const outlineMm = nearestMm(
    pieces.map(({ outer }) => outer),
    piece!.outer,
  );
  const openings = pieces.flatMap(({ holes }) => holes);
  const openingsMm = piece!.holes.map((hole) => nearestMm(openings, hole));
  const found = {
    outlineMm,
    openingsMm,
    extra: pieces.length - 1 + Math.max(0, openings.length - piece!.holes.length),
  };
  if (EACH) {
    const figures = [outlineMm, ...openingsMm].map((value) => value.toFixed(3).padStart(7)).join(' ');
    console.log(
      `${String(thicknessMm).padStart(4)} mm ${String(tiltDeg).padStart(2)} deg seed ${seed} ${figures}  extra ${found.extra}  ${tones.name}`,
    );
  }
  return found;
}

const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);
const middle = (values: readonly number[]): string =>
  sorted(values)[values.length >> 1]!.toFixed(3).padStart(7);
const worst = (values: readonly number[]): string =>
  Math.max(...values)
    .toFixed(3)
    .padStart(7);

const rows: { head: string; thicknessMm: number; seen: readonly Found[] }[] = [];
const flat = new Map<string, Found>();
let beyond = 0;
let compared = 0;
for (const tiltDeg of TILTS) {
  for (const thicknessMm of sorted(THICK)) {
    const seen: Found[] = [];
    for (let seed = 1; seed <= SEEDS; seed++) {
      for (const tone of CHOSEN) {
        const found = await look(seed, thicknessMm, tiltDeg, tone);
        seen.push(found);
        const key = `${tiltDeg} ${seed} ${tone}`;
        if (thicknessMm < 1) flat.set(key, found);
        const beside = flat.get(key);
        if (thicknessMm < 1 || !beside) continue;
        compared++;
        const off = (a: number, b: number) => a - b > LIMIT_MM;
        if (
          off(found.outlineMm, beside.outlineMm) ||
          found.openingsMm.some((value, i) => off(value, beside.openingsMm[i]!))
        )
          beyond++;
      }
    }
    rows.push({
      head: `${String(tiltDeg).padStart(4)} | ${String(thicknessMm).padStart(5)}`,
      thicknessMm,
      seen,
    });
  }
}
console.log('\n95th percentile, mm, over tones and seeds:   outline          openings    | missed | extra');
console.log('tilt | thick |  median   worst  |  median   worst  |        |');
for (const { head, seen } of rows) {
  const outlines = seen.map(({ outlineMm }) => outlineMm);
  const openings = seen.flatMap(({ openingsMm }) => openingsMm);
  const met = (values: readonly number[]) => values.filter((value) => value < 99);
  const missed = [...outlines, ...openings].filter((value) => value === 99).length;
  const extra = seen.reduce((sum, found) => sum + found.extra, 0);
  console.log(
    `${head} | ${middle(outlines)} ${worst(met(outlines))} | ${middle(openings)} ${worst(met(openings))} | ${String(missed).padStart(4)}   | ${extra}`,
  );
}
console.log(
  `${compared - beyond} of ${compared} thick photos within ${LIMIT_MM} mm of the flat one, openings too`,
);
