// The checks, in the order in which a reader would meet what they look at.
//
//	node browser.mjs SITE WORK
//
// WORK holds the programs "native" and the folder "recurve" with what the command
// wrote for the demo job. Screenshots go to shots/ beside this file.
import { chromium } from "playwright-core";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { along, apart, check, finish, native, quantile, serve } from "./support.mjs";

const [, , folder, work] = process.argv;
const here = dirname(fileURLToPath(import.meta.url));
const shots = join(here, "shots");
await mkdir(shots, { recursive: true });
const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const demo = await readFile(join(folder, "reference/demo.json"), "utf8");
const pages = JSON.parse(await readFile(join(folder, "made-by-docs.json"), "utf8")).filter((n) => n.endsWith(".html"));
const server = await serve(folder);
const library = native(join(work, "native"));
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox", "--disable-dev-shm-usage"] });

// visit opens a page and complains of whatever it logs as an error or asks of
// anywhere but its own site.
async function visit(name, { base = server.url, width = 1280, height = 900, dark = false, print = false } = {}) {
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: dark ? "dark" : "light", acceptDownloads: true });
  const page = await context.newPage();
  page.on("console", (m) => { if (m.type() === "error") check(false, `${name}: the console says ${m.text()}`); });
  page.on("pageerror", (e) => check(false, `${name}: ${e}`));
  page.on("requestfailed", (r) => check(false, `${name}: ${r.url().slice(0, 100)} failed`));
  page.on("request", (r) => {
    const url = r.url();
    if (!url.startsWith(base) && !url.startsWith("blob:") && !url.startsWith("data:")) check(false, `${name} asks for ${url}`);
  });
  await page.goto(base + name, { waitUntil: "load" });
  if (print) await page.emulateMedia({ media: "print" });
  return page;
}

const ready = (page, ...states) => page.waitForFunction((s) => s.includes(document.getElementById("study").dataset.ready), states, { timeout: 120000 });
// answered returns a request with its answer, read at one moment.
const answered = (page) => page.evaluate(() => {
  const { request, answer } = document.getElementById("study").dataset;
  return { request: JSON.parse(request), answer: JSON.parse(answer) };
});
const answer = (page, key = "answer") => page.evaluate((k) => JSON.parse(document.getElementById("study").dataset[k]), key);
const close = (page) => page.context().close();

// accessible complains of whatever the checker finds, of any level.
async function accessible(page, name) {
  await page.evaluate(axe);
  const found = await page.evaluate(async () => (await window.axe.run(document, { resultTypes: ["violations"], preload: false })).violations
    .map((v) => `${v.impact}: ${v.id}: ${v.nodes.slice(0, 2).map((n) => n.target.join(" ") + ": " + (n.any[0]?.message || "")).join("; ")}`));
  check(found.length === 0, `${name}: ${found.join("; ")}`);
}

// fits complains of a page that scrolls sideways on a phone.
async function fits(page, name) {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  check(over <= 0, `${name} is ${over} px too wide for a phone`);
}

// 0. What pages load to compute stays small, all of it together.
let weight = 0;
for (const name of ["assets/engine.js", "assets/job.engine.js"]) {
  const [, packed] = (await readFile(join(folder, name), "utf8")).match(/= "([^"]+)"/);
  const bytes = Buffer.from(packed, "base64").length;
  console.log(`${name}: ${(bytes / 1e6).toFixed(2)} MB of WebAssembly, compressed`);
  weight += bytes;
}
check(weight < 6e6, `the compiled libraries weigh ${weight} bytes`);

// prints complains of a sheet that takes more than one side.
async function prints(page, name) {
  for (const format of ["A4", "Letter"]) {
    const pdf = await page.pdf({ format, preferCSSPageSize: false, margin: { top: "11mm", bottom: "11mm", left: "11mm", right: "11mm" } });
    await writeFile(join(shots, `${name}-${format}.pdf`), pdf);
    const sides = (pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g) || []).length;
    check(sides === 1, `the ${name} takes ${sides} sides of ${format}`);
  }
}

// 1. Every page: no error, no request elsewhere, nothing for the checker of
// accessibility to find, fits a phone.
for (const name of pages) {
  const page = await visit(name, { width: 390, height: 844 });
  await fits(page, name);
  if (!name.startsWith("live/") || name === "live/index.html") await accessible(page, name);
  await close(page);
}

