// A part of the module that lies packed in this file.
const countlightPart = async (name) => {
  const text = globalThis.countlightParts[name.replace('./', '')];
  const packed = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const plain = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Response(plain, { headers: { 'Content-Type': 'application/wasm' } });
};
