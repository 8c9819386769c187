import { bankCardBody, type Body, cardBody, gridLine, type Hit, pieceBody, sheetBody } from './bodies.ts';
import { EdgeGrid } from './edge-grid.ts';
import { glareAt, irradiance } from './light.ts';
import { tablePointOf } from './lens.ts';
import type { Scene, SimLine } from './scene.ts';
import { type NoiseTile, noiseFor } from './textures.ts';

/** A region of the table, mm. */
export interface Region {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

interface Stroke {
  readonly line: SimLine;
  readonly grid: EdgeGrid;
}

/** Width of a stroke's soft edge, by tool. */
const SOFT_MM = { pencil: 0.25, pen: 0.06, marker: 0.12, smudge: 7 } as const;

/** Follows lines of sight into a scene. `select` narrows the scene to what matters for one region of the picture. */
export class Tracer {
  /** Linear light of the last call to `shade`, and the distance to the nearest edge, mm. */
  readonly color = new Float64Array(3);
  edgeMm = 0;

  private readonly bodies: readonly Body[];
  private readonly strokes: readonly Stroke[];
  private readonly noise: NoiseTile;
  private readonly tableCos: number;
  private readonly tableSin: number;
  private readonly hit: Hit = {
    r: 0,
    g: 0,
    b: 0,
    x: 0,
    y: 0,
    z: 0,
    gain: 1,
    gloss: 0,
    edgeMm: Infinity,
    drawable: false,
  };
  private seen: Body[] = [];
  private casting: Body[] = [];
  private drawn: Stroke[] = [];

  constructor(private readonly scene: Scene) {
    const setting = { light: scene.light, steepest: steepestSight(scene) };
    this.bodies = [
      ...scene.sheets.map((sheet) => sheetBody(sheet, setting)),
      ...scene.pieces.map((piece) => pieceBody(piece, setting)),
      ...scene.cards.map((card) => cardBody(card, setting)),
      ...scene.bankCards.map((card) => bankCardBody(card, setting)),
    ]
      .map((body, order) => ({ body, order }))
      // The highest first; of equals the one laid down last.
      .sort((a, b) => b.body.topMm - a.body.topMm || b.order - a.order)
      .map(({ body }) => body);
    this.strokes = scene.lines.map((line) => ({
      line,
      grid: new EdgeGrid([line.points], line.closed, line.widthMm + 2 + SOFT_MM[line.tool]),
    }));
    this.noise = noiseFor(scene.seed);
    this.tableCos = Math.cos(scene.table.turnRad);
    this.tableSin = Math.sin(scene.table.turnRad);
  }

  /** Narrows to what can be seen or cast a shadow where sight lines meet the table inside the region. */
  select(region: Region): void {
    const { camera, light } = this.scene;
    const [cx, cy, cz] = camera.centreMm;
    const lean = Math.hypot(light.towards.x, light.towards.y) + light.penumbra;
    this.seen = this.bodies.filter((body) => {
      // The region moves towards the foot of the camera at the body's height.
      const share = body.topMm / cz;
      const dx = Math.max(Math.abs(region.minX - cx), Math.abs(region.maxX - cx)) * share;
      const dy = Math.max(Math.abs(region.minY - cy), Math.abs(region.maxY - cy)) * share;
      return overlaps(body, region, dx + 2, dy + 2);
    });
    this.casting = this.bodies.filter((body) => {
      const reach = body.topMm * (lean + 1) + 4;
      return overlaps(body, region, reach, reach);
    });
    this.drawn = this.strokes.filter(({ grid, line }) =>
      overlaps(grid, region, 1 + SOFT_MM[line.tool], 1 + SOFT_MM[line.tool]),
    );
  }

  /** True when nothing but the table lies in the selected region. */
  get isBare(): boolean {
    return this.seen.length === 0 && this.casting.length === 0 && this.drawn.length === 0;
  }

  /** Light along the sight line that meets the table at (x, y), into `color` and `edgeMm`. */
  shade(x: number, y: number): void {
    const { camera, light } = this.scene;
    const { hit, seen } = this;
    const cz = camera.centreMm[2];
    const sx = (camera.centreMm[0] - x) / cz;
    const sy = (camera.centreMm[1] - y) / cz;
    hit.edgeMm = Infinity;
    let met: Body | undefined;
    for (let i = 0; i < seen.length; i++) {
      if (seen[i]!.meet(x, y, sx, sy, hit)) {
        met = seen[i];
        break;
      }
    }
    if (!met) this.meetTable(x, y);
    if (hit.drawable && this.drawn.length > 0) this.draw();
    const even = irradiance(light, hit.x, hit.y);
    const lit = hit.gain * even * this.shadow(met);
    const glare = light.glare ? glareAt(light, hit.x, hit.y) * hit.gloss : 0;
    const mottle = 1 + this.scene.mottle * (this.noise.at(hit.x * 3.1, hit.y * 3.1) - 0.5);
    this.color[0] = light.color[0] * (hit.r * lit * mottle + glare);
    this.color[1] = light.color[1] * (hit.g * lit * mottle + glare);
    this.color[2] = light.color[2] * (hit.b * lit * mottle + glare);
    this.edgeMm = hit.edgeMm;
  }

