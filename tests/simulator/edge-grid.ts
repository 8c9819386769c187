import type { PlanePoint } from '../../src/geometry/point.ts';

const CELL_MM = 4;

/** A point's squared distance to the segment a-b. */
function squaredDistance(x: number, y: number, ax: number, ay: number, bx: number, by: number): number {
  const ex = bx - ax;
  const ey = by - ay;
  const length2 = ex * ex + ey * ey;
  let t = length2 > 0 ? ((x - ax) * ex + (y - ay) * ey) / length2 : 0;
  t = t < 0 ? 0 : t > 1 ? 1 : t;
  const dx = ax + t * ex - x;
  const dy = ay + t * ey - y;
  return dx * dx + dy * dy;
}

/** Segments sorted into cells, so that the few near a point are found at once; all lengths in mm. */
export class EdgeGrid {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
  readonly columns: number;
  readonly rows: number;
  readonly ax: Float64Array;
  readonly ay: Float64Array;
  readonly bx: Float64Array;
  readonly by: Float64Array;
  /** Edges of each cell, null where none comes within reach. */
  readonly cells: (Int32Array | null)[];

  /** Edges within `reachMm` of any point of a cell are in the cell's list. */
  constructor(
    rings: readonly (readonly PlanePoint[])[],
    closed: boolean,
    readonly reachMm: number,
  ) {
    const edges: number[] = [];
    for (const ring of rings) {
      const count = closed ? ring.length : ring.length - 1;
      for (let i = 0; i < count; i++) {
        const a = ring[i]!;
        const b = ring[(i + 1) % ring.length]!;
        edges.push(a.x, a.y, b.x, b.y);
      }
    }
    const count = edges.length / 4;
    const pick = (k: number): Float64Array =>
      Float64Array.from({ length: count }, (_, i) => edges[4 * i + k]!);
    [this.ax, this.ay, this.bx, this.by] = [pick(0), pick(1), pick(2), pick(3)];
    const xs = rings.flatMap((ring) => ring.map((p) => p.x));
    const ys = rings.flatMap((ring) => ring.map((p) => p.y));
    this.minX = Math.min(...xs) - reachMm - CELL_MM;
    this.minY = Math.min(...ys) - reachMm - CELL_MM;
    this.columns = Math.ceil((Math.max(...xs) + reachMm + CELL_MM - this.minX) / CELL_MM);
    this.rows = Math.ceil((Math.max(...ys) + reachMm + CELL_MM - this.minY) / CELL_MM);
    this.maxX = this.minX + this.columns * CELL_MM;
    this.maxY = this.minY + this.rows * CELL_MM;
    this.cells = this.sortIntoCells();
  }

  private sortIntoCells(): (Int32Array | null)[] {
    const lists: number[][] = Array.from({ length: this.columns * this.rows }, () => []);
    const within = this.reachMm + CELL_MM * Math.SQRT1_2;
    for (let e = 0; e < this.ax.length; e++) {
      const [ax, ay, bx, by] = [this.ax[e]!, this.ay[e]!, this.bx[e]!, this.by[e]!];
      const column0 = Math.max(0, Math.floor((Math.min(ax, bx) - within - this.minX) / CELL_MM));
      const column1 = Math.min(
        this.columns - 1,
        Math.floor((Math.max(ax, bx) + within - this.minX) / CELL_MM),
      );
      const row0 = Math.max(0, Math.floor((Math.min(ay, by) - within - this.minY) / CELL_MM));
      const row1 = Math.min(this.rows - 1, Math.floor((Math.max(ay, by) + within - this.minY) / CELL_MM));
      for (let row = row0; row <= row1; row++) {
        for (let column = column0; column <= column1; column++) {
          const x = this.minX + (column + 0.5) * CELL_MM;
          const y = this.minY + (row + 0.5) * CELL_MM;
          if (squaredDistance(x, y, ax, ay, bx, by) <= within * within)
            lists[row * this.columns + column]!.push(e);
        }
      }
    }
    return lists.map((list) => (list.length > 0 ? Int32Array.from(list) : null));
  }

  /** Index of the cell a point lies in, -1 outside. */
  cellOf(x: number, y: number): number {
    if (x < this.minX || y < this.minY || x >= this.maxX || y >= this.maxY) return -1;
    return Math.floor((y - this.minY) / CELL_MM) * this.columns + Math.floor((x - this.minX) / CELL_MM);
  }

  centreX(cell: number): number {
    return this.minX + ((cell % this.columns) + 0.5) * CELL_MM;
  }

  centreY(cell: number): number {
    return this.minY + (Math.floor(cell / this.columns) + 0.5) * CELL_MM;
  }

  /** Distance to the nearest edge; exact when below the reach, otherwise just "not less than the reach". */
  distance(x: number, y: number): number {
    const cell = this.cellOf(x, y);
    const list = cell < 0 ? null : this.cells[cell]!;
    if (!list) return this.reachMm;
    let best = Infinity;
    for (let i = 0; i < list.length; i++) {
      const e = list[i]!;
      const d = squaredDistance(x, y, this.ax[e]!, this.ay[e]!, this.bx[e]!, this.by[e]!);
      if (d < best) best = d;
    }
    return Math.sqrt(best);
  }

  /** True when an odd number of the listed edges is crossed on the way from a point to the cell's centre. */
  crossesOddly(list: Int32Array, x: number, y: number, cx: number, cy: number): boolean {
    let odd = false;
    const dx = cx - x;
    const dy = cy - y;
    for (let i = 0; i < list.length; i++) {
      const e = list[i]!;
      const [ax, ay, bx, by] = [this.ax[e]!, this.ay[e]!, this.bx[e]!, this.by[e]!];
      const sideA = dx * (ay - y) - dy * (ax - x) >= 0;
      const sideB = dx * (by - y) - dy * (bx - x) >= 0;
      if (sideA === sideB) continue;
      const ex = bx - ax;
      const ey = by - ay;
      const sideP = ex * (y - ay) - ey * (x - ax) >= 0;
      const sideC = ex * (cy - ay) - ey * (cx - ax) >= 0;
      if (sideP !== sideC) odd = !odd;
    }
    return odd;
  }

  /** First edge crossed on the way from p to q (within reach), written to `out` as [edge, share of the way]; false if none. */
  firstCrossing(px: number, py: number, qx: number, qy: number, out: Float64Array): boolean {
    const cell = this.cellOf((px + qx) / 2, (py + qy) / 2);
    const list = cell < 0 ? null : this.cells[cell]!;
    if (!list) return false;
    let first = Infinity;
    const dx = qx - px;
    const dy = qy - py;
    for (let i = 0; i < list.length; i++) {
      const e = list[i]!;
      const ax = this.ax[e]!;
      const ay = this.ay[e]!;
      const ex = this.bx[e]! - ax;
      const ey = this.by[e]! - ay;
      const det = dx * ey - dy * ex;
      if (det === 0) continue;
      const share = ((ax - px) * ey - (ay - py) * ex) / det;
      const along = ((ax - px) * dy - (ay - py) * dx) / det;
      if (share >= 0 && share <= 1 && along >= 0 && along <= 1 && share < first) {
        first = share;
        out[0] = e;
        out[1] = share;
      }
    }
    return first < Infinity;
  }
}
