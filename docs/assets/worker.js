// The worker's part: start the compiled library, answer requests one after the
// other. It is put behind the Go runtime's own script.
"use strict";
let ready;

async function start(module) {
  const go = new Go();
  go.run(await WebAssembly.instantiate(module, go.importObject)); // returns when the program waits for calls
}

self.onmessage = async ({ data }) => {
  if (data.module) {
    ready = start(data.module);
    ready.catch((e) => self.postMessage({ failed: String(e) }));
    return;
  }
  try {
    await ready;
  } catch {
    return; // told already
  }
  const progress = data.progress
    ? (what, done, answered) => self.postMessage({ id: data.id, what, done, answered })
    : undefined;
  self.postMessage({ id: data.id, ...self.bobweightCall(data.name, data.request, progress) });
};
