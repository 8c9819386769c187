/**
 * The only door to opencv.js. The caller brings the compiled or raw wasm, so that the same code runs in the
 * worker (streaming compile) and in Node (file).
 */
import type { OpenCv } from './opencv-types.ts';

export type { OpenCv } from './opencv-types.ts';

/** An opaque handle on the loaded vision engine, passed to every function of this room. */
export interface Vision {
  readonly cv: OpenCv;
}

type InstantiateWasm = (
  imports: WebAssembly.Imports,
  done: (instance: WebAssembly.Instance, module: WebAssembly.Module) => void,
) => object;
type Factory = (module: { instantiateWasm: InstantiateWasm }) => Promise<OpenCv>;

/**
 * Loads opencv.js. `compile` instantiates the wasm with the given imports.
 * Rejects when `compile` does: the glue alone would hang for ever on a missing wasm.
 */
export async function loadVision(
  compile: (imports: WebAssembly.Imports) => Promise<WebAssembly.WebAssemblyInstantiatedSource>,
): Promise<Vision> {
  const { default: factory } = (await import('./engine/opencv.js')) as { default: Factory };
  const cv = await new Promise<OpenCv>((resolve, reject) => {
    factory({
      instantiateWasm: (imports, done) => {
        compile(imports).then(({ instance, module }) => done(instance, module), reject);
        return {};
      },
    }).then(resolve, reject);
  });
  return { cv };
}

/** Turns the number that opencv.js throws into an Error with OpenCV's own words. */
export function asError(vision: Vision, thrown: unknown): Error {
  if (typeof thrown === 'number') return new Error(vision.cv.exceptionFromPtr(thrown).msg);
  return thrown instanceof Error ? thrown : new Error(String(thrown));
}
