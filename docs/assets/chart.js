// bw.chart draws advance over engine speed into a box: bands, lines and points,
// in the colours of the style sheet.
"use strict";
(() => {
  const NS = "http://www.w3.org/2000/svg";
  const make = (tag, attributes, ...children) => {
    const e = document.createElementNS(NS, tag);
    for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
    e.append(...children);
    return e;
  };
  const edge = { left: 46, right: 12, top: 10, bottom: 42 };

  // A step of 1, 2 or 5 times a power of ten that gives about n divisions.
  function stepFor(span, n) {
    const raw = span / n;
    const power = 10 ** Math.floor(Math.log10(raw));
    return [1, 2, 5, 10].map((f) => f * power).find((s) => s >= raw);
  }

  // chart(box, {label, x, y}) has draw({bands, lines, marks, labels, x, y}) and a
  // plane: toX, toY and the inverse of both for a pointer.
  bw.chart = (box, options) => {
    const svg = make("svg", { class: "chart", role: options.role || "img", "aria-label": options.label });
    const under = make("g", {});
    const over = make("g", {});
    svg.append(under, over);
    box.append(svg);
    const legend = bw.element("ul.legend");
    box.append(legend);
    let shown = { bands: [], lines: [], x: options.x, y: options.y };
    let width = 600;
    let height = 380;
    const plane = {
      svg, over,
      toX: (x) => edge.left + ((x - shown.x[0]) / (shown.x[1] - shown.x[0])) * (width - edge.left - edge.right),
      toY: (y) => height - edge.bottom - ((y - shown.y[0]) / (shown.y[1] - shown.y[0])) * (height - edge.top - edge.bottom),
      fromX: (px) => shown.x[0] + ((px - edge.left) / (width - edge.left - edge.right)) * (shown.x[1] - shown.x[0]),
      fromY: (py) => shown.y[0] + ((height - edge.bottom - py) / (height - edge.top - edge.bottom)) * (shown.y[1] - shown.y[0]),
      label: (text) => svg.setAttribute("aria-label", text),
      onresize: () => {},
    };

    const trace = (xs, ys) => xs.map((x, i) => `${i ? "L" : "M"}${plane.toX(x).toFixed(1)} ${plane.toY(ys[i]).toFixed(1)}`).join("");

    function axes() {
      const parts = [];
      const [x0, x1] = shown.x;
      const [y0, y1] = shown.y;
      const sx = stepFor(x1 - x0, width / 90);
      const sy = stepFor(y1 - y0, height / 55);
      for (let x = Math.ceil(x0 / sx) * sx; x <= x1 + 1e-9; x += sx) {
        parts.push(make("line", { class: "grid", x1: plane.toX(x), x2: plane.toX(x), y1: edge.top, y2: height - edge.bottom }));
        parts.push(make("text", { class: "tick", x: plane.toX(x), y: height - edge.bottom + 16, "text-anchor": "middle" }, String(Math.round(x))));
      }
      for (let y = Math.ceil(y0 / sy) * sy; y <= y1 + 1e-9; y += sy) {
        parts.push(make("line", { class: "grid", x1: edge.left, x2: width - edge.right, y1: plane.toY(y), y2: plane.toY(y) }));
        parts.push(make("text", { class: "tick", x: edge.left - 6, y: plane.toY(y) + 4, "text-anchor": "end" }, String(Math.round(y * 10) / 10)));
      }
      parts.push(make("text", { class: "axis", x: (edge.left + width - edge.right) / 2, y: height - 6, "text-anchor": "middle" }, "engine speed, rpm"));
      parts.push(make("text", { class: "axis", transform: `translate(12 ${(edge.top + height - edge.bottom) / 2}) rotate(-90)`, "text-anchor": "middle" }, "deg crank before top centre"));
      return parts;
    }

    function paint() {
      const parts = axes();
      const clip = make("clipPath", { id: `${box.id}-clip` }, make("rect", { x: edge.left, y: edge.top, width: Math.max(1, width - edge.left - edge.right), height: height - edge.top - edge.bottom }));
      const inside = make("g", { "clip-path": `url(#${box.id}-clip)` });
      for (const b of shown.bands) {
        if (!b.x.length) continue;
        const back = b.x.map((_, i) => b.x.length - 1 - i);
        inside.append(make("path", { class: `band ${b.look}`, d: trace(b.x, b.low) + "L" + trace(back.map((i) => b.x[i]), back.map((i) => b.high[i])).slice(1) + "Z" }));
      }
      for (const l of shown.lines) {
        if (l.x.length) inside.append(make("path", { class: `line ${l.look}`, d: trace(l.x, l.y) }));
      }
      for (const m of shown.marks || []) {
        inside.append(make("circle", { class: "mark", cx: plane.toX(m.x), cy: plane.toY(m.y), r: 4 }));
      }
      for (const t of shown.labels || []) {
        inside.append(make("text", { class: "on-line", x: plane.toX(t.x).toFixed(1), y: plane.toY(t.y).toFixed(1), "text-anchor": t.anchor || "middle" }, t.text));
      }
      under.replaceChildren(clip, ...parts, inside);
    }

    plane.draw = (what) => {
      shown = { ...shown, ...what };
      paint();
      const names = [...shown.lines, ...shown.bands].filter((s) => s.x.length);
      const key = names.map((s) => s.look + s.name).join("|");
      if (legend.dataset.key !== key) {
        legend.dataset.key = key;
        legend.replaceChildren(...names.map((s) => {
          const swatch = make("svg", { class: "swatch", width: 28, height: 12, "aria-hidden": "true" });
          swatch.append(s.low ? make("rect", { class: `band ${s.look}`, width: 28, height: 12 }) : make("path", { class: `line ${s.look}`, d: "M0 6L28 6" }));
          return bw.element("li", {}, swatch, " " + s.name);
        }));
      }
    };

    new ResizeObserver(() => {
      const room = box.clientWidth;
      if (!room || room === width && svg.getAttribute("viewBox")) return;
      width = room;
      height = Math.max(240, Math.min(430, room * 0.62));
      svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
      svg.setAttribute("width", width);
      svg.setAttribute("height", height);
      paint();
      plane.onresize();
    }).observe(box);
    return plane;
  };
})();
