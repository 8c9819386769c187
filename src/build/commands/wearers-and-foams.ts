import { produce } from 'immer';
import { LIMITS } from '../limits.ts';
import type { Build, Foam, Wearer } from '../types.ts';
import { checked, itemWithId, type Stamp, tidyName } from './arguments.ts';

type WearerValues = Omit<Wearer, 'id'>;
type FoamValues = Omit<Foam, 'id'>;

function checkedWearer(values: WearerValues, former: string): WearerValues {
  return {
    name: tidyName(values.name, former),
    girthMm: checked('Head girth', values.girthMm, LIMITS.girthMm),
  };
}

function checkedFoam(values: FoamValues, former: string): FoamValues {
  return {
    name: tidyName(values.name, former),
    thicknessMm: checked('Foam thickness', values.thicknessMm, LIMITS.foamThicknessMm),
    neutralK: checked('Neutral surface', values.neutralK, LIMITS.neutralK),
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
  { wearerId, ...change }: Partial<WearerValues> & { readonly wearerId: string },
): Build {
  return produce(build, (draft) => {
    const wearer = itemWithId(draft.wearers, wearerId, 'wearer');
    Object.assign(wearer, checkedWearer({ ...wearer, ...change }, wearer.name));
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

export function changeFoam(
  build: Build,
  { foamId, ...change }: Partial<FoamValues> & { readonly foamId: string },
): Build {
  return produce(build, (draft) => {
    const foam = itemWithId(draft.foams, foamId, 'foam');
    Object.assign(foam, checkedFoam({ ...foam, ...change }, foam.name));
  });
}

/** Removes a foam that no piece uses; one that is in use, or the last one, stays. */
export function removeFoam(build: Build, { foamId }: { readonly foamId: string }): Build {
  return produce(build, (draft) => {
    const foam = itemWithId(draft.foams, foamId, 'foam');
    if (draft.foams.length === 1 || draft.pieces.some((piece) => piece.foamId === foamId)) return;
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
