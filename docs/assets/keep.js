// How a job stays: in the browser's own storage, in a link, in a file. Nothing of it
// leaves the page: what stands behind the # of a link is not sent to a server.
"use strict";
(() => {
  const key = "bobweight.job";
  const earlier = "bobweight.job.before";
  bw.largest = 1e6; // bytes of a file that is read, characters of what a link holds

  const read = (name) => {
    try {
      return JSON.parse(localStorage.getItem(name));
    } catch {
      return null; // storage is off, or holds something else
    }
  };
  const write = (name, state) => {
    try {
      if (state === null) localStorage.removeItem(name);
      else localStorage.setItem(name, JSON.stringify(state));
      return true;
    } catch {
      return false;
    }
  };

  // A state is {job, files}: the job file as an object, and the texts beside it.
  bw.kept = () => read(key);
  bw.keep = (state) => write(key, state);
  bw.keptBefore = () => read(earlier);
  bw.keepBefore = (state) => write(earlier, state);

  const through = async (bytes, stream) => {
    const reader = new Blob([bytes]).stream().pipeThrough(stream).getReader();
    const parts = [];
    let size = 0;
    for (let step = await reader.read(); !step.done; step = await reader.read()) {
      size += step.value.length;
      if (size > bw.largest) throw new Error("The link holds more than a job can be.");
      parts.push(step.value);
    }
    return new Uint8Array(await new Blob(parts).arrayBuffer());
  };

  // pack makes a text of letters, digits, - and _ of an object; unpack reads it.
  bw.pack = async (object) => {
    const bytes = await through(new TextEncoder().encode(JSON.stringify(object)), new CompressionStream("deflate-raw"));
    let text = "";
    for (const b of bytes) text += String.fromCharCode(b);
    return btoa(text).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  };
  bw.unpack = async (text) => {
    if (text.length > bw.largest) throw new Error("The link holds more than a job can be.");
    try {
      const packed = atob(text.replace(/-/g, "+").replace(/_/g, "/"));
      const bytes = await through(Uint8Array.from(packed, (c) => c.charCodeAt(0)), new DecompressionStream("deflate-raw"));
      const object = JSON.parse(new TextDecoder().decode(bytes));
      if (object && typeof object === "object") return object;
    } catch { /* told below */ }
    throw new Error("The link is damaged: what stands behind its # cannot be read.");
  };

  // carried is what the link of this page holds, {} for nothing.
  bw.carried = async () => {
    const [, name, text] = location.hash.match(/^#(job|readings)=(.*)$/) || [];
    return name ? { [name]: await bw.unpack(text) } : {};
  };
})();
