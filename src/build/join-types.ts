/** Photos of one long piece that were joined: what the document keeps of it beside the captures and pieces themselves. */

/** What joining found out about a piece. */
export interface JoinedPieceFacts {
  /** The smallest box round it, mm. */
  readonly longMm: number;
  readonly shortMm: number;
  /** One sigma, mm: against a true ruler, and against anything that the cards' printer prints. */
  readonly toleranceMm: number;
  readonly toleranceSamePrinterMm: number;
  /** Photos that show it: places in the join's list. */
  readonly photos: readonly number[];
  /** How far apart the photos put its edge where more than one saw it, mm, and over how much of it. */
  readonly overlap: { readonly maxMm: number; readonly meanMm: number; readonly lengthMm: number };
}

export interface JoinRecord {
  readonly id: string;
  /** The photos; their captures share the first one's frame, and the joined pieces belong to the first one. */
  readonly captureIds: readonly string[];
  /** Cards that tie them, with the photos (places in the list) and how far apart those put the card, mm. */
  readonly shared: readonly {
    readonly cardId: number;
    readonly photos: readonly number[];
    readonly gapMm: number;
  }[];
  readonly pieces: readonly JoinedPieceFacts[];
  /** What is to be said of it, in sentences. */
  readonly notes: readonly string[];
}
