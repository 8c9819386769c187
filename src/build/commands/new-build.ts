import { ASSUMED_NEUTRAL_K } from '../../fit/wrap-length.ts';
import type { Wearer } from '../fit-types.ts';
import type { Build, Foam } from '../types.ts';
import { type Stamp, tidyName } from './arguments.ts';

/** Thicknesses that foam sheets are sold in, mm (common practice, no source). */
const SOLD_THICKNESSES_MM = [2, 3, 4, 5, 6, 8, 10, 12];
const USUAL_THICKNESS_MM = 5;

/** Median head girth of ANSUR II, men and women pooled (FACTS 2.2), and the hat trade's average size. */
const MEDIAN_GIRTH_MM = 570;

const FIRST_WEARER: Wearer = { id: 'wearer', name: 'Wearer', girthMm: MEDIAN_GIRTH_MM };

/** True of a wearer who is still as a new build has them: nobody's head was measured, nor the girth said to be right by a name. */
export function isNobodyYet({ name, girthMm }: Wearer): boolean {
  return name === FIRST_WEARER.name && girthMm === FIRST_WEARER.girthMm;
}

function soldFoam(thicknessMm: number): Foam {
  return {
    id: `foam-${thicknessMm}`,
    name: `${thicknessMm} mm foam`,
    thicknessMm,
    neutralK: ASSUMED_NEUTRAL_K,
  };
}

/** An empty build: one wearer with a median head, the foams sold, 5 mm chosen, A4 pages. */
export function newBuild({ stamp, name = '' }: { readonly stamp: Stamp; readonly name?: string }): Build {
  return {
    formatVersion: 1,
    id: stamp.id,
    name: tidyName(name, 'New headpiece'),
    createdAt: stamp.when,
    changedAt: stamp.when,
    wearers: [FIRST_WEARER],
    wearerId: FIRST_WEARER.id,
    foams: SOLD_THICKNESSES_MM.map(soldFoam),
    foamId: `foam-${USUAL_THICKNESS_MM}`,
    captures: [],
    pieces: [],
    printers: [],
    pageSetup: { paper: 'A4', marginMm: 8, overlapMm: 10 },
  };
}
