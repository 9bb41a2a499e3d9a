// How a page asks the library: bw.ask(name, request) promises the answer. The
// work is done in a worker, so the page never stands still.
"use strict";
var bw = {};
(() => {
  const parts = self.bobweight;
  const waiting = new Map();
  let worker = null;
  let count = 0;

  function begin() {
    if (!parts) throw new Error("this copy of the site was built without the compiled library");
    worker = new Worker(URL.createObjectURL(new Blob([parts.worker], { type: "text/javascript" })));
    worker.onmessage = ({ data }) => {
      if (data.failed) {
        for (const w of waiting.values()) w.fail(new Error(data.failed));
        waiting.clear();
        return;
      }
      const w = waiting.get(data.id);
      if (data.what !== undefined) {
        w.progress(data.what, data.done);
        return;
      }
      waiting.delete(data.id);
      bw.took = data.took;
      if (data.error !== undefined) w.fail(new Error(data.error));
      else w.done(JSON.parse(data.answer));
    };
    worker.postMessage({ wasm: parts.wasm });
  }

  bw.demo = parts ? parts.demo : "";
  bw.first = parts ? { start: parts.start, curve: parts.curve } : null; // the library's answers when the site was built
  bw.took = 0; // milliseconds that the library spent on the last answer

  bw.ask = (name, request, progress) => {
    if (!worker) begin();
    const id = ++count;
    const text = typeof request === "string" ? request : JSON.stringify(request);
    return new Promise((done, fail) => {
      waiting.set(id, { done, fail, progress });
      worker.postMessage({ id, name, request: text, progress: progress !== undefined });
    });
  };

  // latest(work) returns a function that runs work, and runs it once more if it
  // was called meanwhile: a slider may move faster than an answer comes.
  bw.latest = (work) => {
    let busy = false;
    let again = false;
    const run = async () => {
      if (busy) {
        again = true;
        return;
      }
      busy = true;
      do {
        again = false;
        await work();
      } while (again);
      busy = false;
    };
    return run;
  };

  // later(work, ms) runs work when nothing has called it for so long.
  bw.later = (work, ms) => {
    let timer;
    return (...args) => {
      clearTimeout(timer);
      timer = setTimeout(() => work(...args), ms);
    };
  };

  // element("tag.class", {attributes}, children...)
  bw.element = (what, attributes = {}, ...children) => {
    const [tag, ...classes] = what.split(".");
    const e = document.createElement(tag);
    if (classes.length) e.className = classes.join(" ");
    for (const [k, v] of Object.entries(attributes)) {
      if (k.startsWith("on")) e.addEventListener(k.slice(2), v);
      else if (v !== undefined && v !== false) e.setAttribute(k, v === true ? "" : v);
    }
    e.append(...children.filter((c) => c !== null && c !== undefined));
    return e;
  };

  // table(caption, heads, rows): the first cell of a row names it.
  bw.table = (caption, heads, rows) => {
    const el = bw.element;
    return el("div.wide", { tabindex: 0, role: "group", "aria-label": caption },
      el("table", {},
        el("caption", {}, caption),
        el("thead", {}, el("tr", {}, ...heads.map((h) => el("th", { scope: "col" }, h)))),
        el("tbody", {}, ...rows.map((r) => el("tr", {}, ...r.map((c, i) => (i === 0 ? el("th", { scope: "row" }, c) : el("td", {}, c))))))));
  };

  bw.deg = (x) => x.toFixed(1);
  bw.rpm = (x) => x.toFixed(0);
})();
