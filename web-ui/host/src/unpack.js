// Only in the single file: gives the start script the page's code, from the block of text that holds the module.
globalThis.countlightUnpack = async () => {
  // The page clears its body when it starts. The helper beside the page is made of this script (see `worker.js`).
  const [parts, ...words] = ['page-parts', 'page-code', 'page-worker'].map((id) => document.getElementById(id).textContent);
  globalThis.countlightParts = JSON.parse(parts);
  const script = [`globalThis.countlightParts = ${parts};`, ...words].join('\n');
  globalThis.countlightHelper = new Blob([script], { type: 'text/javascript' });
  const text = document.getElementById('page-module').textContent;
  const packed = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const plain = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
  await wasm_bindgen({ module_or_path: await new Response(plain).arrayBuffer() });
  return wasm_bindgen;
};
