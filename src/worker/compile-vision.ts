/**
 * Compiles the vision engine's wasm while it downloads. A host that sends it under another MIME type makes the
 * streaming compile refuse it (WebAssembly Web API, section 4); then it is compiled after the download.
 */
export async function compileFrom(
  url: string | URL,
  imports: WebAssembly.Imports,
): Promise<WebAssembly.WebAssemblyInstantiatedSource> {
  const response = await fetch(url, { credentials: 'same-origin' });
  if (!response.ok) throw new Error(`the server answered ${response.status}`);
  const isWasm = response.headers.get('content-type')?.startsWith('application/wasm') ?? false;
  if (isWasm) return WebAssembly.instantiateStreaming(response, imports);
  return WebAssembly.instantiate(await response.arrayBuffer(), imports);
}
