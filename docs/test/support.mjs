// What the checks share: a static server, the library outside the browser, and a
// list of complaints.
import { spawn } from "node:child_process";
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { extname, join, normalize } from "node:path";
import { createInterface } from "node:readline";

const kinds = { ".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml", ".png": "image/png", ".json": "application/json" };

// serve answers with the files of a folder on a free port of this machine.
export async function serve(folder) {
  const server = createServer(async (request, reply) => {
    const name = normalize(decodeURIComponent(new URL(request.url, "http://x").pathname));
    try {
      const data = await readFile(join(folder, name));
      reply.writeHead(200, { "Content-Type": kinds[extname(name)] || "application/octet-stream" }).end(data);
    } catch {
      reply.writeHead(404).end();
    }
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  const close = () => new Promise((done) => {
    server.close(done);
    server.closeAllConnections();
  });
  return { url: `http://127.0.0.1:${server.address().port}/`, close };
}

// listed are the pages of a site; of the source files, which are all alike, one.
export async function listed(folder) {
  const names = JSON.parse(await readFile(join(folder, "made-by-docs.json"), "utf8")).filter((n) => n.endsWith(".html"));
  const source = names.find((n) => n.startsWith("source/"));
  return names.filter((n) => !n.startsWith("source/") || n === source);
}

// shapes are screens on which a page must fit: a small phone, and phones held sideways.
export const shapes = [[320, 640], [844, 390], [667, 375]];

// plots compares each plot's vector picture, as this browser draws it, with the one in
// dots that the library's tests look at: the worst difference of the mean colour of a
// square of 24 dots, on a scale to 255, and the words that leave the picture. The page must
// be of the site.
export async function plots(page, folder) {
  const names = JSON.parse(await readFile(join(folder, "made-by-docs.json"), "utf8"));
  const both = names.filter((n) => n.startsWith("studies/") && n.endsWith(".png") && names.includes(n.replace(/png$/, "svg"))).map((n) => n.slice(0, -4));
  const list = [];
  for (const name of both) list.push({ name, ...await page.evaluate(compare, name) });
  return list;
}

// compare runs in the page.
async function compare(name) {
  const root = document.querySelector("link[rel=stylesheet]").href.replace(/assets\/.*/, "");
  const load = async (src) => {
    const i = new Image();
    i.src = root + src;
    await i.decode();
    return i;
  };
  const dots = await load(`${name}.png`);
  const vector = await load(`${name}.svg`);
  const [w, h] = [dots.naturalWidth, dots.naturalHeight];
  const pixels = (image) => {
    const c = document.createElement("canvas");
    [c.width, c.height] = [w, h];
    const x = c.getContext("2d");
    x.drawImage(image, 0, 0, w, h);
    return x.getImageData(0, 0, w, h).data;
  };
  const [a, b] = [pixels(dots), pixels(vector)];
  const side = 24;
  let worst = 0;
  let at = "";
  for (let y = 0; y + side <= h; y += side) {
    for (let x = 0; x + side <= w; x += side) {
      for (let k = 0; k < 3; k++) {
        let sum = 0;
        for (let j = 0; j < side; j++) for (let i = 0; i < side; i++) sum += a[4 * ((y + j) * w + x + i) + k] - b[4 * ((y + j) * w + x + i) + k];
        const d = Math.abs(sum) / side ** 2;
        if (!(d <= worst)) [worst, at] = [d, `${x}, ${y}`];
      }
    }
  }
  // Words that leave the picture.
  const holder = document.createElement("div");
  holder.innerHTML = (await (await fetch(`${root}${name}.svg`)).text()).replace(/^<\?xml[^>]*>/, "");
  document.body.append(holder);
  const frame = holder.querySelector("svg").getBoundingClientRect();
  const cut = [...holder.querySelectorAll("text")].filter((t) => {
    const b = t.getBoundingClientRect();
    const room = 4; // the box of a line is a quarter higher than its letters
    return b.left < frame.left - room || b.right > frame.right + room || b.top < frame.top - room || b.bottom > frame.bottom + room;
  }).map((t) => t.textContent);
  holder.remove();
  return { worst, at, cut };
}

// sideways runs in a live page: it lists controls that cannot be brought into sight, or
// whose drawing is out of sight then.
export function sideways() {
  const complaints = [];
  for (const e of document.querySelectorAll(".bench input, .bench button")) {
    if (!e.checkVisibility()) continue;
    e.scrollIntoView({ block: "center", behavior: "instant" });
    const b = e.getBoundingClientRect();
    const seen = document.elementFromPoint(b.x + b.width / 2, b.y + b.height / 2);
    const name = e.id || e.getAttribute("aria-label") || e.textContent;
    if (!(seen === e || e.contains(seen) || (seen && seen.closest("label") && seen.closest("label").control === e))) complaints.push(`${name} is behind ${seen && seen.tagName}`);
    // What stands with the drawing scrolls with it.
    if (e.closest(".after, .seen")) continue;
    const drawing = document.querySelector(".bench .chart-box");
    document.querySelector(".bench .seen").scrollTop = 0;
    const d = drawing.getBoundingClientRect();
    if (d.bottom < 60 || d.top > innerHeight - 60) complaints.push(`the drawing is out of sight at ${name}`);
  }
  return complaints;
}

// native asks the library itself.
export function native(program) {
  const child = spawn(program, [], { stdio: ["pipe", "pipe", "inherit"] });
  const waiting = [];
  createInterface({ input: child.stdout }).on("line", (line) => waiting.shift()(JSON.parse(line)));
  return {
    ask: (name, request) => new Promise((done, fail) => {
      waiting.push((a) => (a.error ? fail(new Error(a.error)) : done(JSON.parse(a.answer))));
      child.stdin.write(JSON.stringify({ name, request: typeof request === "string" ? request : JSON.stringify(request) }) + "\n");
    }),
    close: () => child.stdin.end(),
  };
}

let complaints = 0;
let held = 0;

export function check(ok, what) {
  held++;
  if (!ok) {
    complaints++;
    console.error(`FAILED: ${what}`);
  }
  return ok;
}

// finish prints the count and sets the exit status.
export function finish() {
  console.log(`${held} checks, ${complaints} failed`);
  process.exitCode = complaints ? 1 : 0;
}

// apart returns the first place where two answers differ by more than the last
// digits that another processor's arithmetic may change, or "".
export function apart(a, b, at = "", within = 1e-9) {
  if (typeof a === "number" && typeof b === "number") {
    return Math.abs(a - b) <= within * Math.max(1, Math.abs(a), Math.abs(b)) ? "" : `${at}: ${a} and ${b}`;
  }
  if (a && b && typeof a === "object" && typeof b === "object") {
    const names = new Set([...Object.keys(a), ...Object.keys(b)]);
    for (const n of names) {
      const d = apart(a[n], b[n], `${at}.${n}`, within);
      if (d) return d;
    }
    return "";
  }
  return a === b ? "" : `${at}: ${a} and ${b}`;
}

// quantile of a list of numbers.
export const quantile = (list, q) => list.toSorted((x, y) => x - y)[Math.min(list.length - 1, Math.floor(q * list.length))];

// along reads a curve of straight lines at n + 1 places from its first point to
// its last.
export function along(xs, ys, n) {
  return Array.from({ length: n + 1 }, (_, k) => {
    const x = xs[0] + ((xs.at(-1) - xs[0]) * k) / n;
    const i = Math.max(1, xs.findIndex((v) => v >= x - 1e-9));
    const part = xs[i] > xs[i - 1] ? (x - xs[i - 1]) / (xs[i] - xs[i - 1]) : 1;
    return ys[i - 1] + part * (ys[i] - ys[i - 1]);
  });
}
