// A site in Chromium, from a server of its own and from its folder, with what the checks
// do to every page.
import { chromium } from "playwright-core";
import { mkdir, readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { check, serve } from "./support.mjs";

export const shots = join(dirname(fileURLToPath(import.meta.url)), "shots");
export const close = (page) => page.context().close();
// ready waits for one of the states, any without one.
export const ready = (page, ...states) => page.waitForFunction((s) => {
  const { ready } = document.getElementById("study").dataset;
  return ready && (s.length === 0 || s.includes(ready));
}, states, { timeout: 180000 });

// start serves the folder and starts the browser.
export async function start(folder) {
  await mkdir(shots, { recursive: true });
  const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
  const server = await serve(folder);
  const disk = pathToFileURL(folder + "/").href;
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox", "--disable-dev-shm-usage"] });

  const files = new Set(JSON.parse(await readFile(join(folder, "made-by-docs.json"), "utf8")));

  // visit opens a page and complains of whatever it logs as an error, and of every request
  // but one for a file of its own site that carries nothing with it. Nothing is kept for
  // use without a network unless asked; with less, nothing is to move by itself.
  async function visit(name, { base = server.url, width = 1280, height = 900, dark = false, less = false, offline = false } = {}) {
    const context = await browser.newContext({
      viewport: { width, height }, colorScheme: dark ? "dark" : "light", acceptDownloads: true,
      serviceWorkers: offline ? "allow" : "block", reducedMotion: less ? "reduce" : "no-preference",
    });
    context.setDefaultTimeout(120000); // a busy machine is slow
    if (base === server.url) await context.grantPermissions(["clipboard-read", "clipboard-write"]);
    const page = await context.newPage();
    page.on("console", (m) => { if (m.type() === "error" && !offline) check(false, `${name}: the console says ${m.text()}`); });
    page.on("pageerror", (e) => check(false, `${name}: ${e}`));
    // Going on to the next page cuts off what a page made for itself.
    page.on("requestfailed", (r) => { if (!offline && !r.url().startsWith("blob:")) check(false, `${name}: ${r.url().slice(0, 100)} failed`); });
    page.on("websocket", (w) => check(false, `${name} opens ${w.url()}`));
    page.on("request", (r) => {
      const url = r.url();
      if (/^(blob|data):/.test(url)) return;
      const rest = url.startsWith(base) ? url.slice(base.length) : null;
      const file = rest !== null && decodeURIComponent(rest.replace(/[?#].*$/, "")).replace(/(^|\/)$/, "$1index.html");
      if (rest === null || !files.has(file) || r.method() !== "GET" || r.postData() !== null) check(false, `${name}: ${r.method()} ${url.slice(0, 200)}`);
      if (rest !== null && rest.includes("?") && !/^search\.html\?q=/.test(rest) && !offline) check(false, `${name} sends ${url.slice(0, 200)}`);
    });
    await page.goto(base + name, { waitUntil: "load" });
    return page;
  }

  // accessible complains of whatever the checker finds, of any level.
  async function accessible(page, name) {
    await page.evaluate(axe);
    const found = await page.evaluate(async () => (await window.axe.run(document, { resultTypes: ["violations"], preload: false })).violations
      .map((v) => `${v.impact}: ${v.id}: ${v.nodes.slice(0, 2).map((n) => n.target.join(" ") + ": " + (n.any[0]?.message || "")).join("; ")}`));
    check(found.length === 0, `${name}: ${found.join("; ")}`);
  }

  const end = async () => {
    await browser.close();
    server.close();
  };
  return { server, disk, visit, accessible, end };
}

// fits complains of a page that scrolls sideways.
export async function fits(page, name) {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  check(over <= 0, `${name} is ${over} px too wide`);
}
