// One field of the job on the page: label, entry, unit, hint, and place for a fault.
"use strict";
(() => {
  const el = bw.element;
  let count = 0;

  // A unit as the page shows it: the column or label says the rest.
  const plain = (unit) => ({ "rpm crank": "rpm", "deg crank": "deg", ":1": ": 1", degC: "°C", "deg dist": "deg distributor" })[unit] || unit || "";

  // control(field, path, desk) is the element that edits the field of the job at a
  // path; desk has job() and changed(path). It has refresh(), to show the job as it is.
  const control = (field, path, desk, attributes = {}) => {
    const set = (value) => {
      bw.put(desk.job(), path, value);
      desk.changed(path);
    };
    const shared = { "data-path": path, ...attributes };
    if (field.kind === "tick") {
      const box = el("input", { type: "checkbox", ...shared, onchange: () => set(box.checked || undefined) });
      box.refresh = () => { box.checked = bw.at(desk.job(), path) === true; };
      return box;
    }
    if (field.kind === "choice" || field.kind === "part") {
      const box = el("select", { ...shared, onchange: () => set(box.value || undefined) });
      box.refresh = () => {
        const now = bw.at(desk.job(), path) || "";
        const options = field.options ? [...field.options] : [["", ""], ...(field.none ? [["none", "none"]] : []), ...(bw.at(desk.job(), field.of) || []).map((p) => p && p.name).filter(Boolean).map((n) => [n, n])];
        if (!options.some(([value]) => value === now)) options.push([now, now]);
        box.replaceChildren(...options.map(([value, text]) => el("option", { value }, text)));
        box.value = now;
      };
      return box;
    }
    if (field.kind === "pairs") {
      const box = el("textarea", {
        ...shared, rows: 4, spellcheck: "false", placeholder: "12.5  3\n14  -2.5",
        oninput: () => {
          const lines = box.value.split("\n").map((l) => l.trim()).filter(Boolean);
          set(lines.length ? lines.map((l) => l.split(/[\s;]+/).map((x) => bw.withUnit(x, field.unit))) : undefined);
        },
      });
      box.refresh = () => {
        const now = bw.at(desk.job(), path);
        if (document.activeElement !== box) box.value = (Array.isArray(now) ? now : []).map((p) => (Array.isArray(p) ? p : [p]).map((x) => bw.withoutUnit(x, field.unit)).join("  ")).join("\n");
      };
      return box;
    }
    const number = field.unit !== undefined || field.kind === "count";
    const box = el("input", {
      type: "text", autocomplete: "off", spellcheck: "false", ...(number ? { inputmode: "decimal", size: 7 } : { size: 16, maxlength: 200 }), ...shared,
      oninput: () => {
        const text = box.value;
        if (field.kind === "count") set(/^\d+$/.test(text.trim()) ? Number(text) : text.trim() || undefined);
        else set(field.unit !== undefined ? bw.withUnit(text, field.unit) : text || undefined);
      },
    });
    box.refresh = () => {
      const now = bw.at(desk.job(), path);
      const text = field.unit !== undefined ? bw.withoutUnit(now, field.unit) : now === undefined || now === null ? "" : String(now);
      if (document.activeElement !== box) box.value = text;
    };
    return box;
  };

  // entry(field, path, desk) is the whole line.
  bw.entry = (field, path, desk) => {
    const id = `entry-${++count}`;
    const hint = field.hint ? el("small", { id: `${id}-hint` }, field.hint) : null;
    const fault = el("p.fault", { id: `${id}-fault`, "data-fault": path });
    const box = control(field, path, desk, { id, "aria-describedby": `${hint ? `${id}-hint ` : ""}${id}-fault`, "data-dimension": field.name });
    const label = el("label", { for: id }, field.label, field.letter ? el("span.letter", {}, field.letter) : null);
    const line = field.kind === "tick" ? el("div.entry.ticked", {}, box, label, hint, fault)
      : el("div.entry", {}, label, el("span.value", {}, box, field.unit ? el("span.unit", {}, plain(field.unit)) : null), hint, fault);
    line.boxes = [box];
    box.refresh();
    return line;
  };

  // grid({path, caption, columns, add}, at, desk, render) is a list of rows as a table. A
  // row is added where the last one is used; several come out of a spreadsheet at once.
  bw.grid = (list, at, desk, render, least = 1) => {
    const rows = () => bw.at(desk.job(), at) || [];
    const n = Math.max(rows().length, least);
    const boxes = [];
    const line = (i) => el("tr", {}, ...list.columns.map((c, k) => {
      const box = control(c, `${at}[${i}].${c.key}`, desk, { "aria-label": `${list.caption}, row ${i + 1}, ${c.label}`, "data-row": i, "data-column": k });
      boxes.push(box);
      box.refresh();
      return el("td", {}, box);
    }), ...(list.extra ? [list.extra(i)] : []), el("td", {}, el("button.out", {
      type: "button", "aria-label": `Take row ${i + 1} out`,
      onclick: () => {
        const now = rows();
        now.splice(i, 1);
        bw.put(desk.job(), at, now.length ? now : undefined);
        desk.changed(at);
        render();
      },
    }, "×")));
    const body = el("tbody", {}, ...Array.from({ length: n }, (_, i) => line(i)));
    const faults = el("p.fault", { "data-fault": at });
    const table = el("table.grid", {},
      el("caption", {}, list.caption),
      el("thead", {}, el("tr", {}, ...list.columns.map((c) => el("th", { scope: "col" }, c.label)), ...(list.extra ? [el("th", { scope: "col" }, list.extraHead)] : []), el("th", {}, el("span.told", {}, "out")))),
      body);
    const more = () => {
      body.append(line(body.children.length));
      return body.lastElementChild;
    };
    const go = (row, column) => {
      if (row < 0) return;
      const to = body.children[row] || more();
      to.querySelector(`[data-column="${column}"]`).focus();
    };
    table.addEventListener("keydown", (e) => {
      const { row, column } = e.target.dataset;
      if (row === undefined || e.target.tagName === "SELECT") return;
      if (e.key === "Enter" || e.key === "ArrowDown") go(Number(row) + 1, column);
      else if (e.key === "ArrowUp") go(Number(row) - 1, column);
      else return;
      e.preventDefault();
    });
    table.addEventListener("input", (e) => {
      if (Number(e.target.dataset.row) === body.children.length - 1 && e.target.value && least > 1) more();
    });
    table.addEventListener("paste", (e) => {
      const lines = bw.cells(e.clipboardData.getData("text"));
      if (!lines || e.target.dataset.row === undefined) return;
      e.preventDefault();
      const from = Number(e.target.dataset.row);
      const left = Number(e.target.dataset.column);
      lines.forEach((cells, i) => cells.forEach((cell, k) => {
        const c = list.columns[left + k];
        if (c && c.unit !== undefined) bw.put(desk.job(), `${at}[${from + i}].${c.key}`, bw.withUnit(cell, c.unit));
      }));
      desk.changed(at);
      render();
    });
    const box = el("div.grid-box", {}, table, faults, list.add ? el("button", { type: "button", onclick: () => go(body.children.length, 0) }, list.add) : null);
    box.boxes = boxes;
    return box;
  };

  // cells reads what a spreadsheet puts on the clipboard, null where it is a single cell.
  // A first row of words is a heading.
  bw.cells = (text) => {
    const part = text.includes("\t") ? "\t" : text.includes(";") ? ";" : /\d\s*,\s*[-+]?\d[^\n]*\n|,\s/.test(text) || /^\s*\d+,\d{1,3}(\.\d+)?\s*$/m.test(text) && text.includes("\n") ? "," : /\s/;
    const lines = text.split(/\r?\n/).map((l) => l.trim()).filter(Boolean).map((l) => l.split(part).map((c) => c.trim()));
    if (lines.length && !/\d/.test(lines[0].join(""))) lines.shift();
    return lines.length > 1 || lines.length === 1 && lines[0].length > 1 ? lines : null;
  };
})();
