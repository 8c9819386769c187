// Splits the wasm that @techstark/opencv-js embeds in its script into a glue
// module and a .wasm file, so that browsers can compile it while it streams in
// (about 1 s in place of 3.5-10 s) and Node does not parse a 12 MB literal.
// Runs at install, and again before start/test/build if its output is stale.
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { runInNewContext } from 'node:vm';

const here = dirname(fileURLToPath(import.meta.url));
const outputFolder = join(here, 'engine');
const require = createRequire(import.meta.url);
const sourceFile = require.resolve('@techstark/opencv-js');
const stampFile = join(outputFolder, 'source.sha256');

const DECODE_CALL = "return binaryDecode('";

function fail(what) {
  throw new Error(
    `Cannot split the vision engine's wasm: ${what}. The installed @techstark/opencv-js is not the ` +
      'version this project pins (5.0.0-release.1); run "npm ci" again.',
  );
}

/** Index just past the closing quote of the single-quoted literal that starts at `start`. */
function literalEnd(text, start) {
  for (let i = start + 1; i < text.length; i++) {
    if (text[i] === '\\') i++;
    else if (text[i] === "'") return i + 1;
  }
  return fail('the embedded literal does not end');
}

/** The package's own packing: bytes are the low bits of ~(code >> 8) & code. */
function decodeBytes(packed) {
  const bytes = new Uint8Array(packed.length);
  for (let i = 0; i < packed.length; i++) {
    const code = packed.charCodeAt(i);
    bytes[i] = (~code >> 8) & code;
  }
  return bytes;
}

function split(source) {
  const call = source.indexOf(DECODE_CALL);
  if (call < 0) fail('no embedded wasm was found');
  const literalStart = call + DECODE_CALL.length - 1;
  const end = literalEnd(source, literalStart);
  const wasm = decodeBytes(runInNewContext(source.slice(literalStart, end)));
  if (!WebAssembly.validate(wasm)) fail('the embedded wasm is damaged');

  const before = source.slice(0, call);
  const after = source.slice(end + 1); // end + 1: the call's closing parenthesis
  const factoryStart = before.indexOf('var cv=(()=>');
  const factoryEnd = after.lastIndexOf('if(typeof exports==="object"');
  if (factoryStart < 0 || factoryEnd < 0) fail('its wrapper has an unknown form');
  const glue = `${before.slice(factoryStart)}return"opencv.wasm"${after.slice(0, factoryEnd)}`;
  return { wasm, module: `${glueHeader}${glue}\nexport default cv;\n` };
}

// Node's ES modules have neither require nor __dirname; browsers never reach the branches using them.
const glueHeader = `// Made by split-wasm.mjs from @techstark/opencv-js (Apache-2.0). Do not edit.
const nodeProcess = globalThis.process;
const require = nodeProcess?.getBuiltinModule ? (name) => nodeProcess.getBuiltinModule(name) : undefined;
const __dirname = ".";
`;

const source = readFileSync(sourceFile, 'utf8');
const stamp = createHash('sha256')
  .update(source)
  .update(readFileSync(fileURLToPath(import.meta.url)))
  .digest('hex');
const isFresh = existsSync(stampFile) && readFileSync(stampFile, 'utf8') === stamp;
if (!isFresh) {
  const { wasm, module } = split(source);
  mkdirSync(outputFolder, { recursive: true });
  writeFileSync(join(outputFolder, 'opencv.wasm'), wasm);
  writeFileSync(join(outputFolder, 'opencv.js'), module);
  writeFileSync(stampFile, stamp);
}