  private meetTable(x: number, y: number): void {
    const { table } = this.scene;
    const { hit, noise } = this;
    const c = this.tableCos;
    const s = this.tableSin;
    const tx = c * x + s * y;
    const ty = c * y - s * x;
    let share = 0;
    if (table.kind === 'wood') {
      const streak = noise.at(tx * 0.12 + 3 * noise.at(tx * 0.05, ty * 0.1), ty * 1.6);
      const fibre = noise.at(tx * 0.6 + 91, ty * 7);
      share = 0.72 * streak + 0.28 * fibre;
    } else if (table.kind === 'cloth') {
      const weave = 0.5 + 0.25 * (Math.cos(tx * 5.2) + Math.cos(ty * 5.2));
      share = 0.55 * weave + 0.45 * noise.at(tx * 2, ty * 2);
    } else if (table.kind === 'grid') {
      const line = Math.max(gridLine(tx, 10, 0.5), gridLine(ty, 10, 0.5));
      share = 0.85 * line + 0.15 * noise.at(tx, ty);
    } else {
      share = 0.7 * noise.at(tx * 0.3, ty * 0.3) + 0.3 * noise.at(tx * 4, ty * 4);
    }
    hit.r = table.dark[0] + share * (table.bright[0] - table.dark[0]);
    hit.g = table.dark[1] + share * (table.bright[1] - table.dark[1]);
    hit.b = table.dark[2] + share * (table.bright[2] - table.dark[2]);
    hit.x = x;
    hit.y = y;
    hit.z = 0;
    hit.gain = 1;
    hit.gloss = 0.3;
    hit.drawable = true;
  }

  /** Lays the drawn lines over what was hit. */
  private draw(): void {
    const { hit, noise } = this;
    for (const { line, grid } of this.drawn) {
      const d = grid.distance(hit.x, hit.y);
      const beyond = d - line.widthMm / 2;
      if (Math.abs(beyond) < hit.edgeMm) hit.edgeMm = Math.max(0, Math.abs(beyond) - 0.1);
      const soft = SOFT_MM[line.tool];
      if (beyond > 0.3 && beyond > soft) continue;
      let share = Math.min(1, Math.max(0, 0.5 - beyond / soft));
      // Graphite catches on the tooth of the paper; pressure varies along the stroke.
      if (line.tool === 'pencil') {
        const tooth = noise.at(hit.x * 6.3 + 17, hit.y * 6.3);
        const pressure = 0.75 + 0.5 * noise.at(hit.x * 0.12, hit.y * 0.12 + 40);
        share *= pressure * Math.min(1, Math.max(0.3, 2.4 * tooth - 0.2));
      }
      const left = 1 - Math.min(1, share * line.darkness);
      hit.r = 0.03 + (hit.r - 0.03) * left;
      hit.g = 0.03 + (hit.g - 0.03) * left;
      hit.b = 0.03 + (hit.b - 0.03) * left;
    }
  }

  /** Share of the light that reaches the hit past the other bodies. */
  private shadow(met: Body | undefined): number {
    const { hit, casting } = this;
    const { light } = this.scene;
    let direct = 1;
    let ambient = 1;
    for (let i = 0; i < casting.length; i++) {
      const body = casting[i]!;
      const h = body.topMm - hit.z;
      if (body === met || h < 0.02) continue;
      // A thick body's shadow is the sweep of its outline; three levels show it closely enough.
      let dark = 0;
      const levels = h > 1 ? 3 : 1;
      for (let level = 1; level <= levels; level++) {
        const up = (h * level) / levels;
        const d = body.outline(hit.x + up * light.towards.x, hit.y + up * light.towards.y);
        const t = Math.min(1, Math.max(0, 0.5 - d / (up * light.penumbra + 0.03)));
        dark = Math.max(dark, t * t * (3 - 2 * t));
      }
      direct *= 1 - dark;
      // Close to a wall part of the sky is hidden.
      const near = body.outline(hit.x, hit.y);
      if (near < 3 * h) ambient *= 1 - 0.4 * Math.exp(-Math.max(0, near) / (0.7 * h));
    }
    return light.ambient * ambient + (1 - light.ambient) * direct;
  }
}

/** Most that a line of sight moves sideways per mm of height: at one of the picture's corners. */
function steepestSight({ camera }: Scene): number {
  const corners = [-20, camera.widthPx + 20].flatMap((u) =>
    [-20, camera.heightPx + 20].map((v) => tablePointOf(camera, u, v)),
  );
  const [cx, cy, cz] = camera.centreMm;
  return Math.max(...corners.map(([x, y]) => Math.hypot(x - cx, y - cy) / cz));
}

function overlaps(a: Region, b: Region, dx: number, dy: number): boolean {
  return a.minX - dx <= b.maxX && a.maxX + dx >= b.minX && a.minY - dy <= b.maxY && a.maxY + dy >= b.minY;
}
