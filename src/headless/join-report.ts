import type { JoinedPhotos } from '../capture/join-types.ts';
import { STATED_WORDS, statedTolerance } from '../stated-tolerance.ts';
import type { Capture } from '../capture/types.ts';
import { smallestBox } from '../geometry/smallest-box.ts';
import type { JoinedPiece, JoinedTrace } from '../trace/join-traces.ts';
import { type CaptureReport, captureReport, pieceName } from './capture-report.ts';

interface OverlapReport {
  readonly maxMm: number;
  readonly meanMm: number;
  /** Length of edge that more than one photo saw. */
  readonly lengthMm: number;
}

/** What capture.json holds for joined photos: as for one photo, `camera` and `cards` being the first one's, and more. */
export interface JoinedReport extends CaptureReport {
  readonly pieces: readonly (CaptureReport['pieces'][number] & {
    /** Photos that show the piece, counted from 0. */
    readonly photos: readonly number[];
    /** How far apart the photos put its outline where more than one saw it. */
    readonly overlap: OverlapReport;
  })[];
  /** All photos in one frame of the table. */
  readonly photos: readonly (Pick<Capture, 'camera' | 'cards' | 'rmsPx'> & { readonly name: string })[];
  readonly sharedCards: JoinedPhotos['shared'];
}

type Warning = CaptureReport['warnings'][number];

function allWarnings({ captures, warnings }: JoinedPhotos, trace: JoinedTrace): readonly Warning[] {
  const plain = ({ code, message }: Warning): Warning => ({ code, message });
  return [
    ...captures.flatMap((capture, photo) =>
      capture.warnings.map(({ code, message }) => ({ code, message: `Photo ${photo + 1}: ${message}` })),
    ),
    ...warnings.map(plain),
    ...trace.warnings.map(plain),
    ...trace.pieces.flatMap((piece, index) =>
      piece.warnings.map(({ code, message }) => ({ code, message: `${pieceName(index)}: ${message}` })),
    ),
  ];
}

const rounded = (value: number): number => Number(value.toFixed(4));

function overlapReport({ overlap }: JoinedPiece): OverlapReport {
  const { maxMm, meanMm, lengthMm } = overlap;
  return { maxMm: rounded(maxMm), meanMm: rounded(meanMm), lengthMm: rounded(lengthMm) };
}

export function joinedReport(
  joined: JoinedPhotos,
  names: readonly string[],
  trace: JoinedTrace,
  timings: Readonly<Record<string, number>>,
): JoinedReport {
  const pieces = trace.pieces.map((piece) => ({ ...piece, warnings: [] }));
  const first = captureReport(joined.captures[0]!, { pieces, warnings: [] }, timings);
  return {
    ...first,
    pieces: first.pieces.map((piece, index) => ({
      ...piece,
      toleranceSamePrinterMm: rounded(statedTolerance(trace.pieces[index]!.toleranceSamePrinterMm)),
      photos: trace.pieces[index]!.photos,
      overlap: overlapReport(trace.pieces[index]!),
    })),
    warnings: allWarnings(joined, trace),
    photos: joined.captures.map(({ camera, cards, rmsPx }, photo) => ({
      name: names[photo]!,
      camera,
      cards,
      rmsPx,
    })),
    sharedCards: joined.shared,
  };
}

function pieceWords(piece: JoinedPiece): string {
  const { longMm, shortMm } = smallestBox(piece.outer.path);
  const { maxMm, meanMm, lengthMm } = piece.overlap;
  const [own, samePrinter] = [piece.toleranceMm, piece.toleranceSamePrinterMm].map(statedTolerance);
  const seen = piece.photos.map((photo) => photo + 1).join(' and ');
  const overlap =
    lengthMm > 0
      ? `; photos agree to ${maxMm.toFixed(2)} mm at most, ${meanMm.toFixed(2)} mm on average, over ${lengthMm.toFixed(0)} mm of edge`
      : '';
  return (
    `${longMm.toFixed(1)} × ${shortMm.toFixed(1)} mm (± ${own!.toFixed(1)} mm; ± ${samePrinter!.toFixed(1)} mm against a ` +
    `print from the cards' printer), from ${piece.photos.length > 1 ? 'photos' : 'photo'} ${seen}${overlap}`
  );
}

/** A few lines for whoever ran the command. */
export function joinedSummary(joined: JoinedPhotos, trace: JoinedTrace): string {
  const ties = joined.shared.map(({ cardId, gapMm }) => `card ${cardId} (${gapMm.toFixed(2)} mm apart)`);
  return [
    `${joined.captures.length} photos joined through ${ties.join(', ')}`,
    ...trace.pieces.map((piece, index) => `${pieceName(index)}: ${pieceWords(piece)}`),
    `Each ± holds ${STATED_WORDS}`,
    ...allWarnings(joined, trace).map(({ message }) => `Note: ${message}`),
  ].join('\n');
}
