// Only in the single file: gives the start script the page's code, from the block of text that holds the module.
globalThis.countlightUnpack = async () => {
  const text = document.getElementById('page-module').textContent;
  const packed = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const plain = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
  await wasm_bindgen({ module_or_path: await new Response(plain).arrayBuffer() });
  return wasm_bindgen;
};
