// A job file dropped into the page: the whole report, and nothing leaves it.
"use strict";
(() => {
  const el = bw.element;
  const ask = bw.library("assets/job.engine.js");
  const place = document.getElementById("study");
  const pick = document.getElementById("files");
  const zone = document.getElementById("zone");
  const bar = document.getElementById("bar");
  const doing = document.getElementById("doing");
  const refused = document.getElementById("refused");
  const report = document.getElementById("report");

  pick.addEventListener("change", () => take([...pick.files]));
  document.getElementById("demo").addEventListener("click", () => work(bw.demo, {}));
  for (const kind of ["dragenter", "dragover"]) {
    zone.addEventListener(kind, (e) => {
      e.preventDefault();
      zone.classList.add("over");
    });
  }
  zone.addEventListener("dragleave", () => zone.classList.remove("over"));
  zone.addEventListener("drop", (e) => {
    e.preventDefault();
    zone.classList.remove("over");
    take([...e.dataTransfer.files]);
  });

  // take tells the job from the files that belong to it.
  async function take(files) {
    const jobs = files.filter((f) => /\.json$/i.test(f.name));
    if (jobs.length !== 1) {
      refused.textContent = `One job file that ends in .json is needed, with its .csv if it has one; ${jobs.length} came.`;
      return;
    }
    const others = {};
    for (const f of files) if (f !== jobs[0]) others[f.name] = await f.text();
    await work(await jobs[0].text(), others);
  }

  async function work(job, others) {
    refused.textContent = "";
    report.replaceChildren();
    files.forEach((f) => URL.revokeObjectURL(f));
    files = [];
    delete place.dataset.ready;
    bar.hidden = false;
    bar.value = 0;
    doing.textContent = "Loading the library";
    try {
      const answer = await ask("job", { job, files: others }, (what, done) => {
        doing.textContent = `${what}, ${Math.round(done * 100)} %`;
        bar.value = done;
      });
      place.answer = answer; // for tests and the curious
      show(answer, JSON.parse(answer.result));
      doing.textContent = "Done. The report follows.";
    } catch (e) {
      doing.textContent = "";
      refused.textContent = e.message.replace(/^dropped job: /, "");
    }
    bar.hidden = true;
    place.dataset.ready = "yes";
  }

  const deg = (x) => x.toFixed(1);
  const rpm = (x) => x.toFixed(0);
  const head = (level, id, text) => el(`h${level}`, { id }, text);

  // Files live as long as the report on the page that offers them.
  let files = [];
  function file(text, type) {
    files.push(URL.createObjectURL(new Blob([text], { type })));
    return files.at(-1);
  }
  const saver = (name, href) => el("a.button", { download: name, href }, `Save ${name}`);

  function show(answer, r) {
    const curve = file(answer.curve, "image/svg+xml");
    const drawing = answer.drawing ? file(answer.drawing, "image/svg+xml") : "";
    const plain = "text/plain;charset=utf-8";
    report.append(...[
      head(2, "report-title", r.title), el("p", {}, r.units),
      el("p.buttons", {},
        saver("sheet.txt", file(answer.sheet, plain)), saver("curve.svg", curve), saver("curves.csv", file(answer.table, "text/csv;charset=utf-8")),
        drawing ? saver("distributor.svg", drawing) : null,
        saver("result.json", file(answer.result, "application/json")), saver("report.txt", file(answer.report, plain)),
        r.sheet ? el("button", { type: "button", onclick: () => window.print() }, "Print the sheet") : null),
      el("div.plot", { tabindex: 0, role: "group", "aria-label": "Plot" }, el("img", { id: "curve", src: curve, alt: `Plot of the curves of ${r.title}; the table below it holds the same in numbers.` })),
      el("details", {}, el("summary", {}, "The curves in numbers"), numbers(r)),
      drawing ? el("details", {}, el("summary", {}, "The mechanism to scale, as the job gives it"),
        el("div.plot", { tabindex: 0, role: "group", "aria-label": "Drawing" }, el("img", { id: "drawing", src: drawing, alt: `Drawing of the distributor of ${r.title}, at rest and all in, with the dimensions that the job gives.` }))) : null,
      head(2, "report-findings", "What is wrong"),
      r.findings.length
        ? el("ol", {}, ...r.findings.map((f) => el("li", {}, f.text, f.evidence ? el("span.evidence", {}, ` Evidence: ${f.evidence}.`) : null)))
        : el("p", {}, "Nothing that these readings show."),
      head(2, "report-recipes", "The best recipes from the drawer"),
      r.unproven ? el("p.caution", {}, r.unproven) : null,
      r.recipes.length ? el("div", {}, ...r.recipes.map(recipe)) : noFit(r.no_fit),
    ].filter((part) => part !== null));
    if (r.sheet) report.append(sheet(r));
    report.append(
      el("details", {}, el("summary", {}, "The whole report as the command prints it"), el("pre", { tabindex: 0 }, el("code", {}, answer.report))));
  }

  // numbers is curves.csv as a table.
  function numbers(r) {
    const columns = [
      ["present", "present_deg"], ["new, rising", "rising_deg"], ["new, falling", "falling_deg"], ["passes from", "low_deg"], ["to", "high_deg"],
      ["best torque", "mbt_deg"], ["trace knock", "limit_deg"], ["band from", "limit_low_deg"], ["to", "limit_high_deg"],
    ];
    return bw.table("Crank degrees before top centre over engine rpm", ["rpm", ...columns.map((c) => c[0])],
      r.curves.map((row) => [rpm(row.rpm), ...columns.map((c) => (row[c[1]] === undefined ? "" : deg(row[c[1]])))]));
  }

  function noFit(n) {
    return el("div", {}, el("p", {}, n.text), el("ul", {}, ...(n.reasons || []).map((t) => el("li", {}, t))), ...[n.spring_that_would_fit, n.knock, n.doubt].filter(Boolean).map((t) => el("p", {}, t)));
  }

  // room says how a recipe stands to the knock limit.
  function room(p) {
    const where = `${deg(Math.abs(p.knock_margin_deg))} deg ${p.knock_margin_deg < 0 ? "beyond" : "below"} the limit's best estimate at ${rpm(p.knock_margin_at_rpm)} rpm`;
    return `${where}; chance ${p.knock_chance_pct < 1 ? "less than 1" : p.knock_chance_pct.toFixed(0)} %`;
  }

  // odds says which limits a build may miss.
  function odds(chances) {
    const all = "all of them";
    const risky = (chances || []).filter((c) => c.pct < 99.5 || c.limit === all)
      .map((c) => `${c.pct.toFixed(0)} keep ${c.limit === all ? "every limit" : `“${c.limit}”`}`);
    return risky.length ? el("p", {}, `Of 100 careful builds ${risky.join(", ")}.`) : null;
  }

  function recipe(p) {
    const springs = Object.entries(p.springs).map(([at, name]) => `${name} at ${at}`).sort().join(", ");
    const slot = p.slot_closing_mm > 0.05 ? `close ${p.slot_closing_mm.toFixed(2)} mm, to ${p.slot_length_mm.toFixed(2)} mm`
      : p.slot_closing_mm < -0.05 ? `file off ${(-p.slot_closing_mm).toFixed(2)} mm, to ${p.slot_length_mm.toFixed(2)} mm`
        : `as it is, ${p.slot_length_mm.toFixed(2)} mm`;
    const figure = (name, value) => el("div", {}, el("dt", {}, name), el("dd", {}, value));
    return el("section.recipe", {},
      el("h3", { id: `recipe-${p.rank}` }, `${p.rank}. ${springs}; weights ${p.weights}`),
      el("dl.figures", {},
        figure("Static + travel = total", `${deg(p.static_deg)} + ${deg(p.travel_deg)} = ${deg(p.total_deg)} deg`),
        figure("Slot", slot),
        figure("Begins at", `${rpm(p.start_rpm)} rpm`),
        figure("Weights fully back at", `${rpm(p.return_rpm)} rpm`),
        figure("All in at", `${rpm(p.all_in_rpm)} rpm (${rpm(p.all_in_low_rpm)} to ${rpm(p.all_in_high_rpm)})`),
        figure("Idle will show", `${deg(p.idle_reading_deg)} deg`),
        figure("Torque given up", `${p.torque_given_up_pct.toFixed(2)} %`),
        figure("Parts changed", `${p.parts_changed}`)),
      el("p", {}, `Knock: ${room(p)}.`),
      odds(p.chances),
      p.most_sensitive_to ? el("p", {}, `Most sensitive to: ${p.most_sensitive_to}.`) : null,
      p.measure_first ? el("p", {}, `Measure first: ${p.measure_first}.`) : null,
      p.events && p.events.length ? el("ul", {}, ...p.events.map((e) => el("li", {}, el("strong", {}, e.kind), ` at ${rpm(e.rpm)} rpm, ${deg(e.mechanical_deg)} deg of mechanical advance: ${e.cause}.`))) : null);
  }

  const lines = (sentences) => el("ul", {}, ...sentences.map((s) => el("li", {}, s)));

  // sheet is the page for the garage wall: one side of A4 or Letter in print.
  function sheet(r) {
    const s = r.sheet;
    const idle = s.begun_at_idle >= 0.05
      ? `Of that, ${deg(s.begun_at_idle)} is mechanical advance already begun; static is ${deg(s.static_deg)}. Do not set ${deg(s.static_deg)} at idle: the total would be short by ${deg(s.begun_at_idle)}.`
      : "The advance has not begun there: this is the static timing.";
    const part = (p) => `${p.place}: ${p.name}${p.changed ? "" : " (stays)"}`;
    return el("section.set-sheet", { id: "sheet" },
      head(2, "sheet-title", "Setting and check sheet"), el("p.sheet-job", {}, s.title),
      el("p.sheet-blanks", {}, "Vehicle ______________ Distributor tag ____________ Date __________"),
      s.warnings ? el("div.caution", {}, ...s.warnings.map((t) => el("p", {}, t))) : null,
      s.recipe ? el("p", {}, el("strong", {}, "Recipe "), s.recipe) : null,
      s.parts ? el("p", {}, el("strong", {}, "Fit "), s.parts.map(part).join("; "), ".") : null,
      s.slot ? el("p", {}, el("strong", {}, "Slot "), slot(s.slot)) : null,
      el("ol", {},
        el("li", {}, el("strong", {}, "Contact points: "), `set gap or dwell first. A distributor degree of dwell less moves the timing ${deg(s.dwell_shift_deg)} deg earlier.`),
        el("li", {}, el("strong", {}, "Set. "), "Engine warm, vacuum hose off and plugged. Hold ", el("strong", {}, `${rpm(s.set_rpm)} rpm`),
          " and turn the distributor until the light shows ", el("strong", {}, `${deg(s.set_deg)} deg BTDC`), ` (within ${deg(s.set_window_deg)}). With a dial-back light: dial ${deg(s.set_deg)} and bring the top-centre marks together.${s.set_below_all_in ? " The advance still rises there: hold the speed exactly, and no faster." : ""}${s.verify ? " No full load before it is verified, below." : ""}`),
        el("li", {}, el("strong", {}, `Look at idle, ${rpm(s.idle.rpm)} rpm: `), `the light must show ${deg(s.idle.rising)} (${deg(s.idle.low)} to ${deg(s.idle.high)}). ${idle} Found ______ left ______`),
        el("li", {}, el("strong", {}, "Check "), "the table, hose still off."),
        s.verify ? el("li", {}, el("strong", {}, "Verify under load before normal use, "), "hose still off.", lines(s.verify)) : null,
        s.hose ? el("li", {}, el("strong", {}, "Vacuum hose on."), lines(s.hose)) : null),
      s.rotor ? el("p", {}, `Full vacuum advance shifts the rotor by ${deg(s.rotor.shift_deg_dist)} distributor degrees under the cap.${s.rotor.facing_deg_dist ? ` Tip and terminal overlap ${deg(s.rotor.facing_deg_dist)} degrees to either side${s.rotor.leaves ? ": the tip leaves the terminal. Limit the unit." : "."}` : " Tip and terminal must overlap at both ends."}`) : null,
      el("div.sheet-tables", {},
        bw.table("Check: crank degrees BTDC, engine rpm", ["rpm", "rising", "falling", "passes from", "to", "found", "left"], s.check.map((c) => [rpm(c.rpm), deg(c.rising), deg(c.falling), deg(c.low), deg(c.high), "", ""])),
        s.bench ? bw.table("Bench: distributor alone, its own degrees and rpm, from rest", ["rpm dist", "rising", "falling"], s.bench.map((b) => [rpm(b.rpm_dist), deg(b.deg_dist), deg(b.falling_deg)])) : null,
        s.marks ? bw.table("Marks on the damper rim, ahead of the top-centre mark in the direction of rotation: they pass the pointer first", ["deg", "mm", "in"], s.marks.map((m) => [deg(m.deg), deg(m.rim_mm), (m.rim_mm / 25.4).toFixed(2)])) : null),
      el("div.sheet-cautions", {}, head(3, "sheet-cautions", "Cautions"), el("ul", {}, ...r.cautions.map((c) => el("li", {}, c)))),
      s.version ? el("p.sheet-version", {}, s.version) : null);
  }

  // slot says what to do to the slot that limits the travel.
  function slot(s) {
    const to = `${s.length_mm.toFixed(2)} mm (${(s.length_mm / 25.4).toFixed(3)} in)`;
    if (s.closing_mm > 0) return `close ${s.closing_mm.toFixed(2)} mm, to ${to}${s.bush_mm ? `; or a bush of ${s.bush_mm.toFixed(2)} mm (${(s.bush_mm / 25.4).toFixed(3)} in) on the pin` : ""}.`;
    if (s.closing_mm < 0) return `file off ${(-s.closing_mm).toFixed(2)} mm, to ${to}.`;
    return `stays as it is, ${to}.`;
  }
})();
