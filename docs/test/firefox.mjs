// Every page in Firefox, upright and held sideways, from a server; the pages that
// compute, and some others, from a folder and in the dark as well; on the bench three
// typed readings and the demo job, whose result is the command's.
//
//	node firefox.mjs SITE WORK
//
// WORK holds the folder "recurve" with what the command wrote for the demo job.
import puppeteer from "puppeteer-core";
import { mkdir, readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { check, finish, listed, plots, serve, shapes, sideways } from "./support.mjs";

const [, , folder, work] = process.argv;
const wanted = await readFile(join(work, "recurve/result.json"), "utf8");
const shots = join(dirname(fileURLToPath(import.meta.url)), "shots");
await mkdir(shots, { recursive: true });
const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const server = await serve(folder);
const disk = pathToFileURL(folder + "/").href;

const launch = (dark) => puppeteer.launch({
  browser: "firefox", executablePath: process.env.FIREFOX || "/usr/bin/firefox-esr", headless: true,
  extraPrefsFirefox: { "layout.css.prefers-color-scheme.content-override": dark ? 0 : 1, "dom.serviceWorkers.enabled": false },
});

// open gives a page that complains by itself.
async function open(browser, base) {
  const page = await browser.newPage();
  page.at = "";
  page.on("console", (m) => { if (m.type() === "error") check(false, `${page.at}: the console says ${m.text()}`); });
  page.on("pageerror", (e) => {
    // What a page was still loading ends when it is left, and Firefox says so.
    if (!page.leaving || !/AbortError|NetworkError/.test(e.message)) check(false, `${page.at}: ${e.message}`);
  });
  page.on("request", (r) => { if (!r.url().startsWith(base) && !/^(blob|data):/.test(r.url())) check(false, `${page.at} asks for ${r.url()}`); });
  return page;
}

// go leaves the page for another one, or for itself anew.
async function go(page, where) {
  page.leaving = true;
  await (where ? page.goto(where, { waitUntil: "load" }) : page.reload({ waitUntil: "load" }));
  page.leaving = false;
}

async function look(page, base, name, all) {
  page.at = name;
  await page.setViewport({ width: 390, height: 844 });
  await go(page, base + name);
  check(await page.$$eval("h1", (l) => l.length) === 1, `${name} has a heading`);
  for (const [width, height] of all ? [[390, 844], ...shapes] : [[390, 844]]) {
    await page.setViewport({ width, height });
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    check(over <= 0, `${name} is ${over} px too wide at ${width} x ${height}`);
  }
  if (await page.$("#study") && name !== "live/job.html") {
    await page.waitForFunction(() => document.getElementById("study").dataset.ready, { timeout: 120000 });
    if (all && await page.$(".bench")) for (const complaint of await page.evaluate(sideways)) check(false, `${name} sideways: ${complaint}`);
  }
}

// bench has three readings typed, upright and held sideways, and the demo job worked.
async function bench(page, base) {
  page.at = "live/job.html";
  for (const [width, height] of [[390, 844], [844, 390]]) {
    await page.setViewport({ width, height });
    await go(page, `${base}live/job.html`);
    await page.evaluate(() => localStorage.clear());
    await go(page);
    await page.waitForFunction(() => document.getElementById("study").dataset.ready, { timeout: 180000 });
    const begun = performance.now();
    for (const [i, [rpm, degrees]] of [["700", "10"], ["2800", "34"], ["3600", "34"]].entries()) {
      await page.focus(`[aria-label="Readings, row ${i + 1}, engine speed, rpm"]`);
      await page.keyboard.type(rpm);
      await page.keyboard.press("Tab");
      await page.keyboard.type(degrees);
    }
    await page.waitForFunction(() => {
      const { report, dataset } = document.getElementById("study");
      return dataset.state === "answered" && report?.sent.job.split('"34 deg crank"').length === 3;
    }, { timeout: 180000 });
    console.log(`bench at ${width} x ${height}: an answer ${((performance.now() - begun) / 1000).toFixed(1)} s after the first key`);
    check(await page.evaluate(() => document.getElementById("says").innerText.includes(document.getElementById("study").report.r.answer.set)), "the answer stands on the page");
  }
  await page.evaluate(() => {
    document.getElementById("study").dataset.state = "waiting";
    document.getElementById("demo").click();
  });
  await page.waitForFunction(() => document.getElementById("study").dataset.state === "answered", { timeout: 180000 });
  check(await page.evaluate(() => document.getElementById("study").report.answer.result) === wanted, "the demo job's result is the command's");
}

async function accessible(page) {
  await page.evaluate(axe);
  const found = await page.evaluate(async () => (await window.axe.run(document, { resultTypes: ["violations"], preload: false })).violations
    .map((v) => `${v.impact}: ${v.id}: ${v.nodes.slice(0, 2).map((n) => n.target.join(" ")).join("; ")}`));
  check(found.length === 0, `${page.at}: ${found.join("; ")}`);
}

const names = await listed(folder);
const some = ["index.html", "studies/vacuummap.html", "studies/index.html", "checked/springs.html", ...names.filter((n) => n.startsWith("live/"))];
{
  const browser = await launch(false);
  console.log(await browser.version());
  const page = await open(browser, server.url);
  for (const name of names) await look(page, server.url, name, true);
  await bench(page, server.url);
  page.at = "plots";
  await go(page, `${server.url}studies/index.html`);
  for (const p of await plots(page, folder)) {
    check(p.cut.length === 0, `${p.name}: cut off: ${p.cut.join("; ")}`);
    check(p.worst < 30, `${p.name}: the vector picture is ${p.worst.toFixed(0)} of 255 off the one in dots at ${p.at}`);
  }
  await browser.close();
}
{
  const browser = await launch(true);
  const page = await open(browser, disk);
  for (const name of some) {
    await look(page, disk, name, false);
    check(await page.evaluate(() => matchMedia("(prefers-color-scheme: dark)").matches), "it is dark");
    await accessible(page);
    await page.screenshot({ path: join(shots, `firefox-${name.replace(/\W/g, "-")}-dark.png`) });
  }
  await browser.close();
}
server.close();
finish();
