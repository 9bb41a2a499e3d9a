// How a page asks a compiled library, which it loads when it first needs it.
// bw.library(script) is a function ask(name, request) that promises the answer: the
// work is done in a worker, so the page never stands still. bw.here(script)
// promises a function that answers at once, for work that is done before the next
// picture and should not wait for another thread.
"use strict";
var bw = {};
(() => {
  const parts = self.bobweight;
  const root = new URL("..", document.currentScript.src);

  // once(make) keeps what make promises for each argument.
  const once = (make) => {
    const kept = new Map();
    return (key) => {
      if (!kept.has(key)) kept.set(key, make(key));
      return kept.get(key);
    };
  };

  // A page opened from a folder may not fetch a file; a script may be added to it.
  const run = once((src) => new Promise((done, fail) => {
    const s = document.createElement("script");
    s.src = src;
    s.onload = done;
    s.onerror = () => fail(new Error("The compiled library could not be loaded."));
    document.head.append(s);
  }));

  const local = (text) => URL.createObjectURL(new Blob([text], { type: "text/javascript" }));

  // served is the compressed program as a server hands it out, a quarter smaller than
  // written, which comes as text in a script.
  const served = async (script) => {
    const reply = await fetch(new URL(script.replace(/\.js$/, ".wasm.gz"), root));
    if (!reply.ok) throw new Error("The compiled library could not be loaded.");
    return new Uint8Array(await reply.arrayBuffer());
  };
  const written = async (script) => {
    await run(new URL(script, root));
    const packed = parts.wasm[script];
    delete parts.wasm[script];
    return Uint8Array.fromBase64 ? Uint8Array.fromBase64(packed) : Uint8Array.from(atob(packed), (c) => c.charCodeAt(0));
  };

  const compiled = once(async (script) => {
    if (!parts) throw new Error("This copy of the site was built without the compiled library.");
    const bytes = location.protocol === "file:" ? await written(script) : await served(script);
    // A server may have taken the compression off already.
    const packed = bytes[0] === 0x1f && bytes[1] === 0x8b;
    const code = packed ? new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip")) : bytes;
    return WebAssembly.compileStreaming(new Response(code, { headers: { "Content-Type": "application/wasm" } }));
  });

  bw.demo = parts ? parts.demo : "";
  bw.first = parts ? parts.first : null; // the library's answers when the site was built

  // hire starts a worker with a library in it. Its ask promises the answer; its end
  // stops the work at once, and whatever was asked fails with bw.stopped.
  bw.stopped = new Error("Stopped.");
  const hire = async (script) => {
    const module = await compiled(script);
    const waiting = new Map();
    let count = 0;
    const w = new Worker(local(parts.support + parts.worker));
    const failAll = (error) => {
      for (const one of waiting.values()) one.fail(error);
      waiting.clear();
    };
    w.onmessage = ({ data }) => {
      if (data.failed) return failAll(new Error(data.failed));
      const one = waiting.get(data.id);
      if (data.what !== undefined) return one.progress(data.what, data.done, data.answered);
      waiting.delete(data.id);
      if (data.error !== undefined) one.fail(new Error(data.error));
      else one.done(JSON.parse(data.answer));
    };
    w.postMessage({ module });
    return {
      ask: (name, request, progress) => new Promise((done, fail) => {
        const id = ++count;
        const text = typeof request === "string" ? request : JSON.stringify(request);
        waiting.set(id, { done, fail, progress });
        w.postMessage({ id, name, request: text, progress: progress !== undefined });
      }),
      busy: () => waiting.size > 0,
      end: () => {
        w.terminate();
        failAll(bw.stopped);
      },
    };
  };

  bw.library = (script) => {
    const worker = once(() => hire(script));
    return async (...request) => (await worker(script)).ask(...request);
  };

  // runner(script, practice) works on one thing at a time: what is asked next, or
  // stop, ends it. A second worker stands ready to take over. It has worked a request
  // for practice, [name, request], twice: the browser compiles what runs often once more,
  // for all workers, and the reader's own request then finds it done.
  bw.runner = (script, practice) => {
    let first = hire(script);
    let second = null;
    first.then(async () => {
      const w = await hire(script);
      for (let i = 0; i < 2; i++) await w.ask(...practice);
      if (second) w.end();
      else second = Promise.resolve(w);
    }).catch(() => {}); // the reader's own request says what is wrong
    let number = 0; // of the last request, or stop
    const halt = async () => {
      const w = await first;
      if (!w.busy()) return;
      w.end();
      first = second || hire(script);
      second = null;
      first.then(() => { second = second || hire(script); }).catch(() => {});
    };
    return {
      stop: async () => {
        number++;
        await halt();
      },
      ask: async (...request) => {
        const mine = ++number;
        await halt();
        const w = await first;
        if (mine !== number) throw bw.stopped; // something else was asked meanwhile
        return w.ask(...request);
      },
    };
  };

  bw.here = async (script) => {
    const module = await compiled(script);
    await run(local(parts.support));
    const go = new Go();
    go.run(await WebAssembly.instantiate(module, go.importObject)); // returns when the program waits for calls
    return (name, request) => {
      const { answer, error } = self.bobweightCall(name, typeof request === "string" ? request : JSON.stringify(request));
      if (error !== undefined) throw new Error(error);
      return JSON.parse(answer);
    };
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

  // teller(place, ms) tells a screen reader, once nothing has changed for so long,
  // those of a list of sentences that it has not heard yet.
  bw.teller = (place, ms) => {
    let heard = [];
    return bw.later((sentences) => {
      const news = sentences.filter((s) => !heard.includes(s));
      if (news.length) place.textContent = news.join(" ");
      heard = sentences;
    }, ms);
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
