import type { Raster } from '../../src/vision/raster.ts';
import { addNoise, blurColumn, blurRow, codeTone, gaussianKernel } from './exposure.ts';
import type { Scene } from './scene.ts';
import { SightMap } from './sight-map.ts';
import { hash01 } from './seeded.ts';
import { Tracer } from './tracer.ts';

const TILE = 32;

/** Offsets within a pixel: a Fibonacci lattice, even in every direction (Sloan and Joe 1994, lattice rules; from memory). */
function latticeOf(samples: number): Float64Array {
  const before = { 21: 13, 34: 21, 55: 34, 89: 55, 233: 144 }[samples]!;
  return Float64Array.from({ length: 2 * samples }, (_, i) => {
    const k = i >> 1;
    return i % 2 === 0 ? (k + 0.5) / samples : (k * before) / samples - Math.floor((k * before) / samples);
  });
}

/** A block of rows of linear light, wider than the picture by `halo` on both sides. */
class LinearPainter {
  private readonly tracer: Tracer;
  private readonly sight: SightMap;
  private readonly lattice: Float64Array;

  constructor(private readonly scene: Scene) {
    this.tracer = new Tracer(scene);
    this.sight = new SightMap(scene.camera);
    this.lattice = latticeOf(scene.picture.edgeSamples ?? 55);
  }

  /** Paints picture rows [row0, row1) into `rows` (one array a row), from column -halo on. */
  paint(rows: readonly Float32Array[], row0: number, row1: number, halo: number): void {
    const columns = rows[0]!.length / 3;
    for (let top = row0; top < row1; top += TILE) {
      const bottom = Math.min(row1, top + TILE);
      for (let left = 0; left < columns; left += TILE) {
        const right = Math.min(columns, left + TILE);
        this.paintTile(rows, row0, top, bottom, left, right, halo);
      }
    }
  }

  private paintTile(
    rows: readonly Float32Array[],
    row0: number,
    top: number,
    bottom: number,
    left: number,
    right: number,
    halo: number,
  ): void {
    const { sight, tracer } = this;
    const region = sight.select(left - halo, top, right - halo - 1, bottom - 1);
    tracer.select(region);
    const bare = tracer.isBare;
    const { color } = tracer;
    const nearMm = sight.halfPixelMm * 1.1;
    for (let v = top; v < bottom; v++) {
      const row = rows[v - row0]!;
      sight.setRow(v);
      for (let column = left; column < right; column++) {
        const u = column - halo;
        sight.at(u);
        tracer.shade(sight.x, sight.y);
        if (!bare && tracer.edgeMm < nearMm) this.shadeFinely(u, v);
        row[3 * column] = color[0]!;
        row[3 * column + 1] = color[1]!;
        row[3 * column + 2] = color[2]!;
      }
    }
  }

  /** Mean light over the pixel's square. */
  private shadeFinely(u: number, v: number): void {
    const { lattice, scene, sight, tracer } = this;
    const { color } = tracer;
    const x = sight.x;
    const y = sight.y;
    const { xPerU, yPerU, xPerV, yPerV } = sight;
    // A shift of its own for each pixel leaves no pattern.
    const shiftU = hash01(u, v, scene.seed);
    const shiftV = hash01(v, u, scene.seed + 77);
    let [r, g, b] = [0, 0, 0];
    const count = lattice.length / 2;
    for (let i = 0; i < count; i++) {
      let du = lattice[2 * i]! + shiftU;
      let dv = lattice[2 * i + 1]! + shiftV;
      du = du >= 1 ? du - 1.5 : du - 0.5;
      dv = dv >= 1 ? dv - 1.5 : dv - 0.5;
      tracer.shade(x + du * xPerU + dv * xPerV, y + du * yPerU + dv * yPerV);
      r += color[0]!;
      g += color[1]!;
      b += color[2]!;
    }
    color[0] = r / count;
    color[1] = g / count;
    color[2] = b / count;
  }
}

/** Rows kept in a ring: row n lives at n modulo the ring's length. */
class Ring {
  private readonly rows: Float32Array[];

  constructor(count: number, length: number) {
    this.rows = Array.from({ length: count }, () => new Float32Array(length));
  }

  at(n: number): Float32Array {
    const { length } = this.rows;
    return this.rows[((n % length) + length) % length]!;
  }
}

/** Even spread along a straight shake, as whole-pixel shifts with weights. */
function shakeTaps(motion: { u: number; v: number } | undefined): { u: number; v: number; weight: number }[] {
  if (!motion) return [{ u: 0, v: 0, weight: 1 }];
  const steps = Math.max(2, Math.ceil(2 * Math.hypot(motion.u, motion.v)));
  const taps = new Map<string, { u: number; v: number; weight: number }>();
  for (let i = 0; i < steps; i++) {
    const share = (i + 0.5) / steps - 0.5;
    const [fu, fv] = [motion.u * share, motion.v * share];
    const [u0, v0] = [Math.floor(fu), Math.floor(fv)];
    const [s, t] = [fu - u0, fv - v0];
    for (const [u, v, weight] of [
      [u0, v0, (1 - s) * (1 - t)],
      [u0 + 1, v0, s * (1 - t)],
      [u0, v0 + 1, (1 - s) * t],
      [u0 + 1, v0 + 1, s * t],
    ] as const) {
      if (weight === 0) continue;
      const tap = taps.get(`${u},${v}`) ?? { u, v, weight: 0 };
      tap.weight += weight / steps;
      taps.set(`${u},${v}`, tap);
    }
  }
  return [...taps.values()];
}

