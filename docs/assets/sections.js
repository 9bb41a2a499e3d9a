// The sections of the bench: readings first, and what else is known, each opened when
// wanted.
"use strict";
(() => {
  const el = bw.element;
  const f = () => bw.fields;

  // sections(desk, places) builds the form into places.readings and places.more. desk
  // has job(), changed(path). It returns what the page does with it: render(),
  // refresh(), faults(list), go(path), residuals(list), shape(shape).
  bw.sections = (desk, places) => {
    let drawn = null; // shape of the mechanism for the drawings
    let drawings = [];
    const opened = new Set();

    const lines = (fields, prefix = "") => fields.map((x) => bw.entry(x, prefix + x.key, desk));
    const picture = () => {
      const box = el("div.figure-of-parts", { "aria-hidden": "true" });
      drawings.push(bw.distributor(box, drawn || bw.usualShape, { dimensions: true }));
      return box;
    };
    const newest = () => (desk.job().runs ? `runs[${desk.job().runs.length - 1}].readings` : "readings");

    function cards(list, render, more = () => []) {
      const all = bw.at(desk.job(), list.path) || [];
      const card = (_, i) => {
        const at = `${list.path}[${i}]`;
        const known = new Set([...list.fields.map((x) => x.key), list.table && list.table.path]);
        const other = Object.keys(all[i] || {}).filter((k) => !known.has(k));
        return el("fieldset", {}, el("legend", {}, `${list.one} ${i + 1}`), ...lines(list.fields, `${at}.`),
          list.table ? bw.grid(list.table, `${at}.${list.table.path}`, desk, render) : null, ...more(i),
          other.length ? el("p.credit", {}, `Kept as the file has it: ${other.join(", ")}.`) : null,
          el("p.fault", { "data-fault": at }),
          el("button", {
            type: "button", onclick: () => {
              all.splice(i, 1);
              bw.put(desk.job(), list.path, all.length ? all : undefined);
              desk.changed(list.path);
              render();
            },
          }, `Take ${list.one.toLowerCase()} ${i + 1} out`));
      };
      return [...all.map(card), el("p", {}, el("button", {
        type: "button", "data-adds": list.path, onclick: () => {
          bw.put(desk.job(), `${list.path}[${all.length}]`, {});
          render();
          go(`${list.path}[${all.length}]`);
        },
      }, list.add))];
    }

    const fittedNow = () => (bw.at(desk.job(), "distributor.spring_places") || []).map((p, i) =>
      bw.entry({ kind: "part", of: "drawer.springs", none: true, label: `Spring now at ${(p && p.name) || `place ${i + 1}`}` }, `distributor.springs[${i}]`, desk));

    // Each section: its id, its name, what it is for, the fields of the job that it
    // holds, and its content.
    const list = [
      ["wanted", "What you want of the curve", "Where it begins, where it is all in, which static timing starts well.", ["target"], () => lines(f().wanted)],
      ["slot", "The slot that limits the travel", "Turns degrees into millimetres to close or file.", ["distributor.slot"], () => [picture(), ...lines(f().slot)]],
      ["plate", "The mechanism's measures", "With a calliper, centre to centre, weights at rest.", ["distributor"], (render) => [picture(), ...lines(f().plate), ...cards(f().places, render)]],
      ["drawer", "Springs and weights at hand", "Every part that could go in, those now fitted among them.", ["drawer", "distributor.springs", "distributor.weights"], (render) => [
        ...cards(f().springs, render), picture(), ...cards(f().weights, render),
        el("fieldset", {}, el("legend", {}, "Now fitted"), bw.entry({ kind: "part", of: "drawer.weights", label: "Weights" }, "distributor.weights", desk), ...fittedNow()),
      ]],
      ["engine", "The engine", "Says what it wants and what it tolerates; without it nothing is said of torque or knock.", ["engine"], (render) => [...lines(f().engine), bw.grid(f().observed, f().observed.path, desk, render)]],
      ["vacuum", "The vacuum unit", "Pump up slowly: note where the arm starts to move and where it stops, each twice, then the degrees at a deep vacuum.", ["vacuum"], (render) => [
        bw.grid(f().pump, f().pump.path, desk, render), ...lines(f().vacuum),
        el("details", {}, el("summary", {}, "Or the unit by its parts"), el("div", {}, ...lines(f().unit))),
      ]],
      ["taken", "How the readings were taken", "Name of the job, errors of light and tachometer, timing at rest, piston stop.", ["title", "light", "static_reading", "set_static", "engine.piston_stop"], () => lines(f().taken)],
      ["runs", "After the change", "Read the whole curve again: the page holds it against the sheet.", ["runs"], runs],
    ];

    function runs(render) {
      const all = desk.job().runs || [];
      const begin = () => {
        const job = desk.job();
        if (!job.runs) job.runs = [{ label: "as found", readings: job.readings || [] }];
        delete job.readings;
        job.runs.push({ label: `after change ${job.runs.length}`, readings: [] });
        desk.changed("runs");
        renderAll();
        go("readings[0].at");
      };
      const one = (r, i) => el("details", { open: i === all.length - 1 }, el("summary", {}, `Run ${i + 1}: ${(r && r.label) || "no name yet"}${i === all.length - 1 ? ", the newest; its readings are the ones above" : ""}`),
        el("div", {}, ...lines(f().run, `runs[${i}].`), ...(bw.at(desk.job(), "distributor.spring_places") || []).map((p, k) => bw.entry({ kind: "part", of: "drawer.springs", none: true, label: `Spring then at ${(p && p.name) || `place ${k + 1}`}` }, `runs[${i}].springs[${k}]`, desk))),
        i === all.length - 1 ? null : bw.grid({ columns: f().readings.columns, caption: `Readings of run ${i + 1}`, add: "Add a reading" }, `runs[${i}].readings`, desk, render),
        el("p.fault", { "data-fault": `runs[${i}]` }),
        el("button", {
          type: "button", onclick: () => {
            all.splice(i, 1);
            if (all.length === 0) delete desk.job().runs;
            desk.changed("runs");
            renderAll();
          },
        }, `Take run ${i + 1} out`));
      return [el("p", {}, "What a run leaves out is as in the run before."), ...all.map(one),
        el("p", {}, el("button", { type: "button", id: "new-run", onclick: begin }, all.length ? "I changed something: begin another run" : "I changed something: begin a new run with the readings after it"))];
    }

    function renderSection([id, title, lead, , content], box) {
      const render = () => {
        box.replaceChildren(el("p.credit", {}, lead), ...content(render).filter(Boolean));
        desk.rendered();
      };
      return { id, title, render };
    }

    let made = [];
    function renderAll() {
      drawings = [];
      renderReadings();
      made = list.map((s) => {
        const box = el("div.section");
        const part = renderSection(s, box);
        const fold = el("details.part", { id: `part-${part.id}`, open: opened.has(part.id), ontoggle: () => {
          if (fold.open) opened.add(part.id);
          else opened.delete(part.id);
          if (fold.open && !box.children.length) part.render();
        } }, el("summary", {}, part.title, el("span.state", {})), box);
        if (fold.open) part.render();
        return { ...part, fields: s[3], fold, box };
      });
      places.more.replaceChildren(...made.map((m) => m.fold));
      refresh();
    }

    let wide = false;
    let offs = [];
    function renderReadings() {
      const at = newest();
      const rows = bw.at(desk.job(), at) || [];
      wide = wide || rows.some((r) => r && (r.falling || r.vacuum || r.note));
      const grid = bw.grid({
        caption: desk.job().runs ? `Readings after the change: ${bw.at(desk.job(), at.replace(".readings", ".label")) || "the newest run"}` : "Readings",
        columns: [...f().readings.columns, ...(wide ? f().readings.further : [])],
        extraHead: "off the curve", extra: (i) => (offs[i] = el("td.off", {})),
      }, at, desk, renderReadings, Math.max(3, rows.length + 1));
      places.readings.replaceChildren(desk.job().readings_csv ? el("p", {}, `The readings stand in the file ${desk.job().readings_csv}, which came with the job.`) : "", grid,
        wide ? "" : el("p.buttons", {}, el("button", { type: "button", onclick: () => { wide = true; renderReadings(); go("readings[0].falling"); } }, "Columns for falling speed, vacuum and notes")),
        ...lines(f().first));
      desk.rendered();
    }

    function refresh() {
      for (const box of places.root.querySelectorAll("[data-path]")) if (box.refresh) box.refresh();
      for (const m of made) {
        const full = m.fields.some((name) => bw.at(desk.job(), name) !== undefined);
        m.fold.querySelector(".state").textContent = full ? "begun" : "";
      }
    }

    // The section whose fields are the nearest round a path.
    const sectionOf = (path) => made.map((m) => ({ m, length: Math.max(0, ...m.fields.filter((name) => path === name || path.startsWith(`${name}.`) || path.startsWith(`${name}[`)).map((n) => n.length)) }))
      .sort((a, b) => b.length - a.length).find((x) => x.length > 0)?.m;
    const boxAt = (path) => [...places.root.querySelectorAll("[data-path]")].find((b) => b.dataset.path === path || b.dataset.path.startsWith(`${path}.`) || b.dataset.path.startsWith(`${path}[`));

    function go(path) {
      const at = path.startsWith("readings") ? newest() + path.slice("readings".length) : path;
      let box = boxAt(at);
      const m = sectionOf(path);
      if (!box && m) {
        m.fold.open = true;
        if (!m.box.children.length) m.render();
        box = boxAt(at) || [...m.box.querySelectorAll("[data-adds]")].find((b) => path.startsWith(b.dataset.adds)) || m.box.querySelector("input, select, button");
      }
      for (let fold = box && box.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
      if (box) box.focus();
    }

    // faults puts each fault at its field, and returns those that have no place here.
    function faults(found) {
      const places_ = new Map();
      for (const p of places.root.querySelectorAll("[data-fault]")) {
        p.textContent = "";
        places_.set(p.dataset.fault, p);
      }
      for (const box of places.root.querySelectorAll("[aria-invalid]")) box.removeAttribute("aria-invalid");
      return found.filter((x) => {
        if (!x.field) return true;
        const m = sectionOf(x.field);
        if (m && !m.box.children.length) m.render();
        const box = [...places.root.querySelectorAll("[data-path]")].find((b) => b.dataset.path === x.field);
        if (box) box.setAttribute("aria-invalid", "true");
        let place = null;
        for (let name = x.field; name && !place; name = name.slice(0, Math.max(0, name.lastIndexOf("."), name.lastIndexOf("[")))) {
          place = [...places.root.querySelectorAll("[data-fault]")].find((p) => p.dataset.fault === name);
        }
        if (!place) return true;
        const row = box && box.dataset.row !== undefined ? `Row ${Number(box.dataset.row) + 1}: ` : box ? "" : `${x.field}: `;
        place.append(el("span", {}, `${row}${x.text}. `));
        if (m && place.closest("details")) m.fold.open = true;
        return false;
      });
    }

    places.root.addEventListener("focusin", (e) => {
      const name = e.target.dataset && e.target.dataset.dimension;
      if (name) drawings.forEach((d) => d.point(name, e.target.dataset.path));
    });

    return {
      render: renderAll, refresh, faults, go,
      residuals: (list_) => offs.forEach((cell, i) => { if (cell) cell.textContent = list_[i] || ""; }),
      shape: (shape) => {
        drawn = shape;
        drawings.forEach((d) => d.draw(shape || bw.usualShape));
      },
    };
  };
})();
