// The mechanism under the reader's hands.
"use strict";
(async () => {
  const el = bw.element;
  const script = "assets/engine.js";
  const ask = bw.library(script);
  const place = document.getElementById("study");
  const tell = bw.teller(document.getElementById("told"), 800);
  const refused = document.getElementById("refused");
  const results = document.getElementById("results");
  const events = document.getElementById("events");
  const knobsBox = document.getElementById("knobs");
  const chart = bw.chart(document.getElementById("chart"), { label: "Advance over engine speed", x: [0, 4200], y: [0, 60] });

  if (!bw.first) {
    refused.textContent = "This copy of the site was built without the compiled library.";
    return;
  }
  // The library starts in the background; its answer from the building of the
  // site is drawn at once, and one computed here takes its place. A curve takes
  // this page less time than a message to a worker; the engine takes longer than a
  // reader should wait, and is asked there. A job that the link carries is opened in
  // place of the demo.
  let compute = null; // the library on this page, once it has started
  const started = bw.here(script);
  let begin = ["open", bw.demo];
  let start = structuredClone(bw.first.start);
  let last = bw.first.curve;
  try {
    const { job } = await bw.carried();
    if (job) {
      const library = await started;
      const carried = library("begin", job);
      if (!carried.shape) throw new Error("The job describes no mechanism, so the demo moves here: measures, weights and springs are needed.");
      const curve = library("mechanism", carried.knobs);
      [begin, start, last] = [["begin", job], carried, curve];
      document.getElementById("whose").textContent = `The knobs stand as in the job “${start.title}”${job.recipe ? ", with the parts, slot and static timing of its recipe" : ""}.`;
      document.getElementById("reset").textContent = "Back to the job";
    }
  } catch (e) {
    refused.textContent = e.message;
  }
  const opened = ask(...begin);
  const first = JSON.stringify([start.knobs, start.pump]);
  let knobs = start.knobs;
  let pump = start.pump;
  let engine = null;
  const controls = [];

  function slider(box, name, unit, low, high, step, get, set, changed) {
    const id = `knob-${controls.length}`;
    const digits = Math.max(0, Math.ceil(-Math.log10(step)));
    const shown = el("span.value", { "aria-hidden": "true" }); // a reader of the screen hears the slider's own value
    const input = el("input", { type: "range", id, min: low, max: high, step });
    const show = () => {
      const text = `${get().toFixed(digits)} ${unit}`;
      shown.textContent = text;
      input.setAttribute("aria-valuetext", text);
    };
    input.addEventListener("input", () => {
      set(Number(input.value));
      show();
      changed();
    });
    controls.push(() => {
      input.value = get();
      show();
    });
    box.append(el("div.knob", {}, el("label", { for: id }, name), input, shown));
    controls.at(-1)();
  }

  const group = (title) => {
    const box = el("fieldset", {}, el("legend", {}, title));
    knobsBox.append(box);
    return box;
  };

  const askEngine = bw.later(bw.latest(wanted), 250);

  start.places.forEach((name, i) => {
    const box = group(`Spring at ${name}`);
    const s = () => knobs.springs[i];
    const id = `fitted-${i}`;
    const fitted = el("input", { type: "checkbox", id, onchange: () => { s().fitted = fitted.checked; turn(); } });
    controls.push(() => { fitted.checked = s().fitted; });
    controls.at(-1)();
    box.append(el("div.tick", {}, fitted, el("label", { for: id }, "fitted")));
    slider(box, "Rate", "N/mm", 0.5, 20, 0.1, () => s().rate_N_per_mm, (x) => { s().rate_N_per_mm = x; }, turn);
    slider(box, "Free length", "mm", 23, 28, 0.1, () => s().free_mm, (x) => { s().free_mm = x; }, turn);
    slider(box, "Initial tension", "N", 0, 3, 0.02, () => s().initial_N, (x) => { s().initial_N = x; }, turn);
    slider(box, "Slack of the loop", "mm", 0, 6, 0.1, () => s().slack_mm, (x) => { s().slack_mm = x; }, turn);
  });
  const weights = group("Weights and slot");
  slider(weights, "Each weight", "g", 4, 30, 0.1, () => knobs.mass_g, (x) => { knobs.mass_g = x; }, turn);
  slider(weights, "Slot length", "mm", 5.5, 14, 0.1, () => knobs.slot_mm, (x) => { knobs.slot_mm = x; }, turn);
  slider(weights, "Friction", "mN m", 0, 5, 0.1, () => knobs.friction_mNm, (x) => { knobs.friction_mNm = x; }, turn);
  slider(weights, "Drag on the cam", "mN m", 0, 10, 0.1, () => knobs.drag_mNm, (x) => { knobs.drag_mNm = x; }, turn);
  const setting = group("Setting");
  slider(setting, "Static timing", "deg", -5, 30, 0.5, () => knobs.static_deg, (x) => { knobs.static_deg = x; }, turn);
  if (start.has_vacuum_unit) slider(setting, "Vacuum at the unit", "inHg", 0, 20, 0.5, () => knobs.vacuum_inHg, (x) => { knobs.vacuum_inHg = x; }, turn);
  const known = pump.compression_ratio > 0;
  const fuel = known ? group("Engine") : null;
  if (known) slider(fuel, "Research octane", "RON", 80, 100, 1, () => pump.ron, (x) => { pump.mon += 0.85 * (x - pump.ron); pump.ron = x; }, askEngine);
  if (known) slider(fuel, "Compression", ": 1", 6, 11, 0.1, () => pump.compression_ratio, (x) => { pump.compression_ratio = x; }, askEngine);

  document.getElementById("reset").addEventListener("click", () => {
    [knobs, pump] = JSON.parse(first);
    controls.forEach((c) => c());
    turn();
    if (known) askEngine();
  });

  function turn() {
    if (!compute) return; // as soon as it has started, the knobs as they then stand
    const begun = performance.now();
    const request = JSON.stringify(knobs);
    try {
      last = compute("mechanism", request);
      refused.textContent = "";
    } catch (e) {
      refused.textContent = e.message;
      return;
    }
    const took = performance.now() - begun;
    draw();
    Object.assign(place.dataset, { took, step: performance.now() - begun, answer: JSON.stringify(last), request });
    if (!place.dataset.live) place.dataset.live = performance.now();
    tell(sentences(last));
  }

  document.getElementById("to-bench").addEventListener("click", async (e) => {
    e.preventDefault();
    const { job, files } = begin[0] === "begin" ? begin[1] : { job: bw.demo, files: {} };
    location.href = `job.html#job=${await bw.pack({ job, files })}`;
  });

  async function wanted() {
    const asked = JSON.stringify(pump);
    try {
      engine = await ask("engine", asked);
      refused.textContent = "";
    } catch (e) {
      refused.textContent = e.message;
      return;
    }
    Object.assign(place.dataset, { engine: JSON.stringify(engine), pump: asked });
    compute("wants", engine);
    turn();
  }

  function draw() {
    const want = engine ? engine.want : [];
    const limited = want.filter((w) => w.knock_limited);
    const high = Math.max(...last.rising_deg, ...want.map((w) => w.mbt_deg), 30);
    chart.draw({
      x: [0, start.top_rpm],
      y: [Math.min(0, ...last.rising_deg), Math.ceil((high + 6) / 5) * 5],
      bands: [
        { name: "trace knock, 90 % band", look: "knock", x: limited.map((w) => w.rpm), low: limited.map((w) => w.limit_low_deg), high: limited.map((w) => w.limit_high_deg) },
        { name: "90 % of builds", look: "builds", x: last.low_deg ? last.rpm : [], low: last.low_deg, high: last.high_deg },
      ],
      lines: [
        { name: "speed rising", look: "rising", x: last.rpm, y: last.rising_deg },
        { name: "speed falling", look: "falling", x: last.rpm, y: last.falling_deg },
        { name: "trace knock, full load", look: "knock", x: limited.map((w) => w.rpm), y: limited.map((w) => w.limit_deg) },
        { name: "best torque, full load", look: "best", x: want.map((w) => w.rpm), y: want.map((w) => w.mbt_deg) },
      ],
      labels: ways(),
      marks: last.events.filter((e) => e.sweep === "rising" && e.rpm <= start.top_rpm).map((e) => ({ x: e.rpm, y: last.total_deg - last.travel_deg + last.vacuum_deg + e.mechanical_deg })),
    });
    moving.set(last, knobs.springs.map((s) => s.fitted), knobs.slot_mm);
    chart.label(`Advance over engine speed. ${sentences(last).join(" ")}`);
    const row = (name, value, id) => el("div", {}, el("dt", {}, name), el("dd", { id }, value));
    results.replaceChildren(
      row("Begins at", `${bw.rpm(last.start_rpm)} rpm`, "start"),
      row("Weights fully back at", `${bw.rpm(last.return_rpm)} rpm`, "return"),
      row("All in at", `${bw.rpm(last.all_in_rpm)} rpm`, "all-in"),
      row("Travel", `${bw.deg(last.travel_deg)} deg`, "travel"),
      row("Total, hose off", `${bw.deg(last.total_deg)} deg`, "total"),
      row(`Idle, ${bw.rpm(start.idle_rpm)} rpm, shows`, `${bw.deg(last.idle_deg)} deg`, "idle"),
      row("of it mechanical", `${bw.deg(last.begun_deg)} deg`, "begun"),
      row("Vacuum adds", `${bw.deg(last.vacuum_deg)} deg`, "pulled"),
      row(...margin(), "margin"),
    );
    events.replaceChildren(...last.events.map((e) => el("li", {},
      `Speed ${e.sweep}, ${bw.rpm(e.rpm)} rpm${Math.abs(e.to_rpm - e.rpm) > 0.5 ? ` to ${bw.rpm(e.to_rpm)}` : ""}, ${bw.deg(e.mechanical_deg)}${Math.abs(e.to_deg - e.mechanical_deg) > 0.05 ? ` to ${bw.deg(e.to_deg)}` : ""} deg of mechanical advance: `,
      el("strong", {}, e.kind), `, ${e.cause}.`)));
  }

  // margin is the distance to the knock limit, in words where it is passed.
  function margin() {
    if (last.margin_deg === null) return ["Below the knock limit by", engine ? "no knock found" : known ? "…" : "engine not described"];
    const where = `${bw.deg(Math.abs(last.margin_deg))} deg at ${bw.rpm(last.margin_rpm)} rpm`;
    return last.margin_deg < 0 ? ["Beyond the knock limit by", `${where}: it would knock`] : ["Below the knock limit by", where];
  }

  // ways names the two curves where they lie furthest apart.
  function ways() {
    const off = last.rpm.map((_, i) => last.falling_deg[i] - last.rising_deg[i]);
    const most = Math.max(...off);
    if (!(most > 1)) return [];
    const i = off.indexOf(most);
    return [{ x: last.rpm[i] + 40, y: last.rising_deg[i] - 2.5, text: "rising →", anchor: "start" }, { x: last.rpm[i] - 40, y: last.falling_deg[i] + 1.5, text: "← falling", anchor: "end" }];
  }

  // The place of the moving mechanism on the curve: a triangle that points the way the
  // speed goes.
  let where = null;
  function show(now) {
    where = now || where;
    if (!where) return;
    const [x, y] = [chart.toX(where.rpm), chart.toY(where.deg)];
    const s = where.rising ? 9 : -9;
    let mark = chart.over.firstElementChild;
    if (!mark) {
      mark = document.createElementNS("http://www.w3.org/2000/svg", "path");
      mark.setAttribute("class", "now");
      chart.over.append(mark);
    }
    mark.setAttribute("d", `M${x - s * 0.8} ${y - 7}L${x + s} ${y}L${x - s * 0.8} ${y + 7}Z`);
  }
  chart.onresize = () => show();

  function sentences(m) {
    const list = [
      `Begins at ${bw.rpm(m.start_rpm)} rpm.`, `All in at ${bw.rpm(m.all_in_rpm)} rpm.`,
      `Total ${bw.deg(m.total_deg)} degrees.`, `Idle shows ${bw.deg(m.idle_deg)} degrees.`,
    ];
    if (m.margin_deg !== null) list.push(`${bw.deg(Math.abs(m.margin_deg))} degrees ${m.margin_deg < 0 ? "past" : "below"} the knock limit at ${bw.rpm(m.margin_rpm)} rpm.`);
    return list;
  }

  const moving = bw.motion(document.getElementById("moving"), start.shape, start.top_rpm, show);
  draw();
  place.dataset.first = performance.now();
  try {
    const library = await started;
    library(...begin);
    compute = library;
    turn();
    place.dataset.ready = "curve";
    await opened;
    if (known) await wanted();
    place.dataset.ready = "engine";
  } catch (e) {
    refused.textContent = e.message;
  }
})();
