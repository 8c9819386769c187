import fc from 'fast-check';
import {
  addCapture,
  removeCapture,
  setCapture,
  setEdgeBias,
  setTapes,
  setThickness,
} from '../../src/build/commands/captures.ts';
import {
  addPrinter,
  changePrinter,
  chooseCardPrinter,
  removePrinter,
  renameBuild,
  setFoldLimit,
  setPageSetup,
} from '../../src/build/commands/build-setup.ts';
import { editLines } from '../../src/build/commands/edit-lines.ts';
import {
  addPiece,
  addRevision,
  includePiece,
  removePiece,
  renamePiece,
  revertToRevision,
  setAxis,
  setPieceCounts,
  setPieceFoam,
  setWrap,
} from '../../src/build/commands/pieces.ts';
import { changeRound, goRoundTogether, setLining } from '../../src/build/commands/rounds.ts';
import {
  addSeam,
  carrySeams,
  changeSeam,
  removeSeam,
  setExtra,
  setSizeRange,
} from '../../src/build/commands/seams.ts';
import { replaceTracedPieces } from '../../src/build/commands/traced-pieces.ts';
import {
  addFoam,
  addWearer,
  changeFoam,
  changeWearer,
  chooseFoam,
  chooseWearer,
  removeFoam,
  removeWearer,
} from '../../src/build/commands/wearers-and-foams.ts';
import { captureOptionsFor, lastRevision } from '../../src/build/lookups.ts';
import type { Build } from '../../src/build/types.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { RANDOM_DRAWING_COMMANDS } from './random-drawings.ts';
import { editRandomly, RANDOM_VERBS } from './random-verbs.ts';
import { sampleCapture, stamp, tracedBox, traceOf } from './sample-build.ts';

/** Draws from a stream of numbers, so that a random command fits the build it meets. */
export interface Draw {
  /** A whole number in 0..below-1. */
  int(below: number): number;
  /** A new id. */
  id(): string;
}

type RandomCommand = (build: Build, draw: Draw) => Build;

const pick = <T>(items: readonly T[], draw: Draw): T | undefined => items[draw.int(items.length || 1)];

function onSeam(command: (build: Build, seamId: string, draw: Draw) => Build): RandomCommand {
  return (build, draw) => {
    const seam = pick(build.seams ?? [], draw);
    return seam ? command(build, seam.id, draw) : build;
  };
}

function onPiece(command: (build: Build, pieceId: string, draw: Draw) => Build): RandomCommand {
  return (build, draw) => {
    const piece = pick(build.pieces, draw);
    return piece ? command(build, piece.id, draw) : build;
  };
}

function onPhoto(command: (build: Build, captureId: string, draw: Draw) => Build): RandomCommand {
  return (build, draw) => {
    const record = pick(build.captures, draw);
    return record ? command(build, record.id, draw) : build;
  };
}

function onPrinter(command: (build: Build, printerId: string, draw: Draw) => Build): RandomCommand {
  return (build, draw) => {
    const printer = pick(build.printers, draw);
    return printer ? command(build, printer.id, draw) : build;
  };
}

function linesFrom(draw: Draw): PieceLine[] {
  const points = [0, 1, 2].map(() => ({ x: draw.int(400) / 3, y: draw.int(400) / 7 }));
  return [{ id: draw.id(), kind: 'cut', path: polylinePath(points, true) }];
}

const traceAnew = onPhoto((build, captureId, draw) => {
  const record = build.captures.find(({ id }) => id === captureId)!;
  const capture = sampleCapture(record.thicknessMm);
  const measured = setCapture(build, { captureId, capture, options: captureOptionsFor(build, record, {}) });
  const boxes = Array.from({ length: draw.int(4) }, (_, index) =>
    tracedBox(index * 130 + draw.int(9), draw.int(9), 100, 80, record.thicknessMm),
  );
  return replaceTracedPieces(measured, { captureId, trace: traceOf(...boxes), stamp: stamp(draw.id()) });
});

