// The bench page and what moves: readings typed, pasted and by keys; the answer beside
// them, equal to the command's; faults at their fields; a job kept, linked, saved, opened
// and dropped; what is handed to the other live pages; the mechanism moving; small screens.
//
//	node bench.mjs SITE WORK
//
// WORK holds the folder "recurve" with what the command wrote for the demo job. Times are
// printed, never asserted; a first answer is wanted within half a minute of opening.
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { close, fits, ready, shots, start } from "./chromium.mjs";
import { check, finish } from "./support.mjs";

const [, , folder, work] = process.argv;
const demo = await readFile(join(folder, "reference/demo.json"), "utf8");
const builtIn = async (name) => readFile(join(import.meta.dirname, "../../examples/recurve", name), "utf8");
const { server, disk, visit, accessible, end } = await start(folder);

const state = (page, ...states) => page.waitForFunction((s) => s.includes(document.getElementById("study").dataset.state), states, { timeout: 180000 });
// changed waits until the page has answered what act changed.
const changed = async (page, act, ...states) => {
  await page.evaluate(() => { document.getElementById("study").dataset.state = "waiting"; });
  await act();
  await state(page, ...(states.length ? states : ["answered"]));
};
const took = (page) => page.evaluate(() => Number(document.getElementById("study").dataset.took));
const report = (page) => page.evaluate(() => document.getElementById("study").report);
const said = (page) => page.locator("#says").innerText();
const speed = (page, i) => page.getByLabel(`Readings, row ${i}, engine speed, rpm`, { exact: true });
const shows = (page, i) => page.getByLabel(`Readings, row ${i}, light shows, deg BTDC`, { exact: true });
const open = (page, name, text) => changed(page, () => page.getByLabel(/Job file/).setInputFiles([{ name, mimeType: "application/json", buffer: Buffer.from(text) }]), "answered", "refused");

async function prints(page, name) {
  for (const format of ["A4", "Letter"]) {
    const pdf = await page.pdf({ format, preferCSSPageSize: false, margin: { top: "11mm", bottom: "11mm", left: "11mm", right: "11mm" } });
    await writeFile(join(shots, `${name}-${format}.pdf`), pdf);
    const sides = (pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g) || []).length;
    check(sides === 1, `the ${name} takes ${sides} sides of ${format}`);
  }
}

// reached complains of what has the focus and cannot be seen.
async function reached(page, selector, name) {
  for (const control of await page.locator(selector).all()) {
    if (!(await control.isVisible())) continue;
    await control.focus();
    const look = () => control.evaluate((e) => {
      const b = e.getBoundingClientRect();
      const top = document.elementFromPoint(b.x + b.width / 2, Math.min(b.y + b.height / 2, innerHeight - 1));
      return b.bottom > 0 && b.top < innerHeight && (e === top || e.contains(top) || (top && top.contains(e))) ? "" : e.getAttribute("aria-label") || e.id || e.textContent;
    });
    let hidden = await look();
    for (let i = 0; hidden !== "" && i < 20; i++) { // the page scrolls there smoothly
      await page.waitForTimeout(100);
      hidden = await look();
    }
    check(hidden === "", `${name}: ${hidden} has the focus out of sight`);
  }
}

