import { isInside } from '../../src/geometry/measure.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { EdgeGrid } from './edge-grid.ts';

/** A flat region by its signed distance, mm, negative inside; exact near the edge, of the right sign everywhere. */
export interface Shape {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
  signed(x: number, y: number): number;
  /** Signed distance that is smooth and right to about 1 mm far from the edge too (for soft shadows). */
  coarse(x: number, y: number): number;
}

/** A rectangle about the origin. */
export function rectangle(width: number, height: number): Shape {
  const [hw, hh] = [width / 2, height / 2];
  const signed = (x: number, y: number): number => {
    const dx = Math.abs(x) - hw;
    const dy = Math.abs(y) - hh;
    return dx > 0 && dy > 0 ? Math.sqrt(dx * dx + dy * dy) : Math.max(dx, dy);
  };
  return { minX: -hw, minY: -hh, maxX: hw, maxY: hh, signed, coarse: signed };
}

const COARSE_MM = 2;

/** A polygon with holes (even-odd): exact distance near its edges from a grid of edges, coarse elsewhere. */
export class PolygonShape implements Shape {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
  readonly grid: EdgeGrid;
  private readonly centreInside: Uint8Array;
  private readonly nodes: Float32Array;
  private readonly nodeColumns: number;
  private readonly nodeRows: number;

  constructor(rings: readonly (readonly PlanePoint[])[], reachMm: number) {
    const xs = rings.flatMap((ring) => ring.map((p) => p.x));
    const ys = rings.flatMap((ring) => ring.map((p) => p.y));
    [this.minX, this.maxX] = [Math.min(...xs), Math.max(...xs)];
    [this.minY, this.maxY] = [Math.min(...ys), Math.max(...ys)];
    this.grid = new EdgeGrid(rings, true, reachMm);
    const inside = (x: number, y: number): boolean =>
      rings.reduce((odd, ring) => (isInside({ x, y }, ring) ? !odd : odd), false);
    this.centreInside = Uint8Array.from(this.grid.cells, (_, cell) =>
      inside(this.grid.centreX(cell), this.grid.centreY(cell)) ? 1 : 0,
    );
    this.nodeColumns = Math.ceil((this.grid.maxX - this.grid.minX) / COARSE_MM) + 1;
    this.nodeRows = Math.ceil((this.grid.maxY - this.grid.minY) / COARSE_MM) + 1;
    this.nodes = this.measureNodes(inside);
  }

  private measureNodes(inside: (x: number, y: number) => boolean): Float32Array {
    const nodes = new Float32Array(this.nodeColumns * this.nodeRows);
    const { ax, ay, bx, by } = this.grid;
    for (let row = 0; row < this.nodeRows; row++) {
      const y = this.grid.minY + row * COARSE_MM;
      for (let column = 0; column < this.nodeColumns; column++) {
        const x = this.grid.minX + column * COARSE_MM;
        let best = Infinity;
        for (let e = 0; e < ax.length; e++) {
          const ex = bx[e]! - ax[e]!;
          const ey = by[e]! - ay[e]!;
          const t = Math.min(
            1,
            Math.max(0, ((x - ax[e]!) * ex + (y - ay[e]!) * ey) / (ex * ex + ey * ey || 1)),
          );
          const dx = ax[e]! + t * ex - x;
          const dy = ay[e]! + t * ey - y;
          const d = dx * dx + dy * dy;
          if (d < best) best = d;
        }
        nodes[row * this.nodeColumns + column] = inside(x, y) ? -Math.sqrt(best) : Math.sqrt(best);
      }
    }
    return nodes;
  }

  signed(x: number, y: number): number {
    const { grid } = this;
    const cell = grid.cellOf(x, y);
    if (cell < 0) return grid.reachMm;
    const inside = this.centreInside[cell] === 1;
    const list = grid.cells[cell]!;
    if (!list) return inside ? -grid.reachMm : grid.reachMm;
    const odd = grid.crossesOddly(list, x, y, grid.centreX(cell), grid.centreY(cell));
    const distance = grid.distance(x, y);
    return inside !== odd ? -distance : distance;
  }

  coarse(x: number, y: number): number {
    const fx = (x - this.grid.minX) / COARSE_MM;
    const fy = (y - this.grid.minY) / COARSE_MM;
    if (!(fx >= 0 && fy >= 0 && fx < this.nodeColumns - 1 && fy < this.nodeRows - 1)) return 1e3;
    const column = Math.floor(fx);
    const row = Math.floor(fy);
    const [s, t] = [fx - column, fy - row];
    const i = row * this.nodeColumns + column;
    const { nodes } = this;
    return (
      (1 - t) * ((1 - s) * nodes[i]! + s * nodes[i + 1]!) +
      t * ((1 - s) * nodes[i + this.nodeColumns]! + s * nodes[i + this.nodeColumns + 1]!)
    );
  }
}

/** Outline of a rectangle with rounded corners about the origin, counter-clockwise. */
export function roundedRectangle(
  width: number,
  height: number,
  radius: number,
  stepsPerCorner = 24,
): PlanePoint[] {
  const points: PlanePoint[] = [];
  const centres: readonly (readonly [number, number])[] = [
    [width / 2 - radius, height / 2 - radius],
    [-width / 2 + radius, height / 2 - radius],
    [-width / 2 + radius, -height / 2 + radius],
    [width / 2 - radius, -height / 2 + radius],
  ];
  centres.forEach(([cx, cy], corner) => {
    for (let i = 0; i <= stepsPerCorner; i++) {
      const angle = (Math.PI / 2) * (corner + i / stepsPerCorner);
      points.push({ x: cx + radius * Math.cos(angle), y: cy + radius * Math.sin(angle) });
    }
  });
  return points;
}
