/**
 * Edges followed from click to click against their truth: `npx tsx tests/bench/live-wire.ts [--first SEED] [--seeds N]
 * [--tilts 15,30] [--thick 0.1,10] [--tones 0,4] [--apart 60,180] [--keep DIR] [--each]`. Photos of 12 MP, cropped to
 * the piece; clicks beside the true top edge, as a hand sets them (0.35 mm each way, one sigma), the given distances
 * apart along the outline, one stretch a click as on the screen. Prints the greatest distance from the truth of each
 * stretch, mm: the middle one of all stretches, the ninth of ten, the worst, and the share further off than 0.3 mm.
 */
import type { PlanePoint } from '../../src/geometry/point.ts';
import { croppedToPieces, thickScene, TONES } from '../simulator/thick-scenes.ts';
import { clickedStretches } from '../trace/clicked-stretches.ts';
import { keptPhoto } from './kept-photo.ts';

function after(flag: string): string | undefined {
  const at = process.argv.indexOf(flag);
  return at < 0 ? undefined : process.argv[at + 1];
}
const numbers = (flag: string, fallback: readonly number[]): readonly number[] =>
  after(flag)?.split(',').map(Number) ?? fallback;

const FIRST = Number(after('--first') ?? 1);
const SEEDS = Number(after('--seeds') ?? 1);
const TILTS = numbers('--tilts', [15, 30]);
const THICK = numbers('--thick', [0.1, 10]);
const APART = numbers('--apart', [60, 180]);
const CHOSEN = numbers(
  '--tones',
  TONES.map((_, i) => i),
);
const KEEP = after('--keep');
const EACH = process.argv.includes('--each');
const TABLE_MM = 20;
const LIMIT_MM = 0.3;

const share = (values: readonly number[], at: number) => values[Math.floor(at * (values.length - 1))]!;
const worst = new Map<string, number[]>();
const seen = new Map<string, number[]>();
for (const tilt of TILTS) {
  for (const thicknessMm of THICK) {
    for (let seed = FIRST; seed < FIRST + SEEDS; seed++) {
      for (const tone of CHOSEN) {
        const whole = thickScene({
          seed: seed * 100 + tone,
          thicknessMm,
          tiltDeg: tilt,
          tones: TONES[tone]!,
          megapixels: 12,
        });
        const scene = croppedToPieces(whole, TABLE_MM);
        const photo = await keptPhoto(scene, KEEP, `${seed}-${tone}-${thicknessMm}-${tilt}`);
        const piece = scene.pieces[0]!;
        for (const apartMm of APART) {
          const rings: readonly (readonly PlanePoint[])[] = [piece.outer, ...piece.holes];
          const found = rings.flatMap((ring) =>
            clickedStretches(photo, scene.camera, thicknessMm, ring, apartMm, seed * 31 + tone),
          );
          const key = `${String(thicknessMm).padStart(4)} mm ${tilt} deg, clicks ${apartMm} mm apart`;
          const off = found.map(({ p95Mm }) => p95Mm);
          worst.set(key, [...(worst.get(key) ?? []), ...found.map(({ maxMm }) => maxMm)]);
          seen.set(key, [...(seen.get(key) ?? []), ...off]);
          if (EACH)
            console.log(
              `${key} seed ${seed} ${found.map(({ p95Mm, maxMm }) => `${p95Mm.toFixed(2)}/${maxMm.toFixed(1)}`).join(' ')}  ${TONES[tone]!.name}`,
            );
        }
      }
    }
  }
}
for (const [key, values] of seen) {
  const sorted = [...values].sort((a, b) => a - b);
  const beyond = (100 * values.filter((mm) => mm > LIMIT_MM).length) / values.length;
  const figures = [share(sorted, 0.5), share(sorted, 0.9), sorted.at(-1)!].map((mm) => mm.toFixed(2));
  const tops = [...worst.get(key)!].sort((a, b) => a - b);
  const most = [share(tops, 0.5), share(tops, 0.9), tops.at(-1)!].map((mm) => mm.toFixed(2));
  console.log(
    `${key}: greatest ${most.join('  ')}; p95 ${figures.join('  ')} mm; ${beyond.toFixed(1)} % of ${values.length} beyond ${LIMIT_MM} mm`,
  );
}
