// Three first visits, each from the front page to its goal: a builder on a phone, an
// engineer, a Go programmer. Clicks, keys and seconds are printed. A program takes them
// at a person's pace: a second and a half to find what it clicks, a quarter of a second a
// key. It knows where to go, which a person has to read.
//
//	node walks.mjs SITE
import { execFile } from "node:child_process";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { promisify } from "node:util";
import { close, shots, start } from "./chromium.mjs";
import { check, finish } from "./support.mjs";

const run = promisify(execFile);
const { visit, end } = await start(resolve(process.argv[2]));

// walker counts what it does on a page.
function walker(page, name) {
  const begun = performance.now();
  let clicks = 0;
  let keys = 0;
  let picture = 0;
  return {
    page,
    click: async (locator) => {
      await page.waitForTimeout(1500);
      await locator.click();
      clicks++;
    },
    type: async (text) => {
      await page.keyboard.type(text, { delay: 250 });
      keys += text.length;
    },
    press: async (key) => {
      await page.keyboard.press(key, { delay: 250 });
      keys++;
    },
    at: (what) => console.log(`${name}: ${what} after ${clicks} clicks, ${keys} keys, ${((performance.now() - begun) / 1000).toFixed(0)} s`),
    look: () => page.screenshot({ path: join(shots, `walk-${name.replace(/\W/g, "-")}-${++picture}.png`) }),
  };
}

// 1. The builder has six readings and, later, a calliper in the slot.
{
  const w = walker(await visit("index.html", { width: 390, height: 844 }), "builder on a phone");
  await w.look();
  await w.click(w.page.getByRole("main").getByRole("link", { name: "Your readings, in this browser" }));
  const answered = (test) => w.page.waitForFunction(test, null, { timeout: 120000 });
  await w.click(w.page.getByLabel("Readings, row 1, engine speed, rpm", { exact: true }));
  for (const [i, [rpm, degrees]] of [["650", "9"], ["1000", "11"], ["1600", "17"], ["2400", "27"], ["3300", "38"], ["3900", "38"]].entries()) {
    if (i > 0) await w.click(w.page.getByLabel(`Readings, row ${i + 1}, engine speed, rpm`, { exact: true }));
    await w.type(rpm);
    await w.press("Tab");
    await w.type(degrees);
    if (i === 2) {
      await answered(() => document.getElementById("study").dataset.state === "answered");
      w.at("an answer to three readings");
    }
  }
  await answered(() => document.getElementById("study").report?.answer && JSON.parse(document.getElementById("study").report.sent.job).readings.length === 6);
  check(/Set/.test(await w.page.locator("#says").innerText()), "six readings tell what to set");
  w.at("what to set, from six readings");
  await w.click(w.page.locator("#to-answer a"));
  await w.page.waitForTimeout(700);
  await w.look();
  await w.click(w.page.locator("#part-slot summary"));
  for (const [label, text] of [["Length, end to end along its middle", "10.4"], ["Pin or bush in it, diameter", "5"], ["Shaft's axis to the middle of the slot", "19"]]) {
    await w.click(w.page.getByLabel(label));
    await w.type(text);
  }
  await answered(() => document.getElementById("study").report?.answer && / mm/.test(document.getElementById("says").innerText));
  w.at("how many millimetres of the slot to close");
  await w.look();
  await w.click(w.page.locator("#to-answer a"));
  const sheet = w.page.waitForEvent("download");
  await w.click(w.page.locator("#report").getByText("Save sheet.txt"));
  check((await sheet).suggestedFilename() === "sheet.txt", "the builder leaves with the sheet");
  w.at("the sheet saved");
  await close(w.page);
}

// 2. The engineer doubts a number: where is it published, what comes out here, by which
// equation and in which line?
{
  const w = walker(await visit("index.html"), "engineer");
  await w.click(w.page.getByRole("main").getByRole("link", { name: "checked against" }));
  await w.click(w.page.getByRole("main").getByRole("link", { name: /springs/i }).first());
  await w.click(w.page.getByLabel("Show only what holds"));
  await w.type("wahl");
  check(await w.page.locator("[data-filter] tbody tr:visible").count() > 0, "the engineer finds the factor");
  w.at("published and computed values of one factor");
  await w.look();
  await w.click(w.page.getByRole("navigation").getByRole("link", { name: "Theory" }).first());
  await w.click(w.page.getByRole("link", { name: "Springs", exact: true }).first());
  check(await w.page.locator("math").count() > 5, "its equations stand under theory");
  w.at("its equation");
  await w.look();
  await w.click(w.page.getByRole("main").locator("a[href*='reference/']").first());
  await w.click(w.page.getByRole("link", { name: /^Source of func/ }).first());
  await w.page.waitForURL(/source\/.*#L\d+$/, { waitUntil: "load" });
  check(await w.page.evaluate(() => document.querySelector(":target") !== null), "and its line");
  w.at("its line of code");
  await close(w.page);
}

// 3. The Go programmer wants degrees out of a program of his own.
{
  const w = walker(await visit("index.html"), "Go programmer");
  await w.click(w.page.getByRole("main").getByRole("link", { name: "Use it in a program" }));
  const copied = async (i) => {
    await w.click(w.page.getByRole("button", { name: /^Cop/ }).nth(i));
    return w.page.evaluate(() => navigator.clipboard.readText());
  };
  const program = await copied(0);
  const prints = await w.page.locator("main pre > code").nth(1).textContent();
  const own = await mkdtemp(join(tmpdir(), "yours"));
  const commands = (await w.page.locator("main pre > code").nth(2).textContent()).trim().split("\n");
  await writeFile(join(own, "main.go"), program);
  const library = resolve(import.meta.dirname, "../..");
  let printed = "";
  for (const line of commands) {
    const [command, ...rest] = line.replace("../bobweight", library).split(" ");
    printed = (await run(command, rest, { cwd: own, env: { ...process.env, GOFLAGS: "-mod=mod" } })).stdout;
  }
  check(printed.trim() === prints.trim(), `the copied program prints what the page says: ${printed}`);
  w.at("the copied program runs");
  await rm(own, { recursive: true });
  await w.click(w.page.getByRole("link", { name: "Mechanism.Curve", exact: true }).first());
  await w.page.waitForURL(/#Mechanism\.Curve$/, { waitUntil: "load" });
  check(await w.page.evaluate(() => document.querySelector(":target") !== null), "its pieces lead to the reference");
  w.at("the reference of what it calls");
  await close(w.page);
}

await end();
finish();
