import { deviationFigures, deviationFrom } from '../geometry/deviation.ts';
import { indexPath } from '../geometry/flat-path.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import type { RigidMotion } from '../geometry/motion.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { samplePath } from '../geometry/sample-path.ts';

/** How far mending moved a line, mm. */
export interface LineChange {
  readonly lineId: string;
  readonly maxMm: number;
  readonly meanMm: number;
  /** Where it moved most, on the mended line. */
  readonly at: PlanePoint;
}

/** What mending changes, told before it is accepted. */
export interface MendChanges {
  /** Lines that moved, most moved first. */
  readonly changes: readonly LineChange[];
  /** Largest and mean change over all lines, mm, and where the largest is. */
  readonly maxMm: number;
  readonly meanMm: number;
  readonly maxAt: PlanePoint;
}

const SPACING_MM = 0.5;

/** How far each line moved; `after` holds the lines of `before` first, in their order. */
export function changesOf(before: readonly PieceLine[], after: readonly PieceLine[]): MendChanges {
  const stay: RigidMotion = { mirrored: false, angleRad: 0, shift: { x: 0, y: 0 } };
  const moved = after.flatMap((line, i) =>
    line.path === before[i]!.path ? [] : [{ line, old: before[i]!.path }],
  );
  const compared = moved.map(({ line, old }) => {
    const there = deviationFrom(samplePath(line.path, SPACING_MM), stay, indexPath(old));
    // A part that was dropped altogether shows only the other way round.
    const back = deviationFigures(deviationFrom(samplePath(old, SPACING_MM), stay, indexPath(line.path)));
    const figures = deviationFigures(there);
    const at = back.maxMm > figures.maxMm ? back.maxAt : figures.maxAt;
    return {
      there,
      change: { lineId: line.id, maxMm: Math.max(figures.maxMm, back.maxMm), meanMm: figures.meanMm, at },
    };
  });
  const changes = compared.map(({ change }) => change).sort((a, b) => b.maxMm - a.maxMm);
  const all = compared.flatMap(({ there }) => there);
  return {
    changes,
    maxMm: changes[0]?.maxMm ?? 0,
    meanMm: all.length > 0 ? deviationFigures(all).meanMm : 0,
    maxAt: changes[0]?.at ?? before[0]?.path.start ?? { x: 0, y: 0 },
  };
}
