/** Pieces out of a file that the headless commands read back: a capture.json, or a build saved to one file. */
import { readFile, stat } from 'node:fs/promises';
import { z } from 'zod';
import { BUILD_FILE_ENDING, FILE_LIMITS, openBuildFile, type OpenedBuild } from '../build/file-format.ts';
import { LONGEST_NAME } from '../build/limits.ts';
import { lastRevision } from '../build/lookups.ts';
import type { FoldAxis } from '../build/types.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { polygonAreaMm2 } from '../geometry/measure.ts';
import { polylinePath } from '../geometry/path.ts';
import type { ExcusedStretch } from '../mirror/excused.ts';
import { Unusable } from './command-line.ts';

export interface NamedPiece {
  readonly name: string;
  /** mm, in the piece's own frame. */
  readonly lines: readonly PieceLine[];
  /** The fold axis that the maker settled on, in a saved build. */
  readonly axis?: FoldAxis;
  /** Stretches that the maker excused, in a saved build. */
  readonly excused?: readonly ExcusedStretch[];
}

export interface OutlineFile {
  readonly pieces: readonly NamedPiece[];
  /** The limit kept with a saved build, mm. */
  readonly limitMm?: number;
  /** The whole of it, where it is a saved build. */
  readonly opened?: OpenedBuild;
}

const coordinate = z.number().min(-1e6).max(1e6);
const ring = z
  .array(z.tuple([coordinate, coordinate]))
  .min(3)
  .max(20_000);

/** The part of capture.json that is read back (capture-report.ts writes it). */
const captureSchema = z.object({
  pieces: z
    .array(
      z.object({
        name: z.string().min(1).max(LONGEST_NAME),
        outer: ring,
        holes: z.array(ring).max(500),
      }),
    )
    .min(1)
    .max(500),
});

type Ring = z.infer<typeof ring>;

/** Reads a file's pieces; throws Unusable with a sentence when it is not such a file, or too large. */
export async function readOutlineFile(path: string): Promise<OutlineFile> {
  const facts = await stat(path).catch(() => undefined);
  if (!facts?.isFile()) throw new Unusable(`There is no file "${path}".`);
  if (facts.size > FILE_LIMITS.fileBytes) throw new Unusable(tooLarge(path, FILE_LIMITS.fileBytes));
  const bytes = await readFile(path).catch(() => undefined);
  if (!bytes) throw new Unusable(`The file "${path}" cannot be read.`);
  const file = isZip(bytes) ? fromBuild(new Uint8Array(bytes)) : fromCapture(path, bytes);
  if (file.pieces.length === 0) {
    throw new Unusable(`There is no piece with a closed outline in "${path}", so there is nothing to check.`);
  }
  return file;
}

const tooLarge = (path: string, bytes: number) =>
  `The file "${path}" is larger than the ${bytes / 1e6} MB that such a file may have.`;

const isZip = (bytes: Uint8Array) => bytes[0] === 0x50 && bytes[1] === 0x4b;

function fromBuild(bytes: Uint8Array): OutlineFile {
  const opened = openBuildFile(bytes, { id: 'read', when: new Date(0).toISOString() });
  if (!opened.ok) throw new Unusable(opened.problem.message);
  const { pieces, foldLimitMm } = opened.value.build;
  return {
    pieces: pieces
      .filter(({ included }) => included)
      .map((piece) => ({
        name: piece.name,
        lines: lastRevision(piece).lines,
        ...(piece.axis && { axis: piece.axis }),
        ...(piece.excused && { excused: piece.excused }),
      }))
      .filter(({ lines }) => lines.some(({ kind, path }) => kind === 'cut' && path.closed)),
    ...(foldLimitMm !== undefined && { limitMm: foldLimitMm }),
    opened: opened.value,
  };
}

function fromCapture(path: string, bytes: Uint8Array): OutlineFile {
  if (bytes.byteLength > FILE_LIMITS.documentBytes) {
    throw new Unusable(tooLarge(path, FILE_LIMITS.documentBytes));
  }
  const unlike = `"${path}" is neither a capture.json nor a build saved as ${BUILD_FILE_ENDING}`;
  let json: unknown;
  try {
    json = JSON.parse(new TextDecoder().decode(bytes));
  } catch {
    throw new Unusable(`${unlike}.`);
  }
  const checked = captureSchema.safeParse(json);
  if (!checked.success) {
    const issue = checked.error.issues[0]!;
    throw new Unusable(`${unlike} (${[issue.path.join('.'), issue.message].filter(Boolean).join(': ')}).`);
  }
  return {
    pieces: checked.data.pieces.map(({ name, outer, holes }) => ({
      name,
      lines: [
        ringLine(path, name, 'outline', 'cut', outer),
        ...holes.map((hole, i) => ringLine(path, name, `opening-${i + 1}`, 'cutout', hole)),
      ],
    })),
  };
}

/** Points told twice in a row are one, and the last may repeat the first. */
function ringLine(path: string, name: string, id: string, kind: 'cut' | 'cutout', pairs: Ring): PieceLine {
  const points = pairs
    .filter(([x, y], i) => {
      const [beforeX, beforeY] = pairs[(i + pairs.length - 1) % pairs.length]!;
      return x !== beforeX || y !== beforeY;
    })
    .map(([x, y]) => ({ x, y }));
  if (points.length < 3 || Math.abs(polygonAreaMm2(points)) < 1) {
    throw new Unusable(`The ${id} of "${name}" in "${path}" encloses nothing, so it cannot be checked.`);
  }
  return { id, kind, path: polylinePath(points, true) };
}
