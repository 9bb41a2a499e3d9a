// What every page must bear, and how things are found.
//
//	node pages.mjs SITE
import { writeFile } from "node:fs/promises";
import { join, resolve } from "node:path";
import { close, fits, ready, shots, start } from "./chromium.mjs";
import { check, finish, listed, plots, serve, shapes, sideways } from "./support.mjs";

const folder = resolve(process.argv[2]);
const { server, disk, visit, accessible, end } = await start(folder);
const picture = (name, what) => join(shots, `${name.replace(/\W/g, "-")}-${what}`);

// 1. Every page: no error, no request elsewhere, nothing for the checker of
// accessibility to find; it fits phones upright and held sideways, and paper.
for (const name of await listed(folder)) {
  const page = await visit(name, { width: 390, height: 844 });
  await fits(page, name);
  if (!name.startsWith("live/") || name === "live/index.html") await accessible(page, name);
  for (const [width, height] of shapes) {
    await page.setViewportSize({ width, height });
    await fits(page, `${name} at ${width} x ${height}`);
  }
  // A4 with margins of 11 mm, at 96 dots an inch.
  await page.setViewportSize({ width: 710, height: 1000 });
  await page.emulateMedia({ media: "print" });
  await fits(page, `${name} in print`);
  await close(page);
}

// 2. Pages from a folder in the dark; pictures to look at.
for (const name of ["index.html", "theory/flyweights.html", "checked/springs.html", "studies/vacuummap.html", "studies/index.html", "job/parts.html", "job/story.html"]) {
  const page = await visit(name, { base: disk, dark: true });
  await accessible(page, `${name} in the dark`);
  await page.screenshot({ path: picture(name, "dark.png") });
  await close(page);
}
for (const [name, width, height] of [
  ["index.html", 1280, 900], ["index.html", 390, 844], ["index.html", 844, 390], ["job/parts.html", 390, 844], ["job/read.html", 390, 844], ["theory/flyweights.html", 1280, 900],
  ["theory/knock.html", 390, 844], ["checked.html", 1280, 900], ["checked/springs.html", 1280, 900], ["reference/flyweights.html", 1280, 900], ["reference/job-file.html", 390, 844],
  ["studies/index.html", 1280, 900], ["studies/index.html", 390, 844], ["studies/vacuummap.html", 390, 844], ["glossary.html", 390, 844], ["licences.html", 390, 844], ["embed.html", 1280, 900],
]) {
  const page = await visit(name, { width, height });
  await page.screenshot({ path: picture(name, `${width}x${height}.png`) });
  await close(page);
}
for (const name of ["index.html", "job/parts.html", "theory/flyweights.html", "checked/springs.html", "studies/vacuummap.html", "reference/flyweights.html"]) {
  const page = await visit(name, { dark: name.startsWith("studies") });
  await writeFile(picture(name, "A4.pdf"), await page.pdf({ format: "A4", preferCSSPageSize: true }));
  await close(page);
}

// 3. Plots as browsers show them are those that the library's tests look at.
{
  const page = await visit("studies/index.html");
  let worst = 0;
  for (const p of await plots(page, folder)) {
    worst = Math.max(worst, p.worst);
    check(p.worst < 30, `${p.name}: the vector picture is ${p.worst.toFixed(0)} of 255 off the one in dots at ${p.at}`);
    check(p.cut.length === 0, `${p.name}: cut off: ${p.cut.join("; ")}`);
  }
  console.log(`plots: vector picture and dots differ by at most ${worst.toFixed(1)} of 255 in a square of 24 dots`);
  await close(page);
}

// 4. The search, the filter, copying, the way to the source.
{
  const page = await visit("index.html");
  await page.getByRole("searchbox", { name: "Search all pages" }).fill("static timing");
  await page.keyboard.press("Enter");
  await page.waitForURL(/search\.html\?q=static/);
  const hits = page.locator("#found a");
  check(await hits.count() > 5, "the search finds static timing");
  check((await hits.first().textContent()).toLowerCase().includes("static timing"), `first comes ${await hits.first().textContent()}`);
  await accessible(page, "search.html with answers");
  await page.getByLabel("Words").fill("nosuchword");
  check(await page.locator("#found-count").textContent() === "Nothing found.", "a word that stands nowhere is not found");
  await page.getByLabel("Words").fill("Mechanism Curve");
  await page.locator('#found a[href$="#Mechanism.Curve"]').first().click();
  await page.getByRole("link", { name: "Source of func (*Mechanism) Curve" }).first().click();
  check(await page.evaluate(() => document.querySelector(":target")?.textContent.includes("func (m *Mechanism) Curve(")), `its source is at ${page.url()}`);
  await close(page);
}
{
  const page = await visit("checked/springs.html");
  const rows = page.locator("[data-filter] tbody tr:visible");
  const all = await rows.count();
  await page.getByLabel("Show only what holds").fill("wahl");
  check(await rows.count() > 0 && await rows.count() < all, `the filter leaves ${await rows.count()} of ${all}`);
  await accessible(page, "checked/springs.html with a filter");
  await close(page);
}
for (const base of [server.url, disk]) {
  const page = await visit("embed.html", { base });
  await page.context().grantPermissions(["clipboard-read", "clipboard-write"]);
  await page.getByRole("button", { name: "Copy" }).first().click();
  await page.getByRole("button", { name: "Copied" }).waitFor();
  const copied = await page.evaluate(() => navigator.clipboard.readText());
  check(copied === await page.locator("main pre > code").first().textContent(), "what is copied is the code");
  await close(page);
}

// 5. Once visited from a server the site works without it.
{
  const own = await serve(folder);
  const page = await visit("index.html", { base: own.url, offline: true });
  await page.evaluate(async () => { await navigator.serviceWorker.ready; });
  await own.close();
  await page.goto(`${own.url}live/mechanism.html`);
  await ready(page, "engine");
  check(await page.locator("#total").textContent() !== "", "the mechanism computes without a network");
  await page.goto(`${own.url}live/job.html`);
  await ready(page);
  await page.getByRole("button", { name: "Show the demo job" }).click();
  await page.waitForFunction(() => document.getElementById("study").dataset.state === "answered", null, { timeout: 180000 });
  check(/^Set/m.test(await page.locator("#says").innerText()), "the bench works a whole job without a network");
  await page.reload();
  await page.waitForFunction(() => document.getElementById("study").dataset.state === "answered", null, { timeout: 180000 });
  check(await page.locator("#report-sheet").count() === 1, "and once more after a reload");
  await page.goto(`${own.url}job/read.html?from=a-bookmark#x`);
  check(await page.locator("h1").count() === 1, "a page opens without a network");
  await close(page);
}

// 6. On a phone held sideways every control can be reached, with the drawing in sight.
for (const [name, states] of [["live/mechanism.html", ["engine"]], ["live/readings.html", ["band"]]]) {
  for (const [width, height] of [[844, 390], [667, 375]]) {
    const page = await visit(name, { width, height });
    await ready(page, ...states);
    for (const complaint of await page.evaluate(sideways)) check(false, `${name} at ${width} x ${height}: ${complaint}`);
    await page.locator(".bench input").nth(3).scrollIntoViewIfNeeded();
    await page.screenshot({ path: picture(name, `${width}x${height}.png`) });
    await close(page);
  }
}

await end();
finish();
