// The bench: readings in, the answer beside them, and whatever else is known added as
// far as wanted. The job lives in the page and in the browser's own storage.
"use strict";
(async () => {
  const el = bw.element;
  const by = (id) => document.getElementById(id);
  const place = by("study");
  const refused = by("refused");
  const tell = bw.teller(by("told"), 1200);
  if (!self.bobweight) {
    refused.textContent = "This copy of the site was built without the compiled library.";
    return;
  }
  // The library is fetched, compiled and practised with the demo job while the reader
  // reads and types.
  const work = bw.runner("assets/engine.js", ["answer", { job: bw.demo, files: {} }]);
  const pictures = bw.library("assets/job.engine.js");
  const chart = bw.chart(by("chart"), { label: "Readings over engine speed", x: [0, 4500], y: [0, 45] });

  let state = { job: {}, files: {} };
  let back = (path) => path; // a path of the job as sent to the path as typed
  let shown = null; // the answer that stands on the page: {answer, r, sent}
  let sheetOf = 0;

  const newest = () => (state.job.runs ? `runs[${state.job.runs.length - 1}].readings` : "readings");
  const desk = {
    job: () => state.job,
    changed: () => {
      keep();
      form.refresh();
      points();
      later();
    },
    rendered: () => {},
  };
  const form = bw.sections(desk, { root: by("form-root"), readings: by("readings"), more: by("more") });

  function keep() {
    if (!bw.keep(state)) by("kept").textContent = "This browser keeps nothing over a reload: save the job as a file.";
  }

  // take puts another job on the bench; the one that lay there can be put back.
  function take(next) {
    if (Object.keys(state.job).length && JSON.stringify(state.job) !== JSON.stringify(next.job)) {
      bw.keepBefore(state);
      by("undo").hidden = false;
    }
    state = next;
    shown = null;
    keep();
    show(null);
    form.render();
    points();
    return answer();
  }

  // numbers of a reading as far as they can be read here, for the drawing only; the
  // library reads the job.
  const number = (text, unit) => (typeof text === "string" && text.endsWith(unit) ? parseFloat(text) : NaN);
  function seen() {
    return (bw.at(state.job, newest()) || []).map((r) => ({ rpm: number(r && r.at, "rpm crank"), deg: number(r && r.shows, "deg crank"), falling: !!(r && r.falling) }))
      .filter((p) => Number.isFinite(p.rpm) && Number.isFinite(p.deg) && p.rpm > 0 && p.rpm < 12000 && Math.abs(p.deg) < 90);
  }

  function points() {
    const dots = seen();
    const rows = (shown && shown.r.curves) || [];
    const column = (key) => rows.filter((row) => row[key] !== undefined);
    const line = (name, look, key) => ({ name, look, x: column(key).map((row) => row.rpm), y: column(key).map((row) => row[key]) });
    const band = (name, look, low, high) => ({ name, look, x: column(low).map((row) => row.rpm), low: column(low).map((row) => row[low]), high: column(low).map((row) => row[high]) });
    const lines = [line("as the readings show it", "present", "present_deg"), line("after the change, rising", "rising", "rising_deg"),
      line("falling", "falling", "falling_deg"), line("best torque", "best", "mbt_deg"), line("trace knock", "knock", "limit_deg")];
    const bands = [band("trace knock, 90 % band", "knock", "limit_low_deg", "limit_high_deg"), band("a reading passes", "builds", "low_deg", "high_deg")];
    const speeds = [...dots.map((d) => d.rpm), ...rows.map((row) => row.rpm)];
    const angles = [...dots.map((d) => d.deg), ...lines.flatMap((l) => l.y)];
    chart.draw({
      x: [0, Math.ceil(Math.max(3000, ...speeds) / 500) * 500],
      y: [Math.min(0, Math.floor(Math.min(...angles, 0) / 5) * 5), Math.ceil((Math.max(30, ...angles) + 2) / 5) * 5],
      bands, lines, marks: dots.map((d) => ({ x: d.rpm, y: d.deg })),
    });
    chart.label(`Advance over engine speed: ${dots.length} readings${rows.length ? " and the curves that the table below holds in numbers" : ""}.`);
  }

  // lightOf is the part of a job that tells the present curve.
  function lightOf(job) {
    const { title, light, readings, readings_csv, static_reading, set_static } = job;
    const engine = job.engine && job.engine.idle ? { idle: job.engine.idle } : undefined;
    return { title, engine, light, readings: job.runs ? job.runs.at(-1).readings : readings, readings_csv, static_reading, set_static };
  }

  const later = bw.later(() => answer(), 350);

  // answer works the job as it stands. What was being worked is stopped.
  async function answer() {
    const { job, back: translate } = bw.finished(state.job);
    const few = bw.at(job, newest()) || [];
    await work.stop();
    if (!few.length && !state.job.readings_csv && !Object.keys(job).some((k) => ["distributor", "engine", "vacuum", "runs", "drawer"].includes(k))) {
      shown = null;
      show(null);
      return;
    }
    const files = state.files || {};
    const sent = { job: JSON.stringify(job, null, 2), files };
    place.classList.add("old");
    const said = refusals;
    place.dataset.state = "working";
    by("stop").hidden = false;
    const begun = performance.now();
    try {
      // A whole job takes a second or two. While readings are typed into one, what they
      // say stands on the page before.
      const light = lightOf(job);
      if (shown && job.drawer && shown.light !== JSON.stringify(light)) {
        const quick = await work.ask("answer", { job: JSON.stringify(light), files });
        if (!quick.faults) {
          shown = { ...shown, r: { ...shown.r, curves: JSON.parse(quick.result).curves.map(({ rpm, present_deg }) => ({ rpm, present_deg })) } };
          points();
        }
      }
      by("doing").textContent = "Working";
      const got = await work.ask("answer", sent, (what, done, answered) => {
        if (answered) {
          place.dataset.first = performance.now() - begun;
          shown = { answer: null, r: JSON.parse(answered), sent, light: JSON.stringify(light) };
          show(shown);
          points();
          return;
        }
        by("doing").textContent = `${what}, ${Math.round(done * 100)} %`;
        by("bar").hidden = false;
        by("bar").value = done;
      });
      back = translate;
      place.dataset.took = performance.now() - begun;
      if (got.faults) fault(got.faults);
      else {
        if (said === refusals) refused.replaceChildren(); // a refusal meanwhile stays
        form.faults([]);
        shown = { answer: got, r: JSON.parse(got.result), sent, light: JSON.stringify(light) };
        sheetOf = 0;
        show(shown);
        form.shape(got.shape || null);
      }
      place.dataset.state = got.faults ? "refused" : "answered";
      place.classList.toggle("old", !!got.faults);
      by("doing").textContent = "";
    } catch (e) {
      if (e === bw.stopped) return; // by what is being worked now, or by the button
      by("doing").textContent = "";
      refused.replaceChildren(e.message);
      place.dataset.state = "failed";
    }
    by("stop").hidden = true;
    by("bar").hidden = true;
    points();
  }

  // fault shows what the library refuses: at its field, or above where the page has none.
  function fault(list) {
    const rest = form.faults(list.map((f) => ({ ...f, field: f.field ? back(f.field) : "" })));
    refused.replaceChildren(...(rest.length ? [el("ul", {}, ...rest.map((f) => el("li", {}, `${f.field ? `${f.field}: ` : ""}${f.text}`)))] : [`${list.length === 1 ? "One entry is" : `${list.length} entries are`} refused: see below.`]));
    tell(list.map((f) => `${f.field || "The job"}: ${f.text}.`));
  }

  // Files live as long as the answer that offers them.
  let urls = [];
  function file(text, type) {
    urls.push(URL.createObjectURL(new Blob([text], { type })));
    return urls.at(-1);
  }
  const saver = (name, text, type) => el("a.button", { download: name, href: file(text, `${type};charset=utf-8`) }, `Save ${name}`);

  function show(what) {
    urls.forEach((u) => URL.revokeObjectURL(u));
    urls = [];
    place.report = what; // for tests and the curious
    by("report").replaceChildren();
    by("asked").replaceChildren();
    by("to-answer").textContent = "";
    form.residuals([]);
    if (!what) {
      place.classList.remove("old");
      by("says").replaceChildren(el("p.credit", {}, "The answer stands here from the third reading on: what to fit, what to set, what the light must then show."));
      place.dataset.state = "empty";
      return;
    }
    const { answer: a, r } = what;
    const reading = by("says").querySelector("details.cautions")?.open;
    by("says").replaceChildren(bw.report.answer(r.answer), el("details.cautions", { open: reading }, el("summary", {}, "Cautions: running engines, flying parts, knock. Read them before you build or set anything."), el("ul", {}, ...r.cautions.map((c) => el("li", {}, c)))));
    const next = r.readings && r.readings.next_reading;
    if (next && !r.answer.set) by("says").append(el("p", {}, next));
    const asks = bw.report.asks(r.stages, form.go);
    if (asks) by("asked").append(el("details", {}, el("summary", {}, "What more would tell"), asks));
    by("to-answer").append(el("a", { href: "#answer-beside" }, r.answer.set ? `Set: ${r.answer.set}` : r.answer.forbids || "The answer"));
    residuals(r);
    tell([...r.answer.fit, r.answer.set, r.answer.forbids].filter(Boolean));
    if (!a) { // the answer stands, and what it rests on is being worked
      place.classList.remove("old");
      by("report").append(el("p.credit", {}, "What this rests on, the further recipes, the sheets and the files follow."));
      return;
    }
    by("report").append(...bw.report.parts(r, { see: (p) => (a.shape ? el("a.button", { href: "#", onclick: (e) => { e.preventDefault(); move(p); } }, "See this recipe move") : null) }));
    by("report").append(el("details", {}, el("summary", {}, "The whole report as the command prints it"), el("pre", { tabindex: 0 }, el("code", {}, a.report))));
    sheets(what);
  }

  // residuals stand beside the readings that they belong to.
  function residuals(r) {
    const list = [];
    ((r.readings && r.readings.points) || []).forEach((p, i) => {
      const [, n] = back(`readings[${i}]`).match(/\[(\d+)\]$/);
      const at = state.job.runs ? Number(back(`${newest()}[${i}]`).match(/\[(\d+)\]$/)[1]) : Number(n);
      list[at] = p.hose_on ? "hose on" : `${p.residual_deg >= 0 ? "+" : "−"}${Math.abs(p.residual_deg).toFixed(1)}${p.outlier ? ", left out" : ""}`;
    });
    form.residuals(list);
  }

  // sheets shows one sheet at a time, that of the first recipe to begin with, and what
  // can be saved.
  function sheets({ answer: a, r, sent }) {
    const all = [{ name: "the answer", sheet: r.sheet }, ...r.recipes.filter((p) => p.sheet).map((p) => ({ name: `recipe ${p.rank}`, sheet: p.sheet, rank: p.rank }))].filter((x) => x.sheet);
    const box = el("div.sheets-bar", {});
    const draw = () => {
      by("sheet")?.remove();
      if (all[sheetOf]) by("report").append(bw.report.sheet(all[sheetOf].sheet, r.cautions));
    };
    const picture = (name, key) => el("button", {
      type: "button", onclick: async (e) => {
        e.target.disabled = true;
        try {
          const drawn = await pictures("pictures", { ...sent, result: a.result });
          const link = el("a", { download: name, href: file(drawn[key], "image/svg+xml") });
          link.click();
        } catch (x) {
          refused.replaceChildren(x.message);
        }
        e.target.disabled = false;
      },
    }, `Save ${name}`);
    box.append(...[
      all.length > 1 ? el("label", {}, "Sheet of ", el("select", { id: "which-sheet", onchange: (e) => { sheetOf = Number(e.target.value); draw(); } }, ...all.map((x, i) => el("option", { value: i }, x.name)))) : null,
      el("p.buttons", {},
        all.length ? el("button", { type: "button", onclick: () => window.print() }, "Print the sheet") : null,
        saver("sheet.txt", a.sheet, "text/plain"), saver("curves.csv", a.table, "text/csv"), saver("result.json", a.result, "application/json"), saver("report.txt", a.report, "text/plain"),
        r.curves.length ? picture("curve.svg", "curve") : null, a.shape ? picture("distributor.svg", "drawing") : null, picture("measuring-form.svg", "form")),
    ].filter(Boolean));
    by("report").append(el("h2", { id: "report-sheet" }, "Sheets and files"), box);
    if (!all.length) by("report").append(el("div.caution", {}, el("ul", {}, ...r.cautions.map((c) => el("li", {}, c)))));
    draw();
  }

  // Other live pages take the job over with the link that leads to them.
  async function move(p) {
    const recipe = { springs: p.springs, weights: p.weights, slot_length_mm: p.slot_length_mm, static_deg: p.static_deg };
    location.href = `mechanism.html#job=${await bw.pack({ ...shown.sent, recipe })}`;
  }
  by("drag").addEventListener("click", async () => {
    location.href = `readings.html#job=${await bw.pack({ job: JSON.stringify(bw.finished(state.job).job), files: state.files })}`;
  });

  // Files: by the button, or dropped anywhere on the page.
  async function read(files) {
    const list = [...files];
    const jobs = list.filter((f) => /\.json$/i.test(f.name));
    const large = list.find((f) => f.size > bw.largest);
    if (large) return refuse(tooLarge(large.name, large.size));
    if (jobs.length > 1) return refuse("Open one job file at a time, with its .csv if it has one.");
    const others = {};
    for (const f of list) if (f !== jobs[0]) others[f.name] = await f.text();
    if (jobs.length === 0) {
      const [name] = Object.keys(others);
      if (Object.keys(others).length !== 1) return refuse("A job file that ends in .json is needed, or one .csv of readings.");
      const job = structuredClone(state.job);
      delete job.readings;
      delete job.runs;
      return take({ job: { ...job, readings_csv: name }, files: others });
    }
    return open(await jobs[0].text(), others);
  }
  const tooLarge = (what, size) => `${what} has ${(size / 1e6).toFixed(1)} MB; a job has a few thousandths of that, and more than ${bw.largest / 1e6} MB is not read.`;
  let refusals = 0;
  function refuse(text) {
    refusals++;
    refused.replaceChildren(text);
    place.dataset.state = "refused";
  }
  // open puts the text of a job on the bench. One that is no JSON is shown as text, with
  // what the library says of it.
  async function open(text, files) {
    if (text.length > bw.largest) return refuse(tooLarge("The text", text.length));
    let job;
    try {
      job = JSON.parse(text);
    } catch {
      await work.stop();
      const { faults } = await work.ask("answer", { job: text, files });
      by("job-text").value = text;
      by("as-text").open = true;
      refused.replaceChildren(el("ul", {}, ...(faults || []).map((f) => el("li", {}, `line ${f.line}: ${f.field ? `${f.field}: ` : ""}${f.text}`))));
      place.dataset.state = "refused";
      return;
    }
    if (!job || typeof job !== "object" || Array.isArray(job)) return refuse("A job file holds one object in braces.");
    await take({ job, files });
  }

  by("files").addEventListener("change", () => {
    read(by("files").files);
    by("files").value = "";
  });
  addEventListener("dragover", (e) => {
    e.preventDefault();
    document.body.classList.add("over-page");
  });
  addEventListener("dragleave", (e) => { if (!e.relatedTarget) document.body.classList.remove("over-page"); });
  addEventListener("drop", (e) => {
    e.preventDefault();
    document.body.classList.remove("over-page");
    read(e.dataTransfer.files);
  });
  by("open").addEventListener("click", () => by("files").click());
  by("demo").addEventListener("click", () => take({ job: JSON.parse(bw.demo), files: {} }));
  by("afresh").addEventListener("click", async () => {
    await take({ job: {}, files: {} });
    form.go("readings[0].at");
  });
  by("undo").addEventListener("click", () => take(bw.keptBefore()));
  by("stop").addEventListener("click", async () => {
    await work.stop();
    if (shown && !shown.answer) by("report").replaceChildren("Stopped before what this rests on was worked.");
    by("doing").textContent = "Stopped. Change an entry to go on.";
    by("stop").hidden = true;
    by("bar").hidden = true;
    place.dataset.state = "stopped";
  });
  const text = () => `${JSON.stringify(bw.finished(state.job).job, null, 2)}\n`;
  by("save").addEventListener("click", () => {
    const name = (state.job.title || "my job").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60) || "job";
    const link = el("a", { download: `${name}.json`, href: file(text(), "application/json") });
    link.click();
  });
  by("link").addEventListener("click", async () => {
    const url = `${location.href.split("#")[0]}#job=${await bw.pack({ job: text(), files: state.files })}`;
    by("kept").textContent = "The link holds the whole job behind its #, which browsers do not send: who gets the link has the job.";
    by("link-text").hidden = false;
    by("link-text").value = url;
    by("link-text").select();
    try {
      await navigator.clipboard.writeText(url);
      by("kept").textContent += " It is on the clipboard.";
    } catch { /* it is selected, to be copied by hand */ }
  });
  by("as-text").addEventListener("toggle", () => { if (by("as-text").open && !by("job-text").value) by("job-text").value = text(); });
  by("take-text").addEventListener("click", () => open(by("job-text").value, state.files));
  by("show-text").addEventListener("click", () => { by("job-text").value = text(); });

  // What the link carries goes before what the browser kept, which can be put back.
  async function begin() {
    const kept = bw.kept();
    by("undo").hidden = !bw.keptBefore();
    let carried = {};
    try {
      carried = await bw.carried();
    } catch (e) {
      refused.replaceChildren(e.message);
    }
    if (kept && kept.job && typeof kept.job === "object") state = { job: kept.job, files: kept.files || {} };
    history.replaceState(null, "", location.pathname + location.search);
    if (carried.job) {
      try {
        return await take({ job: JSON.parse(carried.job.job), files: carried.job.files || {} });
      } catch {
        refused.replaceChildren("The link holds no job.");
      }
    }
    if (carried.readings && Array.isArray(carried.readings.readings)) {
      const next = structuredClone(state);
      delete next.job.readings_csv;
      bw.put(next.job, next.job.runs ? `runs[${next.job.runs.length - 1}].readings` : "readings", carried.readings.readings);
      if (carried.readings.light) next.job.light = carried.readings.light;
      return take(next);
    }
    form.render();
    points();
    show(null);
    return answer();
  }
  addEventListener("hashchange", () => { if (/^#(job|readings)=/.test(location.hash)) begin(); });
  await begin();
  place.dataset.ready = "yes";
})();
