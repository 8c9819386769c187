import { readFile } from 'node:fs/promises';
import { loadVision, type Vision } from '../vision/opencv.ts';

/** The vision engine in Node, from the wasm that the install step split out. */
export async function loadVisionInNode(): Promise<Vision> {
  const bytes = await readFile(new URL('../vision/engine/opencv.wasm', import.meta.url));
  return loadVision((imports) => WebAssembly.instantiate(bytes, imports));
}
