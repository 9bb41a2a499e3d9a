// The job as an object, and its fields by the paths that the library uses:
// "drawer.springs[1].rate".
"use strict";
(() => {
  const keys = (path) => path.match(/[^.[\]]+/g).map((k) => (/^\d+$/.test(k) ? Number(k) : k));
  bw.at = (job, path) => keys(path).reduce((o, k) => (o === null || o === undefined ? undefined : o[k]), job);

  // put writes a field; undefined takes it out, with the sections that it leaves empty.
  bw.put = (job, path, value) => {
    const list = keys(path);
    const way = [job];
    for (let i = 0; i + 1 < list.length; i++) {
      let next = way[i][list[i]];
      if (next === null || typeof next !== "object") {
        if (value === undefined) return;
        next = way[i][list[i]] = typeof list[i + 1] === "number" ? [] : {};
      }
      way.push(next);
    }
    const last = list.at(-1);
    if (value !== undefined) {
      way.at(-1)[last] = value;
      return;
    }
    if (Array.isArray(way.at(-1))) way.at(-1)[last] = null;
    else delete way.at(-1)[last];
    for (let i = way.length - 1; i > 0; i--) {
      const empty = Array.isArray(way[i]) ? way[i].every((x) => x === null) : Object.keys(way[i]).length === 0;
      if (!empty || Array.isArray(way[i - 1])) return; // a row of a list stays, to be filled
      delete way[i - 1][list[i - 1]];
    }
  };

  // What makes a row of a list whole; one that is being typed is left out until then.
  const whole = {
    readings: (r) => r.at && r.shows,
    pump: (r) => r.at && (r.shows || r.rod || r.arm),
    hung: (r) => (r.mass || r.force || r.against) && r.length,
    observed: (r) => r.what === "octane by ratio" || (r.what && r.at && r.spark),
  };
  // With fewer they say nothing yet: two ends of a range, three points round an edge.
  const least = { all_in: 2, static_range: 2, piston_stop: 2, outline: 3 };
  const rows = (x) => Array.isArray(x) && x.some((e) => e && typeof e === "object" && !Array.isArray(e));

  // finished(job) is the job without what is half typed, and a function that turns a
  // path in it into the path in the job as typed.
  bw.finished = (job) => {
    const places = new Map(); // path in the finished job: path as typed
    const copy = (x, name, to, from) => {
      if (Array.isArray(x) && (x.length === 0 || rows(x) || x.every((e) => e === null))) {
        const out = [];
        x.forEach((e, i) => {
          const one = e && typeof e === "object" ? copy(e, "", `${to}[${out.length}]`, `${from}[${i}]`) : undefined;
          if (one === undefined || whole[name] && !whole[name](one)) return;
          places.set(`${to}[${out.length}]`, `${from}[${i}]`);
          out.push(one);
        });
        return out.length ? out : undefined;
      }
      if (Array.isArray(x)) return x.includes(null) || x.includes(undefined) || x.length < (least[name] || 0) ? undefined : x;
      if (x === null || typeof x !== "object") return x;
      const out = {};
      for (const [k, v] of Object.entries(x)) {
        const one = copy(v, k, to ? `${to}.${k}` : k, from ? `${from}.${k}` : k);
        if (one !== undefined) out[k] = one;
      }
      return Object.keys(out).length ? out : undefined;
    };
    const out = copy(job, "", "", "") || {};
    const back = (path) => {
      for (let end = path.length; end > 0; end--) {
        if (path[end - 1] === "]" && places.has(path.slice(0, end))) return places.get(path.slice(0, end)) + path.slice(end);
      }
      return path;
    };
    return { job: out, back };
  };

  // A number without a unit is of the unit that the field shows; a text with a unit is
  // taken as it is. A comma may part the decimals.
  bw.withUnit = (text, unit) => {
    const t = text.trim();
    if (t === "") return undefined;
    return /^[-+−]?(\d+([.,]\d*)?|[.,]\d+)$/.test(t) ? `${t.replace("−", "-").replace(",", ".").replace(/^\+/, "")}${unit.startsWith(":") ? "" : " "}${unit}` : t;
  };
  bw.withoutUnit = (text, unit) => {
    if (typeof text !== "string") return text === undefined || text === null ? "" : String(text);
    const tail = unit.startsWith(":") ? unit : ` ${unit}`;
    return text.endsWith(tail) ? text.slice(0, -tail.length) : text;
  };
})();