// 1. Three readings typed on a phone are answered.
for (const [width, height] of [[390, 844], [844, 390], [667, 375], [320, 640]]) {
  const name = `bench at ${width} x ${height}`;
  const begun = performance.now();
  const page = await visit("live/job.html", { width, height, dark: width === 320 });
  await ready(page);
  check((await said(page)).includes("third reading"), `${name}: the empty page says what it waits for`);
  await page.screenshot({ path: join(shots, `bench-${width}-empty.png`) });
  await speed(page, 1).focus();
  for (const [i, r] of [["700", "10"], ["2800", "34"], ["3600", "34"]].entries()) {
    await page.keyboard.type(r[0]);
    await page.keyboard.press("Tab");
    await page.keyboard.type(r[1]);
    if (i < 2) await speed(page, i + 2).focus();
  }
  // Of these three: an answer may come to what was typed before.
  await page.waitForFunction(() => {
    const { report, dataset } = document.getElementById("study");
    return dataset.state === "answered" && report?.sent.job.split('"34 deg crank"').length === 3;
  }, null, { timeout: 120000 });
  const seconds = (performance.now() - begun) / 1000;
  console.log(`${name}: a first answer ${seconds.toFixed(1)} s after opening, ${((await took(page)) / 1000).toFixed(1)} s of it the library`);
  const { r } = await report(page);
  const text = await said(page);
  check(r.answer.set && text.includes(r.answer.set) && r.answer.check.every((c) => text.includes(c)), `${name}: the answer stands on the page`);
  check(/cautions/i.test(text), `${name}: cautions are named beside the answer`);
  await fits(page, name);
  await reached(page, "#readings input, #readings button", name);
  if (width === 390) await accessible(page, name);
  await page.screenshot({ path: join(shots, `bench-${width}.png`) });
  // Kept over a reload.
  await page.reload();
  await state(page, "answered");
  check(await speed(page, 2).inputValue() === "2800" && (await said(page)) === text, `${name}: the job is kept over a reload`);
  await close(page);
}

// 2. The demo job: the command's files, byte for byte, from a server and from a folder.
const wanted = {};
for (const name of ["result.json", "sheet.txt", "curves.csv", "curve.svg", "distributor.svg", "measuring-form.svg"]) wanted[name] = await readFile(join(work, "recurve", name), "utf8");
for (const base of [server.url, disk]) {
  const where = base === disk ? "bench from a folder" : "bench";
  const page = await visit("live/job.html", { base });
  await ready(page);
  for (let i = 0; i < 3; i++) {
    const begun = performance.now();
    await changed(page, () => page.getByRole("button", { name: "Show the demo job" }).click());
    console.log(`${where}: the demo job takes ${((performance.now() - begun) / 1000).toFixed(1)} s from the press, run ${i + 1}`);
  }
  const { answer } = await report(page);
  for (const [name, got] of [["result.json", answer.result], ["sheet.txt", answer.sheet], ["curves.csv", answer.table]]) check(got === wanted[name], `${where}: ${name} is the command's`);
  for (const [name, text] of Object.entries(wanted)) {
    const [saved] = await Promise.all([page.waitForEvent("download", { timeout: 120000 }), page.locator("#report").getByText(`Save ${name}`).click()]);
    check(saved.suggestedFilename() === name && await readFile(await saved.path(), "utf8") === text, `${where}: the saved ${name} is the command's`);
  }
  // Save and open again.
  const [job] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save the job" }).click()]);
  const text = await readFile(await job.path(), "utf8");
  check(JSON.stringify(JSON.parse(text)) === JSON.stringify(JSON.parse(demo)), `${where}: the saved job is the one that was opened`);
  await changed(page, () => page.getByRole("button", { name: "Start afresh" }).click(), "empty");
  await open(page, "again.json", text);
  check((await report(page)).answer.result === wanted["result.json"], `${where}: a saved job opens again`);

  if (base === server.url) {
    // A file with its readings beside it, dropped.
    const beside = JSON.parse(demo);
    const csv = ["rpm crank,deg crank", ...beside.readings.map((r) => `${r.at.split(" ")[0]},${r.shows.split(" ")[0]}`)].join("\n");
    delete beside.readings;
    beside.readings_csv = "light.csv";
    const data = await page.evaluateHandle(([a, b]) => {
      const d = new DataTransfer();
      d.items.add(new File([a], "mine.json", { type: "application/json" }));
      d.items.add(new File([b], "light.csv", { type: "text/csv" }));
      return d;
    }, [JSON.stringify(beside), csv]);
    await changed(page, () => page.locator("body").dispatchEvent("drop", { dataTransfer: data }));
    check((await report(page)).answer.result === wanted["result.json"], "a dropped job with its readings in a file");
    await page.getByRole("button", { name: "Put back what lay here before" }).click();
    await state(page, "answered");

    // Every recipe has its sheet; each takes one side.
    const { r } = await report(page);
    check(await page.locator("#which-sheet option").count() === 1 + r.recipes.filter((p) => p.sheet).length, "a sheet for every recipe");
    await prints(page, "sheet");
    await page.locator("#which-sheet").selectOption({ index: 1 });
    check((await page.locator("#sheet").innerText()).includes(r.recipes[1].sheet.recipe), "the sheet of the second recipe");
    await prints(page, "sheet-2");
    await accessible(page, "the demo on the bench");
    // A link carries the whole job.
    await page.getByRole("button", { name: "Link to this job" }).click();
    await page.waitForFunction(() => document.getElementById("link-text").value);
    const link = await page.locator("#link-text").inputValue();
    const other = await visit(link.slice(server.url.length));
    await state(other, "answered");
    check((await report(other)).answer.result === wanted["result.json"], `a link of ${link.length} characters carries the demo job`);
    check(!other.url().includes("#job"), "the link's job is taken off the address");
    await close(other);
    for (const fold of await page.locator("details.part").all()) await fold.evaluate((d) => { d.open = true; });
    await page.locator("[data-dimension=pivot_to_plate_post]").first().focus();
    check(await page.locator("#part-plate .dimension.marked").count() === 1, "the distance that is being typed is marked on the drawing");
    await accessible(page, "every section open");
    await page.screenshot({ path: join(shots, "bench-1280-plate.png") });
    for (const [width, height] of [[390, 844], [320, 640], [844, 390]]) {
      await page.setViewportSize({ width, height });
      await fits(page, `every section open at ${width}`);
      await page.screenshot({ path: join(shots, `bench-open-${width}.png`) });
    }
  }
  await close(page);
}

