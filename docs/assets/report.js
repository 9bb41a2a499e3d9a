// The report of a job as parts of a page.
"use strict";
(() => {
  const el = bw.element;
  const deg = (x) => x.toFixed(1);
  const rpm = (x) => x.toFixed(0);
  const head = (level, id, text) => el(`h${level}`, { id }, text);

  // parts(r, {drawing, see}) is all of a report below its answer; drawing is an element
  // or null, see(recipe) a link that shows a recipe moving, or null.
  function parts(r, { see }) {
    return [
      el("p", {}, r.units),
      r.curves.length ? el("details", {}, el("summary", {}, "The curves in numbers"), numbers(r)) : null,
      head(2, "report-findings", "What is wrong"),
      r.findings.length
        ? el("ol", {}, ...r.findings.map((f) => el("li", {}, f.text, f.evidence ? el("span.evidence", {}, ` Evidence: ${f.evidence}.`) : null)))
        : el("p", {}, r.readings && r.runs && r.runs.passed === false
          ? "The newest run does not pass, as stands under run by run. By itself it shows nothing else that is wrong."
          : r.readings ? "Nothing that these readings show." : "Without readings nothing is said of the present state."),
      r.readings ? present(r.readings) : null,
      r.runs ? runs(r.runs) : null,
      r.measured_springs ? el("div", {}, head(2, "report-springs", "Springs as measured"), lines(r.measured_springs)) : null,
      r.recipes.length || r.no_fit ? head(2, "report-recipes", "The best recipes from the drawer") : null,
      r.as_read ? el("p.caution", {}, r.as_read) : null,
      r.unproven ? el("p.caution", {}, r.unproven) : null,
      r.no_fit ? noFit(r.no_fit) : null,
      r.efforts ? efforts(r.efforts) : null,
      r.recipes.length ? el("div", {}, ...r.recipes.map((p) => recipe(p, see(p)))) : null,
      r.change ? change(r.change) : null,
      r.vacuum ? el("div", {}, head(2, "report-vacuum", "The vacuum unit and its hose"), lines(r.vacuum.advice)) : null,
      decided(r.decided),
    ].filter((part) => part !== null);
  }

  // present is the curve as the readings show it.
  function present(p) {
    const row = (name, e) => el("div", {}, el("dt", {}, name), el("dd", {}, e.text));
    return el("div", {}, head(2, "report-present", "The present curve"),
      el("dl.figures", {}, row("Static timing", p.static_deg), row("Begins", p.start_rpm), row("All in", p.all_in_rpm), row("Travel", p.travel_deg), row("Total", p.total_deg)),
      p.hose_adds ? el("p", {}, p.hose_adds) : null,
      p.left_open ? lines(p.left_open) : null,
      p.next_reading ? el("p", {}, el("strong", {}, "Next reading. "), p.next_reading) : null);
  }

  // answer is what to do, on one screen.
  function answer(a) {
    const entry = (name, list) => (list.length ? el("div", {}, el("dt", {}, name), ...list.map((t) => el("dd", {}, t))) : null);
    const rows = [entry("Fit", a.fit), entry("Set", a.set ? [a.set] : []), entry("Check", a.check),
      entry("Gains", a.gains ? [a.gains] : []), entry("Least sure", a.least_sure ? [a.least_sure] : [])];
    return el("div", { id: "answer" }, el("dl.fields", {}, ...rows.filter((row) => row !== null)),
      a.forbids ? el("p.caution", {}, a.forbids) : null);
  }

  // runs is the runs side by side, and the newest against what it should be.
  function runs(p) {
    const run = (x) => el("li", {}, el("strong", {}, x.label), ` (${x.parts}): begins ${x.start_rpm.text}, all in ${x.all_in_rpm.text}, travel ${x.travel_deg.text}. `,
      x.machine ? "Read on a machine: the zero is its own, so static timing and total are not known." : `Static ${x.static_deg.text}, total ${x.total_deg.text}.`);
    return el("div", {}, head(2, "report-runs", "Run by run"),
      el("ul", {}, ...p.runs.map(run)),
      p.changed ? el("p", {}, `Changed since the run before: ${p.changed.join("; ")}.`) : null,
      p.verdict ? el("p", {}, el("strong", {}, p.verdict)) : null,
      p.check ? bw.table(`Held against ${p.held_against}`, ["rpm", "light shows", "passes from", "to", "verdict"],
        p.check.map((x) => [rpm(x.rpm), deg(x.deg), deg(x.low_deg), deg(x.high_deg), x.passes ? "pass" : "FAIL"])) : null,
      p.do ? lines(p.do) : null,
      p.learned ? el("div", {}, head(3, "report-learned", "What the runs teach of the parts"), lines(p.learned)) : null);
  }

  // efforts says what each effort buys, least first.
  function efforts(list) {
    const effort = (e) => {
      const says = [`${e.recipe}.`];
      if (e.keeps_limits) says.push(`Keeps the limits, free of knock, in ${e.sure_pct.toFixed(0)} of 100 builds.`);
      if (e.keeps_limits && e.gain) says.push(`Over less effort: ${e.gain}.`);
      if (!e.keeps_limits && e.breaks) says.push(`Breaks ${e.breaks.join("; ")}.`);
      if (e.or) says.push(`Or, to the same curve: ${e.or.join("; or ")}.`);
      return el("li", {}, el("strong", {}, `${e.effort}${e.first ? " (the one to build)" : ""}: `), says.join(" "));
    };
    return el("div", {}, head(3, "report-efforts", "What each effort buys, least first"), el("ul", {}, ...list.map(effort)));
  }

  // change is what the clamp and the slot do to the present curve, parts untouched.
  function change(c) {
    const way = Math.abs(c.turn_deg) < 0.05 ? "set the timing with the light" : `${c.turn_deg < 0 ? "retard" : "advance"} the distributor by ${deg(Math.abs(c.turn_deg))} deg`;
    const turn = `${way}, to a static timing of ${deg(c.static_deg)} deg. The slot stays as it is.`;
    const travel = c.travel_off_deg >= 0 ? `take ${deg(c.travel_off_deg)} deg of travel away` : `give ${deg(-c.travel_off_deg)} deg more travel`;
    return el("div", {}, head(2, "report-change", "What clamp and slot alone do"),
      el("p", {}, `For a total of ${deg(c.total_deg)} deg crank (${c.total_of}): ${c.clamp_only ? turn : `${travel} and set ${deg(c.static_deg)} deg static.`}`),
      c.knock_margin_deg === undefined ? null : el("p", {}, `Knock: ${deg(Math.abs(c.knock_margin_deg))} deg ${c.knock_margin_deg < 0 ? "past" : "below"} the limit's best estimate at ${rpm(c.knock_margin_at_rpm)} rpm.`),
      c.notes ? el("div.caution", {}, ...c.notes.map((t) => el("p", {}, t))) : null);
  }

  // decided is what the answer rests on that the job does not say.
  function decided(list) {
    if (!list.length) return null;
    return el("div", {}, head(2, "report-decided", "What decided, as the job does not say"),
      lines(list.map((d) => `${d.field}: ${d.taken}. ${d.turns}`)));
  }

  // asks is what is not answered yet, or not wholly, and what it takes; go(field) leads
  // to where it is typed.
  function asks(stages, go) {
    const list = stages.filter((s) => s.missing && s.missing.length);
    if (!list.length) return null;
    const said = new Set();
    const need = (m) => {
      if (said.has(m.field)) return null;
      said.add(m.field);
      return el("li", {}, el("button.linklike", { type: "button", onclick: () => go(m.field) }, `${m.name ? `${m.name}: ` : ""}${words(m.field)}`), `: ${m.how}.`);
    };
    const stage = (s) => {
      const needs = s.missing.map(need).filter(Boolean);
      return el("li", {}, el("strong", {}, s.stage), ` would tell ${s.buys}.`, needs.length ? el("ul", {}, ...needs) : null);
    };
    return el("ul.asks", {}, ...list.map(stage));
  }

  // words names a field as the page does, where the page has it.
  function words(field) {
    for (const list of Object.values(bw.fields)) {
      for (const f of Array.isArray(list) ? list : list.fields || []) {
        if (f.key === field || field.endsWith(`].${f.key}`)) return f.label;
      }
    }
    return { distributor: "the mechanism's measures", drawer: "springs and weights", vacuum: "the vacuum unit", engine: "the engine", runs: "a run after the change", readings: "readings" }[field] || field;
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

  function recipe(p, see) {
    const springs = Object.entries(p.springs).map(([at, name]) => `${name} at ${at}`).sort().join(", ");
    const slot = p.slot_length_mm === 0 && Math.abs(p.travel_off_deg) < 0.3 ? "as it is"
      : p.slot_length_mm === 0 ? `take ${deg(p.travel_off_deg)} deg of travel away`
      : p.slot_closing_mm > 0.05 ? `close ${p.slot_closing_mm.toFixed(2)} mm, to ${p.slot_length_mm.toFixed(2)} mm`
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
        p.engine_known ? figure("Torque given up", `${p.torque_given_up_pct.toFixed(2)} %`) : figure("From the wanted curve", `${deg(p.from_wanted_curve_deg || 0)} deg (root mean square)`),
        figure("Parts changed", `${p.parts_changed}`)),
      see ? el("p", {}, see) : null,
      p.engine_known ? el("p", {}, `Knock: ${room(p)}.`) : null,
      odds(p.chances),
      p.most_sensitive_to ? el("p", {}, `Most sensitive to: ${p.most_sensitive_to}.`) : null,
      p.measure_first ? el("p", {}, `Measure first: ${p.measure_first}.`) : null,
      p.events && p.events.length ? el("ul", {}, ...p.events.map((e) => el("li", {}, el("strong", {}, e.kind), ` at ${rpm(e.rpm)} rpm, ${deg(e.mechanical_deg)} deg of mechanical advance: ${e.cause}.`))) : null);
  }

  const lines = (sentences) => el("ul", {}, ...sentences.map((s) => el("li", {}, s)));

  // sheet is the page for the garage wall: one side of A4 or Letter in print.
  function sheet(s, cautions) {
    const unsure = "So set the total, as above, and never set by idle.";
    const idle = s.start_not_certain && s.begun_at_idle >= 0.05
      ? `Of that, some ${deg(s.begun_at_idle)} may be mechanical advance already begun: how much is not certain. ${unsure}`
      : s.begun_at_idle >= 0.05
      ? `Of that, ${deg(s.begun_at_idle)} is mechanical advance already begun; static is ${deg(s.static_deg)}. Do not set ${deg(s.static_deg)} at idle: the total would be short by ${deg(s.begun_at_idle)}.`
      : s.start_not_certain ? `Whether the advance has begun there is not certain; if it has, the static timing is less. ${unsure}`
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
          " and turn the distributor until the light shows ", el("strong", {}, `${deg(s.set_deg)} deg BTDC`), ` (within ${deg(s.set_window_deg)}). With a dial-back light: dial ${deg(s.set_deg)} and bring the top-centre marks together.${s.set_below_all_in ? " The advance still rises there: hold the speed exactly, and no faster." : ""}${s.verify ? " No full load before the light and the check under load say so." : ""}`),
        el("li", {}, el("strong", {}, `Bring idle back to ${rpm(s.idle.rpm)} rpm if it has changed, then look: `), `the light must show ${deg(s.idle.rising)} (${deg(s.idle.low)} to ${deg(s.idle.high)}). ${idle} Found ______ left ______`),
        el("li", {}, el("strong", {}, "Check "), "the table, hose still off."),
        s.verify ? el("li", {}, el("strong", {}, "Verify under load before normal use, "), "hose still off.", lines(s.verify)) : null,
        s.hose ? el("li", {}, el("strong", {}, "Vacuum hose on."), lines(s.hose)) : null),
      s.rotor ? el("p", {}, `Full vacuum advance shifts the rotor by ${deg(s.rotor.shift_deg_dist)} distributor degrees under the cap.${rotor(s.rotor)}`) : null,
      el("div.sheet-tables", {},
        bw.table("Check: crank degrees BTDC, engine rpm", ["rpm", "rising", "falling", "passes from", "to", "found", "left"], s.check.map((c) => [rpm(c.rpm), deg(c.rising), deg(c.falling), deg(c.low), deg(c.high), "", ""])),
        s.bench ? bw.table("Bench: distributor alone, its own degrees and rpm, from rest", ["rpm dist", "rising", "falling"], s.bench.map((b) => [rpm(b.rpm_dist), deg(b.deg_dist), deg(b.falling_deg)])) : null,
        s.marks ? bw.table("Marks on the damper rim, ahead of the top-centre mark in the direction of rotation: they pass the pointer first", ["deg", "mm", "in"], s.marks.map((m) => [deg(m.deg), deg(m.rim_mm), (m.rim_mm / 25.4).toFixed(2)])) : null),
      el("div.sheet-cautions", {}, head(3, "sheet-cautions", "Cautions"), el("ul", {}, ...cautions.map((c) => el("li", {}, c)))),
      s.version ? el("p.sheet-version", {}, s.version) : null);
  }

  // rotor says how the tip stands to the terminal over the shift.
  function rotor(p) {
    if (!p.facing_deg_dist) return " Mark the rotor at the spark with the hose off and at full pull: tip and terminal must overlap at both ends.";
    const facing = `${deg(p.facing_deg_dist)} degrees to either side`;
    return p.leaves ? ` Tip and terminal overlap only ${facing}: the tip leaves the terminal. Limit the unit.` : ` Tip and terminal overlap ${facing}: let the middle of the shift stand at the terminal.`;
  }

  // slot says what to do to the slot that limits the travel.
  function slot(s) {
    const to = `${s.length_mm.toFixed(2)} mm (${(s.length_mm / 25.4).toFixed(3)} in)`;
    if (s.closing_mm > 0) return `close ${s.closing_mm.toFixed(2)} mm, to ${to}${s.bush_mm ? `; or a bush of ${s.bush_mm.toFixed(2)} mm (${(s.bush_mm / 25.4).toFixed(3)} in) on the pin` : ""}.`;
    if (s.closing_mm < 0) return `file off ${(-s.closing_mm).toFixed(2)} mm, to ${to}.`;
    return `stays as it is, ${to}.`;
  }

  bw.report = { parts, answer, asks, sheet };
})();
