import { castDraft, produce } from 'immer';
import type { ImagePoint } from '../../geometry/point.ts';
import { DEFAULT_DRAWN_OPTIONS, type DrawnOptions } from '../../trace/drawn/drawn-types.ts';
import { LIMITS } from '../limits.ts';
import type { Build } from '../types.ts';
import { checked, itemWithId } from './arguments.ts';

/** Says whether cut pieces or lines drawn on paper are traced in a photo. */
export function traceDrawnLines(
  build: Build,
  { captureId, isDrawn }: { readonly captureId: string; readonly isDrawn: boolean },
): Build {
  return produce(build, ({ captures }) => {
    const record = itemWithId(captures, captureId, 'photo');
    if (isDrawn) record.drawn ??= castDraft({ ...DEFAULT_DRAWN_OPTIONS, refusedGaps: [] });
    else {
      delete record.drawn;
      delete record.bridgedGaps;
      delete record.looseLines;
    }
  });
}

/** Changes how drawn lines are traced in a photo; it must be one in which they are. */
export function changeDrawnOptions(
  build: Build,
  {
    captureId,
    changes,
  }: {
    readonly captureId: string;
    readonly changes: Partial<Pick<DrawnOptions, 'strokeEdge' | 'leastDarkness' | 'largestGapMm'>>;
  },
): Build {
  const { leastDarkness, largestGapMm } = changes;
  if (leastDarkness !== undefined) checked('Faintest line', leastDarkness, LIMITS.leastDarkness);
  if (largestGapMm !== undefined) checked('Largest gap', largestGapMm, LIMITS.largestGapMm);
  return produce(build, ({ captures }) => {
    Object.assign(drawnOf(captures, captureId), changes);
  });
}

/** Leaves a gap in a drawn line open; `middlePx` is the middle of the bridge across it. */
export function refuseGap(
  build: Build,
  { captureId, middlePx }: { readonly captureId: string; readonly middlePx: ImagePoint },
): Build {
  return produce(build, ({ captures }) => {
    const drawn = drawnOf(captures, captureId);
    drawn.refusedGaps = [...drawn.refusedGaps, middlePx];
  });
}

/** Lets all gaps be bridged again that were refused in a photo. */
export function allowRefusedGaps(build: Build, { captureId }: { readonly captureId: string }): Build {
  return produce(build, ({ captures }) => {
    drawnOf(captures, captureId).refusedGaps = [];
  });
}

/** Lets lines outside every outline go with the nearest piece, or leaves all of them out. */
export function keepLooseLines(
  build: Build,
  { captureId, areKept }: { readonly captureId: string; readonly areKept: boolean },
): Build {
  return produce(build, ({ captures }) => {
    const drawn = drawnOf(captures, captureId);
    if (areKept) drawn.keptLoose = { refused: [] };
    else delete drawn.keptLoose;
  });
}

/** Leaves one of them out; `middlePx` is its middle. */
export function refuseLooseLine(
  build: Build,
  { captureId, middlePx }: { readonly captureId: string; readonly middlePx: ImagePoint },
): Build {
  return produce(build, ({ captures }) => {
    const drawn = drawnOf(captures, captureId);
    drawn.keptLoose = { refused: [...(drawn.keptLoose?.refused ?? []), middlePx] };
  });
}

type Writable<T> = { -readonly [K in keyof T]: T[K] };

function drawnOf(
  captures: readonly { readonly id: string; drawn?: Writable<DrawnOptions> | undefined }[],
  captureId: string,
): Writable<DrawnOptions> {
  const { drawn } = itemWithId(captures, captureId, 'photo');
  if (!drawn) throw new Error(`No drawn lines are traced in the photo ${captureId}`);
  return drawn;
}