/**
 * The photo of a scene before JPEG: exact light through the lens, blur and shake in linear light, falloff, noise,
 * tone coding, sharpening, bytes. Pure and seeded; a 12 MP photo takes a few seconds.
 */
export function renderScene(scene: Scene): Raster {
  const { camera, picture } = scene;
  const { widthPx: width, heightPx: height } = camera;
  const blur = gaussianKernel(picture.blurSigmaPx);
  const halfBlur = gaussianKernel(picture.sharpen > 0 ? picture.sharpenSigmaPx : 0);
  const taps = shakeTaps(picture.motionPx);
  const shakeReach = Math.max(...taps.map(({ u, v }) => Math.max(Math.abs(u), Math.abs(v))));
  const blurReach = blur.length - 1;
  const sharpReach = halfBlur.length - 1;
  const halo = blurReach + shakeReach + sharpReach;
  const wide = 3 * (width + 2 * halo);

  const painter = new LinearPainter(scene);
  const data = new Uint8ClampedArray(width * height * 4);
  // Each stage keeps the rows that the next one still needs.
  const light = new Ring(2 * blurReach + TILE + 1, wide);
  const blurred = new Ring(2 * shakeReach + 1, wide);
  const coded = new Ring(2 * sharpReach + 1, wide);
  const luma = new Ring(2 * sharpReach + 1, wide / 3);
  const scratch = new Float32Array(wide);
  const softRow = new Float32Array(wide / 3);
  const soft = new Float32Array(wide / 3);

  let painted = -halo;
  const needLight = (upTo: number): void => {
    while (painted <= upTo) {
      const until = Math.min(painted + TILE, height + halo);
      const rows = Array.from({ length: until - painted }, (_, i) => light.at(painted + i));
      painter.paint(rows, painted, until, halo);
      for (const row of rows) {
        if (blurReach === 0) continue;
        scratch.set(row);
        blurRow(row, scratch, 3, blur);
        row.set(scratch);
      }
      painted = until;
    }
  };

  let blurredTo = -halo + blurReach;
  const needBlurred = (upTo: number): void => {
    for (; blurredTo <= upTo; blurredTo++) {
      const n = blurredTo;
      needLight(n + blurReach);
      blurColumn((offset) => light.at(n + offset), blurred.at(n), blur);
    }
  };

  const focus2 = (width * width + height * height) / 4;
  let codedTo = -sharpReach;
  const needCoded = (upTo: number): void => {
    for (; codedTo <= upTo; codedTo++) {
      const n = codedTo;
      needBlurred(n + shakeReach);
      const row = coded.at(n);
      expose(row, (offset) => blurred.at(n + offset), taps, shakeReach);
      // Light falls off towards the corners.
      const dv = n - (height - 1) / 2;
      for (let column = 0; column < wide / 3; column++) {
        const du = column - halo - (width - 1) / 2;
        const gain = picture.exposure * (1 - (picture.falloff * (du * du + dv * dv)) / focus2);
        row[3 * column]! *= gain;
        row[3 * column + 1]! *= gain;
        row[3 * column + 2]! *= gain;
      }
      addNoise(row, picture.shotNoise, picture.readNoise, scene.seed, n);
      const lumaRow = luma.at(n);
      for (let column = 0; column < wide / 3; column++) {
        const r = codeTone(row[3 * column]!);
        const g = codeTone(row[3 * column + 1]!);
        const b = codeTone(row[3 * column + 2]!);
        row[3 * column] = r;
        row[3 * column + 1] = g;
        row[3 * column + 2] = b;
        lumaRow[column] = 0.299 * r + 0.587 * g + 0.114 * b;
      }
    }
  };

  for (let v = 0; v < height; v++) {
    needCoded(v + sharpReach);
    const row = coded.at(v);
    const lumaRow = luma.at(v);
    if (picture.sharpen > 0) {
      blurColumn((offset) => luma.at(v + offset), softRow, halfBlur);
      blurRow(softRow, soft, 1, halfBlur);
    }
    let to = v * width * 4;
    for (let column = halo; column < width + halo; column++) {
      const lift = picture.sharpen > 0 ? picture.sharpen * (lumaRow[column]! - soft[column]!) : 0;
      data[to] = row[3 * column]! + lift;
      data[to + 1] = row[3 * column + 1]! + lift;
      data[to + 2] = row[3 * column + 2]! + lift;
      data[to + 3] = 255;
      to += 4;
    }
  }
  return { width, height, data };
}

/** One row of light gathered over the shake. */
function expose(
  to: Float32Array,
  from: (offset: number) => Float32Array,
  taps: readonly { u: number; v: number; weight: number }[],
  reach: number,
): void {
  if (taps.length === 1) {
    to.set(from(0));
    return;
  }
  to.fill(0);
  const end = to.length - 3 * reach;
  for (const { u, v, weight } of taps) {
    const row = from(v);
    for (let i = 3 * reach; i < end; i++) to[i]! += weight * row[i + 3 * u]!;
  }
}