// 3. Paste, keys, faults, stop, more and more of a job, runs.
{
  const page = await visit("live/job.html");
  await ready(page);
  await speed(page, 1).focus();
  await changed(page, () => page.evaluate(() => {
    const d = new DataTransfer();
    d.setData("text", "rpm\tdeg\n650\t6,5\n850\t8\n1500\t8\n2400\t17\n3300\t40\n3900\t41.5\n");
    document.activeElement.dispatchEvent(new ClipboardEvent("paste", { clipboardData: d, bubbles: true, cancelable: true }));
  }));
  check(await shows(page, 1).inputValue() === "6.5" && await speed(page, 6).inputValue() === "3900", "a paste out of a spreadsheet fills the rows");
  await speed(page, 1).focus();
  await page.keyboard.press("Enter");
  check(await page.evaluate(() => document.activeElement.dataset.path) === "readings[1].at", "Enter goes to the next row");
  await changed(page, () => shows(page, 2).fill("200"), "refused");
  check((await page.locator(".fault:not(:empty)").allInnerTexts()).some((t) => t.includes("Row 2") && t.includes("valid is -30 to 90 deg crank")), "a fault stands at its field, in the library's words");
  check(await shows(page, 2).getAttribute("aria-invalid") === "true", "the field is marked");
  await accessible(page, "a fault on the bench");
  await changed(page, () => shows(page, 2).fill("8"));
  check(await page.locator(".fault:not(:empty)").count() === 0 && await page.locator("#refused").innerText() === "", "the fault goes with its mend");
  // A half-typed row is left out, and the rows after it keep their places.
  await shows(page, 3).fill("");
  await changed(page, () => shows(page, 5).fill("300"), "refused");
  check((await page.locator(".fault:not(:empty)").allInnerTexts()).some((t) => t.includes("Row 5")), "a fault behind a half-typed row stands at its own row");
  await shows(page, 3).fill("8");
  await changed(page, () => shows(page, 5).fill("40"));

  // What more would tell leads to its field.
  await page.getByText("What more would tell").click();
  await page.locator("#asked button").first().click();
  check(await page.evaluate(() => document.activeElement.closest("details.part") !== null && document.activeElement.closest("details.part").open), "what is asked for leads to its section");
  await page.locator("#part-slot summary").click();
  await page.getByLabel("Length, end to end along its middle").fill("10.4");
  await page.getByLabel("Pin or bush in it, diameter").fill("5");
  await changed(page, () => page.getByLabel("Shaft's axis to the middle of the slot").fill("0.75 in"));
  check((await said(page)).includes("mm"), "with the slot the answer comes in millimetres");

  // A weight by its traced edge.
  await page.locator("#part-drawer summary").first().click();
  await page.locator("[data-adds='drawer.weights']").click();
  const edge = page.locator("[data-path='drawer.weights[0].outline']");
  await page.locator("[data-path='drawer.weights[0].name']").fill("traced");
  await changed(page, () => edge.fill("1 -17\n17 -17\n17 -13\n5 x"), "refused");
  check((await page.locator("[data-fault='drawer.weights[0].outline']").innerText()).includes("outline[3]"), "a fault of a point stands at the edge, with its number");
  await changed(page, () => edge.fill("1 -17\n17 -17\n17 -13\n5 -13\n5 -5\n1 -5"));
  check(JSON.stringify(JSON.parse((await report(page)).sent.job).drawer.weights[0].outline.at(-1)) === '["1 mm","-5 mm"]', "an edge is taken point by point");
  await changed(page, () => page.getByRole("button", { name: "Take weights 1 out" }).click());

  // The run after the change.
  await page.locator("#part-runs summary").first().click();
  await page.locator("#new-run").click();
  for (const [i, r] of [["650", "9"], ["850", "10"], ["1500", "10"], ["2400", "19"], ["3300", "34"], ["3900", "34"]].entries()) {
    await page.getByLabel(new RegExp(`^Readings after the change: .*, row ${i + 1}, engine speed`)).fill(r[0]);
    await page.getByLabel(new RegExp(`^Readings after the change: .*, row ${i + 1}, light shows`)).fill(r[1]);
  }
  await page.waitForFunction(() => document.getElementById("study").report?.r.runs?.runs.length === 2, null, { timeout: 60000 });
  await state(page, "answered");
  check(await page.locator("#report-runs").count() === 1, "the runs stand side by side");

  // Stop: nothing comes of what was stopped, and the page goes on with what is typed next.
  // A second job while one is worked: the first never shows, and there are no two reports.
  const drop = (...texts) => page.evaluate((list) => {
    for (const text of list) {
      const d = new DataTransfer();
      d.items.add(new File([text], "one.json"));
      document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: d, bubbles: true }));
    }
  }, texts);
  await page.evaluate(() => {
    window.shown = [];
    new MutationObserver(() => {
      const count = Math.max(...["#answer", "#report-findings", "#report-sheet", "#sheet"].map((s) => document.querySelectorAll(s).length));
      const title = document.getElementById("study").report?.r.title;
      if (count > 1 || window.shown.at(-1) !== title) window.shown.push(count > 1 ? `${count} reports` : title);
    }).observe(document.getElementById("study"), { childList: true, subtree: true });
  });
  await drop(demo);
  await page.waitForFunction(() => !document.getElementById("stop").hidden && document.getElementById("study").dataset.state === "working");
  await page.locator("#stop").click();
  await state(page, "stopped");
  await page.waitForTimeout(2500);
  check(await page.locator("#study").getAttribute("data-state") === "stopped" && !(await page.evaluate(() => window.shown)).includes(JSON.parse(demo).title), "nothing comes of a job that was stopped");
  await changed(page, () => shows(page, 1).fill("11"));
  check((await report(page)).r.title === JSON.parse(demo).title, "after a stop the page goes on with what is typed");
  const named = (title) => JSON.stringify({ title, readings: JSON.parse(demo).readings });
  await page.evaluate(() => { window.shown = []; });
  await drop(JSON.stringify({ ...JSON.parse(demo), title: "first" }), named("second"));
  await page.waitForFunction(() => document.getElementById("study").report?.r.title === "second", null, { timeout: 120000 });
  await drop(JSON.stringify({ ...JSON.parse(demo), title: "third" }));
  await page.waitForFunction(() => /%/.test(document.getElementById("doing").textContent)); // well under way
  await drop(named("fourth"));
  await page.waitForFunction(() => document.getElementById("study").report?.r.title === "fourth", null, { timeout: 120000 });
  await page.waitForTimeout(2500);
  const titles = (await page.evaluate(() => window.shown)).filter(Boolean);
  // The third may have had its answer before it was ended.
  check(["second,fourth", "second,third,fourth"].includes(titles.join()), `of four jobs, two of them ended by the next, are shown ${titles.join(", ")}`);

  // Refused: too large, no JSON, another field, a damaged link.
  await page.getByLabel(/Job file/).setInputFiles([{ name: "large.json", mimeType: "application/json", buffer: Buffer.alloc(1.5e6, "x") }]);
  await page.waitForFunction(() => document.getElementById("refused").textContent.includes("1.5 MB"));
  check((await report(page)).r.title === "fourth", "what is too large to be read changes nothing");
  await page.locator("#as-text").evaluate((d) => { d.open = true; });
  await page.locator("#job-text").evaluate((e) => { e.value = `{"title": "${"x".repeat(1.2e6)}"}`; });
  await changed(page, () => page.getByRole("button", { name: "Take this text" }).click(), "refused");
  check((await page.locator("#refused").innerText()).includes("1.2 MB") && (await report(page)).r.title === "fourth", "so does a text that is too large");
  await open(page, "broken.json", "{\"title\": 1,,}");
  check((await page.locator("#refused").innerText()).includes("line 1"), "what is no JSON is refused with its line");
  await open(page, "odd.json", demo.replace('"88 mm"', '"88"').replace('"title"', '"tittle"'));
  const faults = `${await page.locator("#refused").innerText()} ${(await page.locator(".fault:not(:empty)").allInnerTexts()).join(" ")}`;
  check(faults.includes("tittle") && faults.includes("88") && faults.includes("unit"), `every fault is shown: ${faults}`);
  const damaged = await visit("live/job.html#job=AAAA");
  await damaged.waitForFunction(() => document.getElementById("refused").textContent.includes("damaged"));
  await close(damaged);
  await close(page);
}