// 2. The same from a folder, without a server, and in the dark.
const disk = pathToFileURL(folder + "/").href;
for (const name of ["index.html", "theory/flyweights.html", "checked.html"]) {
  const page = await visit(name, { base: disk, dark: true });
  await accessible(page, `${name} in the dark`);
  await page.screenshot({ path: join(shots, name.replace(/\W/g, "-") + "-dark.png") });
  await close(page);
}
for (const [name, width] of [["index.html", 1280], ["index.html", 390], ["job/read.html", 390], ["theory/flyweights.html", 1280], ["theory/knock.html", 390], ["checked.html", 1280], ["reference/flyweights.html", 1280], ["reference/job-file.html", 390], ["studies/index.html", 1280], ["embed.html", 1280]]) {
  const page = await visit(name, { width });
  await page.screenshot({ path: join(shots, `${name.replace(/\W/g, "-")}-${width}.png`) });
  await close(page);
}

// 3. How to embed the curve, in three clicks from the front page.
{
  const page = await visit("index.html");
  await page.getByRole("main").getByRole("link", { name: "Use it in a program" }).click();
  check(await page.getByText("flyweights.Mechanism{").count() > 0, "one click from the front page leads to the program");
  await close(page);
}

// 4. The mechanism: the library's numbers, from a server and from a folder.
await library.ask("open", demo);
for (const base of [server.url, disk]) {
  const where = base === disk ? "mechanism from a folder" : "mechanism";
  const page = await visit("live/mechanism.html", { base });
  await ready(page, "engine");
  const { first, live } = await page.evaluate(() => ({ ...document.getElementById("study").dataset }));
  console.log(`${where}: first curve ${Number(first).toFixed(0)} ms after opening, the first one computed in the browser ${Number(live).toFixed(0)} ms`);

  const engine = await answer(page, "engine");
  const begin = await library.ask("open", demo);
  check(apart(engine, await library.ask("engine", begin.pump)) === "", `${where}: the engine's wishes are the library's`);
  const same = async (what) => {
    const now = await answered(page);
    const d = apart(now.answer, await library.ask("mechanism", now.request));
    check(d === "", `${where}, ${what}: ${d}`);
  };
  await same("at first");
  const shown = async (id) => (await page.locator(`#${id}`).textContent());
  const now = await answer(page);
  check(await shown("start") === `${now.start_rpm.toFixed(0)} rpm`, "what is shown is what was computed");
  check(await shown("total") === `${now.total_deg.toFixed(1)} deg`, "the total is shown");

  // Every knob, by keyboard.
  const knobs = await page.getByRole("slider").all();
  check(knobs.length >= 16, `${knobs.length} knobs`);
  const steps = [];
  const library_steps = [];
  for (const knob of knobs) {
    const before = await answer(page, "request");
    const label = await knob.evaluate((k) => k.labels[0].textContent);
    await knob.focus();
    for (let i = 0; i < 4; i++) {
      await page.evaluate(() => { delete document.getElementById("study").dataset.step; });
      await knob.press(i < 2 ? "ArrowRight" : "ArrowLeft");
      if (/octane|Compression/.test(label)) continue;
      await page.waitForFunction(() => document.getElementById("study").dataset.step !== undefined);
      steps.push(await page.evaluate(() => Number(document.getElementById("study").dataset.step)));
      library_steps.push(await page.evaluate(() => Number(document.getElementById("study").dataset.took)));
      if (i === 1) {
        check(JSON.stringify(await answer(page, "request")) !== JSON.stringify(before), `${label} turns`);
        await same(label);
      }
    }
  }
  console.log(`${where}: a step of a slider takes ${quantile(steps, 0.5).toFixed(1)} ms (median), ${quantile(steps, 0.95).toFixed(1)} ms (p95) with drawing, ${quantile(library_steps, 0.95).toFixed(1)} ms (p95) of it the library, over ${steps.length} steps`);

  // A spring taken off lets the weights go sooner.
  await page.getByRole("checkbox", { name: "fitted" }).first().uncheck();
  await page.waitForFunction((before) => JSON.parse(document.getElementById("study").dataset.answer).start_rpm < before, now.start_rpm, { timeout: 60000 });
  await same("a spring taken off");
  // Less octane brings the limit down.
  const octane = page.getByRole("slider", { name: "Research octane" });
  await octane.press("ArrowLeft");
  await page.waitForFunction((ron) => JSON.parse(document.getElementById("study").dataset.pump).ron < ron, begin.pump.ron, { timeout: 60000 });
  check((await answer(page, "engine")).want[1].limit_deg < engine.want[1].limit_deg, "less octane, lower limit");

  await page.getByRole("button", { name: "Back to the demo" }).click();
  await page.waitForFunction((t) => JSON.parse(document.getElementById("study").dataset.answer).total_deg === t, now.total_deg, { timeout: 60000 });
  // A reader of the screen hears what a knob changed, and nothing else, when it rests.
  await page.waitForFunction((ron) => JSON.parse(document.getElementById("study").dataset.pump).ron === ron, begin.pump.ron, { timeout: 60000 });
  await page.waitForTimeout(2000);
  await page.getByRole("slider", { name: "Static timing" }).press("ArrowRight");
  const heard = `Total ${(now.total_deg + 0.5).toFixed(1)} degrees. Idle shows ${(now.idle_deg + 0.5).toFixed(1)} degrees.`;
  await page.waitForFunction((t) => document.getElementById("told").textContent.startsWith(t), heard, { timeout: 60000 });
  await close(page);
}

