/** The stages in their order. */
export const STAGE_IDS = ['capture', 'trace', 'fold-check', 'fit', 'template', 'refit'] as const;

export type StageId = (typeof STAGE_IDS)[number];

/** How a stage stands: shown in words and by a mark of its own shape. */
export type StageState = 'to do' | 'done' | 'look again';