// 4. The built-in stories: what the report says stands on the page.
{
  const page = await visit("live/job.html");
  await ready(page);
  const unheard = JSON.parse(demo);
  delete unheard.engine.observed;
  for (const [name, text] of [["unheard", JSON.stringify(unheard)], ...await Promise.all(["saloon-1", "saloon-2", "saloon-3"].map(async (n) => [n, await builtIn(`${n}.json`)]))]) {
    await open(page, `${name}.json`, text);
    check(await page.locator("#refused").innerText() === "", `${name}: ${await page.locator("#refused").innerText()}`);
    const { r } = await report(page);
    const shown = `${await said(page)} ${await page.locator("#report").innerText()} ${await page.locator("#asked").evaluate((e) => e.textContent)}`;
    const says = [...r.answer.fit, r.answer.set, ...r.answer.check, r.answer.forbids, r.unproven, r.runs?.verdict, ...(r.runs?.learned || []), ...(r.efforts || []).map((e) => e.recipe),
      ...r.decided.map((d) => d.turns), ...(r.sheet?.verify || []), ...r.cautions, ...r.stages.filter((s) => s.missing).map((s) => s.buys)];
    for (const sentence of says.filter(Boolean)) check(shown.includes(sentence), `${name}: the page says ${sentence}`);
    check((await page.locator("#report-runs").count() > 0) === (name === "saloon-3"), `${name}: runs are shown where there are any`);
    await accessible(page, name);
    await prints(page, name === "unheard" ? "sheet-unheard" : name);
    await page.screenshot({ path: join(shots, `bench-${name}.png`), fullPage: true });
  }
  await close(page);
}

