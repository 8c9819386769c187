import {
  allowRefusedGaps,
  changeDrawnOptions,
  refuseGap,
  traceDrawnLines,
} from '../../src/build/commands/drawn-lines.ts';
import type { Build } from '../../src/build/types.ts';
import type { Draw } from './random-commands.ts';

/** Runs a command on one of the photos, if there is one. */
function onSome(command: (build: Build, captureId: string, draw: Draw) => Build) {
  return (build: Build, draw: Draw): Build => {
    const record = build.captures[draw.int(build.captures.length || 1)];
    return record ? command(build, record.id, draw) : build;
  };
}

/** Runs a command that needs a drawing on one of the photos, which becomes one if it was none. */
function onDrawing(command: (build: Build, captureId: string, draw: Draw) => Build) {
  return onSome((build, captureId, draw) =>
    command(traceDrawnLines(build, { captureId, isDrawn: true }), captureId, draw),
  );
}

/** Every command on drawn lines. */
export const RANDOM_DRAWING_COMMANDS = {
  traceDrawnLines: onSome((build, captureId, draw) =>
    traceDrawnLines(build, { captureId, isDrawn: draw.int(4) > 0 }),
  ),
  changeDrawnOptions: onDrawing((build, captureId, draw) =>
    changeDrawnOptions(build, {
      captureId,
      changes: { leastDarkness: 0.1 + draw.int(5) / 10, largestGapMm: draw.int(5) },
    }),
  ),
  refuseGap: onDrawing((build, captureId, draw) =>
    refuseGap(build, { captureId, middlePx: { u: draw.int(4000), v: draw.int(3000) } }),
  ),
  allowRefusedGaps: onDrawing((build, captureId) => allowRefusedGaps(build, { captureId })),
};