// 5. Readings: by pointer, by keyboard, by table.
{
  const page = await visit("live/readings.html");
  await ready(page, "band");
  const { first, live } = await page.evaluate(() => ({ ...document.getElementById("study").dataset }));
  console.log(`readings: first curve ${Number(first).toFixed(0)} ms after opening, the first one computed in the browser ${Number(live).toFixed(0)} ms`);
  const same = async (what) => {
    await page.waitForTimeout(100);
    const now = await answered(page);
    // A fit ends where the deviance falls by less than 1e-4, a hundredth of a
    // standard error; another processor's last digits may stop it elsewhere within
    // that, and may draw a corner of the curve with one point or with two. Numbers
    // in sentences are rounded from these.
    const bare = (a) => {
      const plain = JSON.parse(JSON.stringify(a), (k, v) => (typeof v === "string" ? v.replace(/[\d.]+/g, "#") : v));
      return { ...plain, rpm: [a.rpm[0], a.rpm.at(-1)], deg: along(a.rpm, a.deg, 60) };
    };
    const d = apart(bare(now.answer), bare(await library.ask("readings", now.request)), "", 1e-3);
    check(d === "", `readings, ${what}: ${d}`);
  };
  await same("at first");
  const settled = (i, key, want) => page.waitForFunction(([i, key, want]) => {
    const r = JSON.parse(document.getElementById("study").dataset.request).readings[i][key];
    return Math.abs(r - want) < 1e-9;
  }, [i, key, want], { timeout: 60000 });
  const { readings: begun } = await answer(page, "request");
  const dot = page.getByRole("slider", { name: "Reading 4", exact: true });
  await dot.focus();
  await dot.press("ArrowUp");
  await settled(3, "deg", begun[3].deg + 0.5);
  await same("by keyboard");
  const box = await page.getByRole("slider", { name: "Reading 5", exact: true }).boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2, box.y - 60, { steps: 8 });
  await page.mouse.up();
  await page.waitForFunction((low) => JSON.parse(document.getElementById("study").dataset.request).readings[4].deg > low, begun[4].deg + 3, { timeout: 60000 });
  await page.waitForTimeout(1500);
  await ready(page, "band");
  await same("by pointer");
  await page.getByRole("button", { name: "Back to the demo" }).click();
  await settled(4, "deg", begun[4].deg);
  const cell = page.getByRole("spinbutton", { name: "Reading 9, degrees" });
  const slip = begun[8].deg + 15;
  await cell.fill(String(slip));
  await cell.press("Tab");
  await settled(8, "deg", slip);
  await page.waitForFunction(() => JSON.parse(document.getElementById("study").dataset.answer).outliers.includes(8), null, { timeout: 60000 });
  await same("a slip is named");
  await accessible(page, "live/readings.html");
  await page.screenshot({ path: join(shots, "readings-1280.png"), fullPage: true });
  await close(page);
}

