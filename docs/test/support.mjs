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
  return { url: `http://127.0.0.1:${server.address().port}/`, close: () => server.close() };
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
