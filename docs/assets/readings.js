// Readings that can be dragged, and the curve that fits them.
"use strict";
(async () => {
  const el = bw.element;
  const ask = bw.library("assets/engine.js");
  const place = document.getElementById("study");
  const tell = bw.teller(document.getElementById("told"), 1000);
  const refused = document.getElementById("refused");
  const rows = document.querySelector("#table tbody");
  const estimates = document.getElementById("estimates");
  const findings = document.getElementById("findings");
  const angle = document.getElementById("angle");
  const speed = document.getElementById("speed");
  const chart = bw.chart(document.getElementById("chart"), { role: "group", label: "Readings over engine speed", x: [0, 4500], y: [0, 45] });
  const NS = "http://www.w3.org/2000/svg";

  if (!bw.first) {
    refused.textContent = "This copy of the site was built without the compiled library.";
    return;
  }
  // As on the page of the mechanism: the library's answer from the building of the
  // site is drawn at once, and the worker's own takes its place.
  let { start } = bw.first;
  let fit = bw.first.fit;
  let begin = ["open", bw.demo];
  try {
    const { job } = await bw.carried();
    if (job) {
      const own = await ask("begin", job);
      if (own.readings === null || own.readings.length < 3) throw new Error("The job has fewer than three readings with the hose off, so those of the demo stand here.");
      [start, begin] = [own, ["begin", job]];
      fit = await ask("readings", { readings: start.readings, angle_error_deg: start.angle_error_deg, speed_error_rpm: start.speed_error_rpm, band: true });
      document.getElementById("reset").textContent = "Back to the job";
    }
  } catch (e) {
    refused.textContent = e.message;
  }
  ask(...begin).catch((e) => { refused.textContent = e.message; });
  const most = 90;
  const fastest = 8000;
  let list = [];
  let dots = [];
  let cells = [];

  function reset() {
    list = start.readings.map((r) => ({ ...r }));
    angle.value = start.angle_error_deg;
    speed.value = start.speed_error_rpm;
    build();
  }

  const limit = (x, low, high) => Math.min(high, Math.max(low, x));
  const said = (r) => `${bw.rpm(r.rpm)} rpm, ${bw.deg(r.deg)} deg`;

  // One dot and one row for each reading: both move the same reading.
  function build() {
    dots = list.map((r, i) => {
      const dot = document.createElementNS(NS, "circle");
      for (const [k, v] of Object.entries({
        class: "dot", r: 8, tabindex: 0, role: "slider", "aria-label": `Reading ${i + 1}`, "aria-orientation": "vertical",
        "aria-valuemin": -30, "aria-valuemax": most,
      })) dot.setAttribute(k, v);
      dot.addEventListener("keydown", (e) => {
        const big = e.shiftKey ? 5 : 1;
        const by = { ArrowUp: [0, 0.5], ArrowDown: [0, -0.5], ArrowRight: [10, 0], ArrowLeft: [-10, 0] }[e.key];
        if (!by) return;
        e.preventDefault();
        move(i, r.rpm + by[0] * big, r.deg + by[1] * big);
      });
      dot.addEventListener("pointerdown", (e) => {
        dot.setPointerCapture(e.pointerId);
        dot.focus();
        e.preventDefault();
      });
      dot.addEventListener("pointermove", (e) => {
        if (!dot.hasPointerCapture(e.pointerId)) return;
        const box = chart.svg.getBoundingClientRect();
        move(i, Math.round(chart.fromX(e.clientX - box.left) / 5) * 5, Math.round(chart.fromY(e.clientY - box.top) * 10) / 10);
      });
      return dot;
    });
    chart.over.replaceChildren(...dots);
    cells = list.map((r, i) => {
      const field = (key, name, step) => el("input", {
        type: "number", step, value: r[key], "aria-label": `Reading ${i + 1}, ${name}`,
        onchange: (e) => move(i, key === "rpm" ? Number(e.target.value) : r.rpm, key === "deg" ? Number(e.target.value) : r.deg),
      });
      const c = { rpm: field("rpm", "rpm", 5), deg: field("deg", "degrees", 0.1), off: el("td") };
      c.row = el("tr", {}, el("th", { scope: "row" }, String(i + 1)), el("td", {}, c.rpm), el("td", {}, c.deg), c.off,
        el("td", {}, el("button", { type: "button", "aria-label": `Take reading ${i + 1} out`, onclick: () => { list.splice(i, 1); build(); } }, "×")));
      return c;
    });
    rows.replaceChildren(...cells.map((c) => c.row));
    put();
    turn();
  }

  function move(i, rpm, deg) {
    list[i].rpm = limit(rpm, 50, fastest);
    list[i].deg = limit(deg, -30, most);
    cells[i].rpm.value = list[i].rpm;
    cells[i].deg.value = list[i].deg;
    put();
    turn();
  }

  // Dots lie where the readings are, in the plane as it is drawn now.
  function put() {
    dots.forEach((d, i) => {
      d.setAttribute("cx", chart.toX(list[i].rpm));
      d.setAttribute("cy", chart.toY(list[i].deg));
      d.setAttribute("aria-valuenow", list[i].deg);
      d.setAttribute("aria-valuetext", said(list[i]));
    });
  }
  chart.onresize = put;

  const band = bw.later(bw.latest(() => refit(true)), 250);
  const turn = bw.latest(() => refit(false));
  async function refit(withBand) {
    // As the readings stand now, whatever is dragged meanwhile.
    const request = JSON.stringify({ readings: list, angle_error_deg: Number(angle.value), speed_error_rpm: Number(speed.value), band: withBand });
    try {
      fit = await ask("readings", request);
      refused.textContent = "";
    } catch (e) {
      refused.textContent = e.message;
      return;
    }
    draw();
    place.dataset.request = request;
    place.dataset.answer = JSON.stringify(fit);
    if (!place.dataset.live) place.dataset.live = performance.now();
    if (withBand) place.dataset.ready = "band";
    else band();
    tell([`Curve: ${fit.model}.`, ...fit.estimates.map((e) => `${e.name}: ${e.text}.`)]);
  }

  function draw() {
    const top = Math.max(45, ...list.map((r) => r.deg));
    chart.draw({
      x: [0, Math.ceil(Math.max(...list.map((r) => r.rpm)) / 500) * 500],
      y: [Math.min(0, ...list.map((r) => r.deg)), Math.ceil(top / 5) * 5],
      bands: fit.band_rpm ? [{ name: "95 % band", look: "builds", x: fit.band_rpm, low: fit.low_deg, high: fit.high_deg }] : [],
      lines: [{ name: "curve fitted", look: "rising", x: fit.rpm, y: fit.deg }],
    });
    put();
    dots.forEach((d, i) => d.classList.toggle("outlier", fit.outliers.includes(i)));
    cells.forEach((c, i) => {
      const off = fit.residuals_deg[i];
      if (off === undefined) return; // a reading added since, whose fit is on its way
      c.off.textContent = (off >= 0 ? "+" : "−") + Math.abs(off).toFixed(1) + (fit.outliers.includes(i) ? ", left out" : "");
    });
    document.getElementById("model").textContent = fit.model;
    estimates.replaceChildren(...fit.estimates.map((e) => el("div", {}, el("dt", {}, e.name), el("dd", {}, e.text))));
    findings.replaceChildren(...fit.findings.map((f) => el("li", {}, f.text)));
    if (!fit.findings.length) findings.append(el("li", {}, "Nothing that these readings show."));
  }

  angle.addEventListener("change", turn);
  speed.addEventListener("change", turn);
  document.getElementById("reset").addEventListener("click", reset);
  document.getElementById("add").addEventListener("click", () => {
    const end = list.at(-1) || { rpm: 500, deg: 10 };
    list.push({ rpm: limit(end.rpm + 100, 50, fastest), deg: end.deg });
    build();
  });
  document.getElementById("use").addEventListener("click", async () => {
    const readings = list.map((r) => ({ at: `${r.rpm} rpm crank`, shows: `${r.deg} deg crank`, ...(r.falling ? { falling: true } : {}) }));
    const light = { angle_error: `${angle.value} deg crank`, speed_error: `${speed.value} rpm crank` };
    location.href = `job.html#readings=${await bw.pack({ readings, light })}`;
  });
  reset();
  draw();
  place.dataset.first = performance.now();
})();
