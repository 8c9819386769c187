import { produce } from 'immer';
import { HEAD_MEASURES, type HeadMeasure, MEASURE_NAMES } from '../../fit/head-measures.ts';
import { LIMITS } from '../limits.ts';
import type { Build, Foam, Wearer } from '../types.ts';
import { checked, itemWithId, type Stamp, tidyName } from './arguments.ts';

type WearerValues = Omit<Wearer, 'id'>;
type FoamValues = Omit<Foam, 'id'>;

/** A measure not taken is left out, and `undefined` takes one away. */
type WearerChange = { readonly [K in keyof WearerValues]?: WearerValues[K] | undefined };

function checkedWearer({ name, ...measures }: WearerChange, former: string): WearerValues {
  const kept: { -readonly [K in HeadMeasure]?: number } = {};
  for (const measure of HEAD_MEASURES) {
    const mm = measures[measure];
    if (mm !== undefined) kept[measure] = checked(MEASURE_NAMES[measure], mm, LIMITS[measure]);
  }
  const girthMm = checked(MEASURE_NAMES.girthMm, kept.girthMm ?? Number.NaN, LIMITS.girthMm);
  return { ...kept, name: tidyName(name ?? '', former), girthMm };
}

function checkedFoam({ doubtK, bendTest, ...values }: FoamValues, former: string): FoamValues {
  return {
    name: tidyName(values.name, former),
    thicknessMm: checked('Foam thickness', values.thicknessMm, LIMITS.foamThicknessMm),
    neutralK: checked('Neutral surface', values.neutralK, LIMITS.neutralK),
    ...(doubtK !== undefined && { doubtK: checked('Doubt of K', doubtK, LIMITS.doubtK) }),
    ...(bendTest && {
      bendTest: {
        stripMm: checked('Test strip', bendTest.stripMm, LIMITS.testStripMm),
        drumMm: checked('Girth of the tin', bendTest.drumMm, LIMITS.testStripMm),
        gapMm: checked('Gap', bendTest.gapMm, LIMITS.testGapMm),
        readingMm: checked('Reading', bendTest.readingMm, LIMITS.readingMm),
      },
    }),
  };
}

/** Adds a wearer and chooses them. */
export function addWearer(build: Build, { stamp, ...values }: WearerValues & { stamp: Stamp }): Build {
  return produce(build, (draft) => {
    draft.wearers.push({ id: stamp.id, ...checkedWearer(values, `Wearer ${draft.wearers.length + 1}`) });
    draft.wearerId = stamp.id;
  });
}

export function changeWearer(
  build: Build,
  { wearerId, ...change }: WearerChange & { readonly wearerId: string },
): Build {
  return produce(build, (draft) => {
    const { wearers } = draft;
    const wearer = itemWithId(wearers, wearerId, 'wearer');
    wearers[wearers.indexOf(wearer)] = {
      id: wearerId,
      ...checkedWearer({ ...wearer, ...change }, wearer.name),
    };
  });
}

/** Removes a wearer; the last one stays, for a headpiece is made for somebody. */
export function removeWearer(build: Build, { wearerId }: { readonly wearerId: string }): Build {
  return produce(build, (draft) => {
    const wearer = itemWithId(draft.wearers, wearerId, 'wearer');
    if (draft.wearers.length === 1) return;
    draft.wearers.splice(draft.wearers.indexOf(wearer), 1);
    if (draft.wearerId === wearerId) draft.wearerId = draft.wearers[0]!.id;
  });
}

export function chooseWearer(build: Build, { wearerId }: { readonly wearerId: string }): Build {
  return produce(build, (draft) => {
    draft.wearerId = itemWithId(draft.wearers, wearerId, 'wearer').id;
  });
}

/** Adds a foam to choose from. */
export function addFoam(build: Build, { stamp, ...values }: FoamValues & { stamp: Stamp }): Build {
  return produce(build, (draft) => {
    draft.foams.push({ id: stamp.id, ...checkedFoam(values, `${values.thicknessMm} mm foam`) });
  });
}

/** Changes a foam. A K or a thickness set by hand is no longer what the test strip measured, which is then forgotten. */
export function changeFoam(
  build: Build,
  { foamId, ...change }: Partial<FoamValues> & { readonly foamId: string },
): Build {
  return produce(build, (draft) => {
    const { foams } = draft;
    const foam = itemWithId(foams, foamId, 'foam');
    const { doubtK: _, bendTest: __, ...byHand } = foam;
    const isByHand = change.neutralK !== undefined || change.thicknessMm !== undefined;
    const former = isByHand ? byHand : foam;
    foams[foams.indexOf(foam)] = { id: foamId, ...checkedFoam({ ...former, ...change }, foam.name) };
  });
}

function isFoamUsed({ pieces }: Build, id: string): boolean {
  return pieces.some(({ foamId, wrap }) => foamId === id || wrap?.overFoamId === id);
}

/** Removes a foam that no piece uses; one that is in use, or the last one, stays. */
export function removeFoam(build: Build, { foamId }: { readonly foamId: string }): Build {
  return produce(build, (draft) => {
    const foam = itemWithId(draft.foams, foamId, 'foam');
    if (draft.foams.length === 1 || isFoamUsed(build, foamId)) return;
    draft.foams.splice(draft.foams.indexOf(foam), 1);
    if (draft.foamId === foamId) draft.foamId = draft.foams[0]!.id;
  });
}

/** Chooses the foam of the headpiece: new pieces take it, and so do the pieces that had the former choice. */
export function chooseFoam(build: Build, { foamId }: { readonly foamId: string }): Build {
  return produce(build, (draft) => {
    const { id } = itemWithId(draft.foams, foamId, 'foam');
    for (const piece of draft.pieces) if (piece.foamId === draft.foamId) piece.foamId = id;
    draft.foamId = id;
  });
}