// 5. From page to page, and the mechanism moving.
{
  const page = await visit("live/job.html");
  await ready(page);
  await changed(page, () => page.getByRole("button", { name: "Show the demo job" }).click());
  const { r } = await report(page);
  await page.getByRole("link", { name: "See this recipe move" }).first().click();
  await page.waitForURL(/mechanism/);
  await ready(page);
  const now = await page.evaluate(() => JSON.parse(document.getElementById("study").dataset.answer));
  check(Math.abs(now.total_deg - r.recipes[0].total_deg) < 0.06 && Math.abs(now.all_in_rpm - r.recipes[0].all_in_rpm) < 6, `the recipe moves as the report says: ${now.total_deg} deg, all in ${now.all_in_rpm} rpm`);
  const pin = () => page.locator(".distributor .pin").evaluate((p) => [p.getAttribute("cx"), p.getAttribute("cy")].join(" "));
  const rest = await pin();
  const slider = page.locator("#engine-speed");
  await slider.fill("4000");
  check((await page.locator("#state").innerText()).includes("at the stop") && await pin() !== rest, "at speed the pin stands at the end of the slot");
  await slider.fill("0");
  check((await page.locator("#state").innerText()).includes("at rest") && await pin() === rest, "at rest the pin is where it was");
  await page.locator("#play").click();
  await page.waitForFunction(() => Number(document.getElementById("engine-speed").value) > 50);
  await page.locator("#play").click();
  const stood = await slider.inputValue();
  await page.waitForTimeout(300);
  check(await slider.inputValue() === stood, "the engine stops");
  // Too much static timing is beyond the limit, and the page says so in words.
  await page.waitForFunction(() => document.getElementById("study").dataset.ready === "engine", null, { timeout: 120000 });
  await page.getByRole("slider", { name: "Static timing" }).fill("30");
  check((await page.locator("#results").innerText()).includes("Beyond the knock limit by"), "a negative margin is told in words");
  // Snap and hold in words: a spring with slack is taken up at a jump of its tension.
  check(await page.locator(".line.falling").first().evaluate((l) => getComputedStyle(l).strokeDasharray) !== "none", "rising and falling differ without colour");
  await accessible(page, "the mechanism moving");
  await page.locator("#to-bench").click();
  await page.waitForURL(/job.html/);
  await state(page, "answered");
  await page.getByRole("button", { name: "Drag these readings" }).click();
  await page.waitForURL(/readings/);
  await ready(page);
  const count = JSON.parse(demo).readings.length;
  check(await page.locator("#table tbody tr").count() === count, "the readings go to the page on which they are dragged");
  await page.getByRole("spinbutton", { name: "Reading 2, degrees" }).fill("12.5");
  await page.getByRole("spinbutton", { name: "Reading 2, degrees" }).press("Tab");
  await page.getByRole("button", { name: "Use these readings on the bench" }).click();
  await page.waitForURL(/job.html/);
  await state(page, "answered");
  check(await shows(page, 2).inputValue() === "12.5" && (await report(page)).r.recipes.length > 0, "and come back into the same job");
  await close(page);
}
for (const [width, height] of [[390, 844], [844, 390], [667, 375], [320, 640]]) {
  const page = await visit("live/mechanism.html", { width, height, less: true, dark: width === 390 });
  await ready(page);
  await fits(page, `mechanism at ${width}`);
  await reached(page, "#engine-speed, #play, #knobs input", `mechanism at ${width} x ${height}`);
  await page.locator("#engine-speed").fill("1000");
  await page.locator("#play").click();
  const between = await page.evaluate(() => new Promise((done) => {
    const times = [];
    new MutationObserver(() => {
      times.push(performance.now());
      if (times.length === 4) done(Math.min(...times.slice(1).map((t, i) => t - times[i])));
    }).observe(document.getElementById("state"), { childList: true, characterData: true, subtree: true });
  }));
  check(between > 500, `who wants less motion sees steps, ${between.toFixed(0)} ms apart`);
  await page.locator("#play").click();
  await page.locator("#moving").scrollIntoViewIfNeeded();
  await page.screenshot({ path: join(shots, `moving-${width}.png`) });
  await page.goto(server.url + "live/readings.html");
  await ready(page);
  await fits(page, `readings at ${width}`);
  await reached(page, "#table input, #add, #use", `readings at ${width} x ${height}`);
  await page.screenshot({ path: join(shots, `readings-${width}.png`) });
  await close(page);
}

await end();
finish();