// 6. A job dropped: the command's files, byte for byte; the sheet on one page.
const wanted = {};
for (const name of ["result.json", "sheet.txt", "curves.csv", "curve.svg"]) wanted[name] = await readFile(join(work, "recurve", name), "utf8");
for (const base of [server.url, disk]) {
  const where = base === disk ? "job from a folder" : "job";
  const page = await visit("live/job.html", { base });
  const begun = performance.now();
  await page.getByRole("button", { name: "work the demo job" }).click();
  await ready(page, "yes");
  console.log(`${where}: the demo job takes ${((performance.now() - begun) / 1000).toFixed(1)} s`);
  const same = async (what) => {
    const a = await page.evaluate(() => document.getElementById("study").answer);
    for (const [name, got] of [["result.json", a.result], ["sheet.txt", a.sheet], ["curves.csv", a.table], ["curve.svg", a.curve]]) {
      check(got === wanted[name], `${where}, ${what}: ${name} is the command's`);
    }
  };
  await same("the demo");
  for (const [name, text] of Object.entries(wanted)) {
    const [saved] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: `Save ${name}` }).click()]);
    check(saved.suggestedFilename() === name && await readFile(await saved.path(), "utf8") === text, `${where}: the saved ${name} is the command's`);
  }
  check(await page.locator("#curve").evaluate(async (i) => { await i.decode(); return await (await fetch(i.src)).text(); }) === wanted["curve.svg"], `${where}: the plot on the page is the command's`);

  // A file from the disk, with its readings in a file of their own.
  const job = JSON.parse(demo);
  const csv = ["rpm crank,deg crank", ...job.readings.map((r) => `${r.at.split(" ")[0]},${r.shows.split(" ")[0]}`)].join("\n");
  delete job.readings;
  job.readings_csv = "light.csv";
  await page.getByLabel(/Job file/).setInputFiles([
    { name: "mine.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(job)) },
    { name: "light.csv", mimeType: "text/csv", buffer: Buffer.from(csv) },
  ]);
  await page.waitForFunction(() => !document.getElementById("study").dataset.ready);
  await ready(page, "yes");
  await same("readings from a CSV file");

  // The same by drop.
  const data = await page.evaluateHandle((text) => {
    const d = new DataTransfer();
    d.items.add(new File([text], "mine.json", { type: "application/json" }));
    return d;
  }, demo);
  await page.locator("#zone").dispatchEvent("drop", { dataTransfer: data });
  await page.waitForFunction(() => !document.getElementById("study").dataset.ready);
  await ready(page, "yes");
  await same("a dropped file");

  if (base !== disk) {
    await accessible(page, "live/job.html");
    await page.screenshot({ path: join(shots, "job-1280.png"), fullPage: true });
    await prints(page, "sheet");
    // What stands on the sheet is what stands in the result.
    const sheet = JSON.parse(wanted["result.json"]).sheet;
    const cells = await page.locator("#sheet tbody tr").allInnerTexts();
    check(sheet.check.every((row, i) => cells[i].trim().split(/\s+/).join(" ") === [row.rpm.toFixed(0), row.rising.toFixed(1), row.falling.toFixed(1), row.low.toFixed(1), row.high.toFixed(1)].join(" ")), "the table of the sheet");
  }
  // With nothing heard on the engine the page warns, and the sheet says how to prove
  // the total; it still takes one side.
  if (base !== disk) {
    const unheard = JSON.parse(demo);
    delete unheard.engine.observed;
    await page.getByLabel(/Job file/).setInputFiles([{ name: "unheard.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(unheard)) }]);
    await page.waitForFunction(() => !document.getElementById("study").dataset.ready);
    await ready(page, "yes");
    const answer = JSON.parse(await page.evaluate(() => document.getElementById("study").answer.result));
    const text = await page.locator("#report").innerText();
    check(answer.sheet.verify.length > 1 && answer.sheet.verify.every((s) => text.includes(s)), "the sheet on the page says how to prove the total");
    check(!answer.unproven || text.includes(answer.unproven), "the page warns of a limit that nobody heard");
    await accessible(page, "live/job.html, nothing heard");
    await prints(page, "sheet-unheard");
  }
  // A job with readings only, one with its parts, one with runs: what the report
  // answers stands on the page, and the sheet still takes one side.
  if (base !== disk) {
    for (const stage of ["saloon-1", "saloon-2", "saloon-3"]) {
      const text = await readFile(join(here, "../../examples/recurve", `${stage}.json`), "utf8");
      await page.getByLabel(/Job file/).setInputFiles([{ name: `${stage}.json`, mimeType: "application/json", buffer: Buffer.from(text) }]);
      await page.waitForFunction(() => !document.getElementById("study").dataset.ready);
      await ready(page, "yes");
      check(await page.locator("#refused").textContent() === "", `${stage} is worked: ${await page.locator("#refused").textContent()}`);
      const r = JSON.parse(await page.evaluate(() => document.getElementById("study").answer.result));
      const shown = await page.locator("#report").innerText();
      const says = [...r.answer.fit, r.answer.set, ...r.answer.check, r.runs?.verdict, ...(r.runs?.learned || []),
        ...(r.efforts || []).map((e) => e.recipe), ...r.decided.map((d) => d.turns), ...r.stages.filter((s) => s.missing).map((s) => s.buys)];
      for (const sentence of says.filter(Boolean)) check(shown.includes(sentence), `${stage}: the page says ${sentence}`);
      check((await page.locator("#report-runs").count() > 0) === (stage === "saloon-3"), `${stage}: runs are shown where there are any`);
      await accessible(page, `live/job.html, ${stage}`);
      await page.screenshot({ path: join(shots, `${stage}-1280.png`), fullPage: true });
      await prints(page, stage);
    }
  }
  await page.getByLabel(/Job file/).setInputFiles([{ name: "bad.json", mimeType: "application/json", buffer: Buffer.from(demo.replace('"88 mm"', '"88"')) }]);
  await page.waitForFunction(() => document.getElementById("refused").textContent.includes("line"), null, { timeout: 60000 });
  const said = await page.locator("#refused").textContent();
  check(said.includes("engine.bore") && said.includes("unit"), `${where}: a bare number is refused: ${said}`);
  await close(page);
}

// 7. The keyboard's path: skip link, then the first knob, and back out.
{
  const page = await visit("live/mechanism.html");
  await ready(page, "engine");
  await page.keyboard.press("Tab");
  check(await page.evaluate(() => document.activeElement.className === "skip"), "the first Tab offers to skip");
  await page.keyboard.press("Enter");
  check(await page.evaluate(() => document.activeElement.id === "main"), "skipping leads to the text");
  const met = [];
  for (let i = 0; i < 40; i++) {
    await page.keyboard.press("Tab");
    met.push(await page.evaluate(() => {
      const e = document.activeElement;
      const ring = getComputedStyle(e);
      return { what: e.type || e.tagName, name: e.labels?.[0]?.textContent || e.textContent.trim().slice(0, 30), ring: ring.outlineStyle !== "none" && parseFloat(ring.outlineWidth) > 0 };
    }));
  }
  check(met.filter((m) => m.what === "range").length >= 16, "Tab meets every knob");
  check(met.some((m) => m.name === "Back to the demo"), "Tab meets the button");
  check(met.filter((m) => m.what !== "BODY").every((m) => m.ring), "what has the focus shows it");
  await accessible(page, "live/mechanism.html");
  await page.screenshot({ path: join(shots, "mechanism-1280.png") });
  await close(page);
}

// 8. Phone width and dark.
for (const [name, state] of [["live/mechanism.html", "engine"], ["live/readings.html", "band"]]) {
  const page = await visit(name, { width: 390, height: 844, dark: true });
  await ready(page, state);
  await fits(page, name);
  await accessible(page, `${name} on a phone in the dark`);
  // Nothing moves by itself for who asked for that, and what has the focus is not
  // hidden under the drawing that stays in sight.
  await page.emulateMedia({ reducedMotion: "reduce" });
  check(await page.evaluate(() => getComputedStyle(document.documentElement).scrollBehavior) === "auto", `${name}: pages jump, not glide, where less motion is wanted`);
  await page.locator(".bench input").last().focus();
  for (let i = 0; i < 12; i++) {
    await page.keyboard.press("Shift+Tab");
    const hidden = await page.evaluate(() => {
      const e = document.activeElement;
      const b = e.getBoundingClientRect();
      const seen = document.elementFromPoint(b.x + b.width / 2, b.y + b.height / 2);
      return e === seen || e.contains(seen) ? "" : e.id || e.getAttribute("aria-label");
    });
    check(hidden === "", `${name}: ${hidden} has the focus behind something else`);
  }
  await page.evaluate(() => scrollTo(0, 0));
  await page.screenshot({ path: join(shots, `${name.replace(/\W/g, "-")}-390-dark.png`) });
  await close(page);
}
{
  const page = await visit("live/job.html", { width: 390, height: 844, dark: true });
  await page.getByRole("button", { name: "work the demo job" }).click();
  await ready(page, "yes");
  await fits(page, "live/job.html");
  await accessible(page, "live/job.html on a phone in the dark");
  await page.screenshot({ path: join(shots, "job-390-dark.png"), fullPage: true });
  await close(page);
}

await browser.close();
library.close();
server.close();
finish();
