// The worker's part: unpack the compiled library, start it, answer requests one
// after the other. It is put behind the Go runtime's own script.
"use strict";
let ready;

async function start(packed) {
  const bytes = Uint8Array.fromBase64 ? Uint8Array.fromBase64(packed) : Uint8Array.from(atob(packed), (c) => c.charCodeAt(0));
  const code = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  const reply = new Response(code, { headers: { "Content-Type": "application/wasm" } });
  const go = new Go();
  const { instance } = await WebAssembly.instantiateStreaming(reply, go.importObject);
  go.run(instance); // returns when the program waits for calls
}

self.onmessage = async ({ data }) => {
  if (data.wasm) {
    ready = start(data.wasm);
    ready.catch((e) => self.postMessage({ failed: String(e) }));
    return;
  }
  try {
    await ready;
  } catch {
    return; // told already
  }
  const progress = data.progress
    ? (what, done) => self.postMessage({ id: data.id, what, done })
    : undefined;
  const begun = performance.now();
  const result = self.bobweightCall(data.name, data.request, progress);
  self.postMessage({ id: data.id, ...result, took: performance.now() - begun });
};
