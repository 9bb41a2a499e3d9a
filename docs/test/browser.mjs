// The checks, in the order in which a reader would meet what they look at.
//
//	node browser.mjs SITE WORK
//
// WORK holds the program "native". Screenshots go to shots/ beside this file. The bench
// page has checks of its own, bench.mjs.
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { close, fits, ready, shots, start } from "./chromium.mjs";
import { along, apart, check, finish, native, quantile } from "./support.mjs";

const [, , folder, work] = process.argv;
const demo = await readFile(join(folder, "reference/demo.json"), "utf8");
const library = native(join(work, "native"));
const { server, disk, visit, accessible, end } = await start(folder);

// answered returns a request with its answer, read at one moment.
const answered = (page) => page.evaluate(() => {
  const { request, answer } = document.getElementById("study").dataset;
  return { request: JSON.parse(request), answer: JSON.parse(answer) };
});
const answer = (page, key = "answer") => page.evaluate((k) => JSON.parse(document.getElementById("study").dataset[k]), key);

// 0. What pages load to compute stays small, all of it together.
let weight = 0;
for (const name of ["assets/engine.wasm.gz", "assets/job.engine.wasm.gz"]) {
  const bytes = (await readFile(join(folder, name))).length;
  console.log(`${name}: ${(bytes / 1e6).toFixed(2)} MB of WebAssembly, compressed`);
  weight += bytes;
}
check(weight < 6e6, `the compiled libraries weigh ${weight} bytes`);

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
  // The speed of the figure moves the drawing alone; the bench's checks turn it.
  const knobs = await page.locator("input[type=range]:not(#engine-speed)").all();
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
await end();
library.close();
finish();
