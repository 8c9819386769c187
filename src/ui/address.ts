import { STAGE_IDS, type StageId } from './stage-id.ts';

/** What the page's address says: the first screen, or a stage of a kept build. */
export type Place =
  | { readonly screen: 'start' }
  | { readonly screen: 'build'; readonly buildId: string; readonly stage: StageId };

const BUILD = /^#build\/([\w.:-]{1,120})\/([a-z-]+)$/;

/** Reads the part of the address after #; anything unknown is the first screen. */
export function placeFromHash(hash: string): Place {
  const [, buildId, stageWord] = BUILD.exec(hash) ?? [];
  const stage = STAGE_IDS.find((id) => id === stageWord);
  return buildId !== undefined && stage ? { screen: 'build', buildId, stage } : { screen: 'start' };
}

export function hashOf(place: Place): string {
  return place.screen === 'start' ? '' : `#build/${place.buildId}/${place.stage}`;
}