/** Every command there is, each with arguments that suit the build. */
export const RANDOM_COMMANDS: Readonly<Record<string, RandomCommand>> = {
  ...RANDOM_DRAWING_COMMANDS,
  renameBuild: (build, draw) => renameBuild(build, { name: `Build ${draw.int(9)}` }),
  addCapture: (build, draw) =>
    addCapture(build, { stamp: stamp(draw.id()), photoId: draw.id(), photoName: 'p.jpg', thicknessMm: 3 }),
  removeCapture: onPhoto((build, captureId) => removeCapture(build, { captureId })),
  setThickness: onPhoto((build, captureId, draw) =>
    setThickness(build, {
      captureId,
      thicknessMm: draw.int(12),
      ...(draw.int(2) === 1 && { doubtMm: 0.1 + draw.int(3) }),
    }),
  ),
  setEdgeBias: onPhoto((build, captureId, draw) =>
    setEdgeBias(build, { captureId, edgeBias: draw.int(21) / 10 - 1 }),
  ),
  setTapes: onPhoto((build, captureId, draw) =>
    setTapes(build, {
      captureId,
      tapes: Array.from({ length: draw.int(3) }, (_, mark) => ({
        from: { cardId: mark, mark: 0 },
        to: { cardId: mark + 1, mark: 2 },
        lengthMm: 200 + draw.int(100),
        doubtMm: 0.5,
      })),
    }),
  ),
  traceAnew,
  addPiece: (build, draw) =>
    addPiece(build, { stamp: stamp(draw.id()), name: 'Band', lines: linesFrom(draw), why: 'made' }),
  removePiece: onPiece((build, pieceId) => removePiece(build, { pieceId })),
  renamePiece: onPiece((build, pieceId, draw) =>
    renamePiece(build, { pieceId, name: `Guard ${draw.int(5)}` }),
  ),
  includePiece: onPiece((build, pieceId, draw) =>
    includePiece(build, { pieceId, included: draw.int(2) === 1 }),
  ),
  setPieceCounts: onPiece((build, pieceId, draw) =>
    setPieceCounts(build, { pieceId, count: draw.int(4), mirroredCount: draw.int(4) }),
  ),
  setPieceFoam: onPiece((build, pieceId, draw) =>
    setPieceFoam(build, { pieceId, foamId: pick(build.foams, draw)!.id }),
  ),
  setAxis: onPiece((build, pieceId, draw) =>
    setAxis(build, {
      pieceId,
      axis:
        draw.int(3) === 0
          ? undefined
          : { point: { x: draw.int(50), y: 0 }, angleRad: draw.int(3), rule: 'by-hand' },
    }),
  ),
  setWrap: onPiece((build, pieceId, draw) =>
    setWrap(build, {
      pieceId,
      wrap:
        draw.int(3) === 0
          ? undefined
          : {
              coverageRad: 1 + draw.int(5),
              easeMm: draw.int(20) - 10,
              ...(draw.int(2) === 1 && {
                line: { from: { x: 0, y: draw.int(9) }, to: { x: 90, y: 1 }, along: 'edge' },
              }),
            },
    }),
  ),
  addRevision: onPiece((build, pieceId, draw) =>
    addRevision(build, { pieceId, stamp: stamp(draw.id()), lines: linesFrom(draw), why: 'mended' }),
  ),
  editLines: onPiece((build, pieceId, draw) => {
    const { lines } = lastRevision(build.pieces.find(({ id }) => id === pieceId)!);
    const verb = pick(Object.keys(RANDOM_VERBS), draw)!;
    // Every other edit begins a new sitting.
    const sitting = stamp(draw.int(2) === 0 ? draw.id() : `sitting-${pieceId}`);
    return editLines(build, { pieceId, stamp: sitting, lines: editRandomly(lines, verb, draw), why: verb });
  }),
  revertToRevision: onPiece((build, pieceId, draw) => {
    const { revisions } = build.pieces.find(({ id }) => id === pieceId)!;
    return revertToRevision(build, {
      pieceId,
      revisionId: pick(revisions, draw)!.id,
      stamp: stamp(draw.id()),
    });
  }),
  addWearer: (build, draw) =>
    addWearer(build, { stamp: stamp(draw.id()), name: 'Wren', girthMm: 540 + draw.int(80) }),
  changeWearer: (build, draw) =>
    changeWearer(build, { wearerId: pick(build.wearers, draw)!.id, girthMm: 540 + draw.int(80) }),
  removeWearer: (build, draw) => removeWearer(build, { wearerId: pick(build.wearers, draw)!.id }),
  chooseWearer: (build, draw) => chooseWearer(build, { wearerId: pick(build.wearers, draw)!.id }),
  addFoam: (build, draw) =>
    addFoam(build, { stamp: stamp(draw.id()), name: '', thicknessMm: 1 + draw.int(15), neutralK: 0.5 }),
  changeFoam: (build, draw) =>
    changeFoam(build, { foamId: pick(build.foams, draw)!.id, neutralK: draw.int(11) / 10 }),
  removeFoam: (build, draw) => removeFoam(build, { foamId: pick(build.foams, draw)!.id }),
  chooseFoam: (build, draw) => chooseFoam(build, { foamId: pick(build.foams, draw)!.id }),
  goRoundTogether: (build, draw) => {
    const pieceIds = build.pieces.map(({ id }) => id).slice(0, 2 + draw.int(3));
    return pieceIds.length < 2 ? build : goRoundTogether(build, { stamp: stamp(draw.id()), pieceIds });
  },
  changeRound: (build, draw) => {
    const round = pick(build.rounds ?? [], draw);
    if (!round) return build;
    const pieceIds = build.pieces.map(({ id }) => id).slice(draw.int(3));
    const closesAt = (['front', 'back', 'beside-first'] as const)[draw.int(3)]!;
    return changeRound(build, { roundId: round.id, closesAt, ...(draw.int(2) === 1 && { pieceIds }) });
  },
  setLining: (build, draw) => setLining(build, { linerMm: draw.int(3), paddingMm: draw.int(6) }),
  measureWearer: (build, draw) =>
    changeWearer(build, {
      wearerId: pick(build.wearers, draw)!.id,
      headLengthMm: draw.int(2) === 1 ? 180 + draw.int(40) : undefined,
      earToEarMm: 340,
    }),
  addPrinter: (build, draw) =>
    addPrinter(build, {
      stamp: stamp(draw.id()),
      name: 'Ink printer',
      check: { acrossMm: 149 + draw.int(3), alongMm: 199 + draw.int(3) },
    }),
  changePrinter: onPrinter((build, printerId, draw) =>
    changePrinter(build, { printerId, check: { acrossMm: 150, alongMm: 199 + draw.int(3) } }),
  ),
  removePrinter: onPrinter((build, printerId) => removePrinter(build, { printerId })),
  chooseCardPrinter: (build, draw) =>
    chooseCardPrinter(build, { printerId: draw.int(3) === 0 ? undefined : pick(build.printers, draw)?.id }),
  addSeam: onPiece((build, pieceId, draw) => {
    const edge = { pieceId, from: { x: draw.int(50), y: 0 }, to: { x: 60, y: draw.int(80) } };
    const seam = { a: edge, b: edge, facing: 'turned', notchesPerHalf: draw.int(4), foldRad: 0 } as const;
    return addSeam(build, { stamp: stamp(draw.id()), ...seam });
  }),
  changeSeam: onSeam((build, seamId, draw) => changeSeam(build, { seamId, notchesPerHalf: draw.int(9) })),
  removeSeam: onSeam((build, seamId) => removeSeam(build, { seamId })),
  carrySeams: onPiece((build, pieceId) =>
    carrySeams(build, { pieceId, move: ({ x, y }) => ({ x: x + 1, y }) }),
  ),
  setExtra: onPiece((build, pieceId, draw) => setExtra(build, { pieceId, widthMm: draw.int(20) })),
  setSizeRange: (build, draw) => {
    const heads = { kind: 'steps', fromMm: 540, toMm: 600 + draw.int(40), stepMm: 10 } as const;
    return setSizeRange(build, { range: draw.int(3) === 0 ? undefined : { heads, mode: 'whole' } });
  },
  setFoldLimit: (build, draw) => setFoldLimit(build, { foldLimitMm: 0.5 + draw.int(10) }),
  setPageSetup: (build, draw) =>
    setPageSetup(build, {
      paper: (['A4', 'Letter', 'A3', 'Tabloid'] as const)[draw.int(4)]!,
      overlapMm: draw.int(20),
      ...(draw.int(2) === 1 && { printerId: pick(build.printers, draw)?.id }),
    }),
};

/** A random command: which, and the numbers that it draws its arguments from. */
export const anyCommand = fc.record({
  name: fc.constantFrom(...Object.keys(RANDOM_COMMANDS)),
  numbers: fc.array(fc.nat(1e6), { minLength: 1, maxLength: 12 }),
});

let made = 0;

/** Applies a random command. */
export function applyRandom(
  build: Build,
  { name, numbers }: { readonly name: string; readonly numbers: readonly number[] },
): Build {
  let next = 0;
  const draw: Draw = {
    int: (below) => numbers[next++ % numbers.length]! % below,
    id: () => `id-${++made}`,
  };
  return RANDOM_COMMANDS[name]!(build, draw);
}
