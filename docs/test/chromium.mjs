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
export const ready = (page, ...states) => page.waitForFunction((s) => s.includes(document.getElementById("study").dataset.ready), states, { timeout: 120000 });

// start serves the folder and starts the browser.
export async function start(folder) {
  await mkdir(shots, { recursive: true });
  const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
  const server = await serve(folder);
  const disk = pathToFileURL(folder + "/").href;
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox", "--disable-dev-shm-usage"] });

  // visit opens a page and complains of whatever it logs as an error or asks of
  // anywhere but its own site. Nothing is kept for use without a network unless asked.
  async function visit(name, { base = server.url, width = 1280, height = 900, dark = false, offline = false } = {}) {
    const context = await browser.newContext({ viewport: { width, height }, colorScheme: dark ? "dark" : "light", acceptDownloads: true, serviceWorkers: offline ? "allow" : "block" });
    const page = await context.newPage();
    page.on("console", (m) => { if (m.type() === "error" && !offline) check(false, `${name}: the console says ${m.text()}`); });
    page.on("pageerror", (e) => check(false, `${name}: ${e}`));
    page.on("requestfailed", (r) => { if (!offline) check(false, `${name}: ${r.url().slice(0, 100)} failed`); });
    page.on("request", (r) => {
      const url = r.url();
      if (!url.startsWith(base) && !url.startsWith("blob:") && !url.startsWith("data:")) check(false, `${name} asks for ${url}`);
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
