// A short look at every page in Chromium: it opens without an error and asks nothing of
// anywhere else, fits a phone upright and held sideways, and computes where it should.
//
//	node smoke.mjs SITE
import { chromium } from "playwright-core";
import { check, finish, listed, serve, shapes } from "./support.mjs";

const [, , folder] = process.argv;
const server = await serve(folder);
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox", "--disable-dev-shm-usage"] });
const context = await browser.newContext({ viewport: { width: 390, height: 844 }, serviceWorkers: "block" });
const page = await context.newPage();
let at = "";
page.on("console", (m) => { if (m.type() === "error") check(false, `${at}: the console says ${m.text()}`); });
page.on("pageerror", (e) => check(false, `${at}: ${e}`));
// Going on to the next page cuts off what a page made for itself.
page.on("requestfailed", (r) => r.url().startsWith("blob:") || check(false, `${at}: ${r.url().slice(0, 100)} failed: ${r.failure()?.errorText}`));
page.on("request", (r) => { if (!r.url().startsWith(server.url) && !/^(blob|data):/.test(r.url())) check(false, `${at} asks for ${r.url()}`); });

for (const name of await listed(folder)) {
  at = name;
  await page.setViewportSize({ width: 390, height: 844 });
  await page.goto(server.url + name, { waitUntil: "load" });
  check(await page.locator("h1").count() === 1, `${name} has a heading`);
  for (const [width, height] of [[390, 844], ...shapes]) {
    await page.setViewportSize({ width, height });
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    check(over <= 0, `${name} is ${over} px too wide at ${width} x ${height}`);
  }
  if (await page.locator("#study").count() > 0 && name !== "live/job.html") {
    await page.waitForFunction(() => document.getElementById("study").dataset.ready, null, { timeout: 60000 });
    check(await page.locator(".refused").allInnerTexts().then((t) => t.every((s) => s === "")), `${name} computes`);
  }
}

// The bench page's first answer.
at = "live/job.html";
await page.goto(`${server.url}live/job.html`);
const rows = [[850, 8], [2100, 13.5], [3600, 38]];
for (const [i, [rpm, degrees]] of rows.entries()) {
  await page.getByLabel(`Readings, row ${i + 1}, engine speed, rpm`, { exact: true }).fill(String(rpm));
  await page.getByLabel(`Readings, row ${i + 1}, light shows, deg BTDC`, { exact: true }).fill(String(degrees));
  await page.keyboard.press("Tab");
}
await page.waitForFunction(() => document.getElementById("study").dataset.state === "answered", null, { timeout: 60000 });
check(await page.locator("#says").innerText() !== "", "three readings have an answer");

await browser.close();
await server.close();
finish();
