import { flattenPath } from '../../src/geometry/measure.ts';
import { type Path, polylinePath } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import type { PageSeam } from '../../src/geometry/printed-tiles.ts';
import { dot, minus, plus, quarterLeft, times, unit } from '../../src/geometry/vector.ts';
import type { TemplateInput, TemplatePiece } from '../../src/template/template-input.ts';

/** How a page was taped beside its neighbour instead of where it belongs. */
export interface Slip {
  readonly alongMm: number;
  readonly apartMm: number;
  readonly turnRad?: number;
}

/** A piece alone on A4 pages, as the app would print it at first. */
export function printedAlone(lines: TemplatePiece['lines']): TemplateInput {
  return {
    buildName: 'Marsh Heron Warden',
    date: '1 May',
    pieces: [
      {
        name: 'Visor',
        count: 1,
        mirroredCount: 0,
        foamName: 'foam',
        sizeLabel: '',
        revisionLabel: '',
        lines,
      },
    ],
    pageSetup: { paper: 'A4', marginMm: 8, overlapMm: 10 },
  };
}

/** The outline of a print whose second page (of the seam) was taped amiss: all beyond the seam's line is moved. `middle` lies on the second page. */
export function slippedPrint(path: Path, seam: PageSeam, middle: PlanePoint, slip: Slip): Path {
  const along = unit(minus(seam.to, seam.from))!;
  const left = quarterLeft(along);
  const side = Math.sign(dot(left, minus(middle, seam.from)));
  const out = times(left, side);
  const at = times(plus(seam.from, seam.to), 0.5);
  const { alongMm, apartMm, turnRad = 0 } = slip;
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  const points = flattenPath(path, 0.005).map((point) => {
    if (dot(out, minus(point, at)) <= 0) return point;
    const { x, y } = minus(point, at);
    const turned = plus(at, { x: c * x - s * y, y: s * x + c * y });
    return plus(plus(turned, times(along, alongMm)), times(out, apartMm));
  });
  return polylinePath(points, true);
}
