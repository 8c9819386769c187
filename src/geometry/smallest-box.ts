import { widthAcrossMm } from './extent.ts';
import type { Path } from './path.ts';

export interface BoxSides {
  readonly longMm: number;
  readonly shortMm: number;
  /** Direction of the long sides, rad. */
  readonly longRad: number;
}

const COARSE_STEP_RAD = Math.PI / 360;
const FINEST_STEP_RAD = 1e-7;

/**
 * Sides of the smallest rectangle, by area, that the path fits into in any turn, mm: a piece's size however it
 * lay in the photo. Turned by half degrees, then nearer and nearer round the best of them.
 */
export function smallestBox(path: Path): BoxSides {
  const sidesAt = (turnRad: number): readonly [number, number] => [
    widthAcrossMm(path, turnRad),
    widthAcrossMm(path, turnRad + Math.PI / 2),
  ];
  const areaAt = (turnRad: number): number => sidesAt(turnRad)[0] * sidesAt(turnRad)[1];
  let best = { turnRad: 0, area: areaAt(0) };
  const tryTurn = (turnRad: number): void => {
    const area = areaAt(turnRad);
    if (area < best.area) best = { turnRad, area };
  };
  for (let turnRad = COARSE_STEP_RAD; turnRad < Math.PI / 2; turnRad += COARSE_STEP_RAD) tryTurn(turnRad);
  for (let stepRad = COARSE_STEP_RAD / 2; stepRad > FINEST_STEP_RAD; stepRad /= 2) {
    const { turnRad } = best;
    tryTurn(turnRad - stepRad);
    tryTurn(turnRad + stepRad);
  }
  const [across, along] = sidesAt(best.turnRad);
  return along >= across
    ? { longMm: along, shortMm: across, longRad: best.turnRad }
    : { longMm: across, shortMm: along, longRad: best.turnRad + Math.PI / 2 };
}
