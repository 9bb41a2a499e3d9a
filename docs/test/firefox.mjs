// Every page in Firefox, upright and held sideways, from a server; the pages that
// compute, and some others, from a folder and in the dark as well.
//
//	node firefox.mjs SITE
import puppeteer from "puppeteer-core";
import { mkdir, readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { check, finish, listed, plots, serve, shapes, sideways } from "./support.mjs";

const [, , folder] = process.argv;
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
  page.on("pageerror", (e) => check(false, `${page.at}: ${e.message}`));
  page.on("request", (r) => { if (!r.url().startsWith(base) && !/^(blob|data):/.test(r.url())) check(false, `${page.at} asks for ${r.url()}`); });
  return page;
}

async function look(page, base, name, all) {
  page.at = name;
  await page.setViewport({ width: 390, height: 844 });
  await page.goto(base + name, { waitUntil: "load" });
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
  page.at = "plots";
  await page.goto(`${server.url}studies/index.html`);
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
