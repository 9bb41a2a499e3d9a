// The mechanism as a drawing that moves: plate, weights, springs, posts, cam and slot
// as one sees them who turns with the shaft. Shapes are the library's, in mm.
"use strict";
(() => {
  const NS = "http://www.w3.org/2000/svg";
  const make = (tag, attributes, ...children) => {
    const e = document.createElementNS(NS, tag);
    for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
    e.append(...children);
    return e;
  };

  // A layout of our own that many distributors resemble, for who has measured nothing yet.
  const opposite = ([x, y]) => [-x, -y];
  const one = { pivot: [23, 0], centre: [9, -13], plate: [6, 13], post: [13, -12] };
  bw.usualShape = {
    weights: [{ pivot: one.pivot, centre: one.centre }, { pivot: opposite(one.pivot), centre: opposite(one.centre) }],
    places: [
      { name: "first place", a: { on: "plate", at: one.plate }, b: { on: "weight", weight: 1, at: one.post } },
      { name: "second place", a: { on: "plate", at: opposite(one.plate) }, b: { on: "weight", weight: 2, at: opposite(one.post) } },
    ],
    cam: [[0, 0], [0.4, 0.32]], cam_clockwise: false, slot: { length: 11.4, pin: 5, radius: 20 }, stop_swing: 0.4, dist_rad_per_crank: Math.PI / 360,
  };

  const turn = ([x, y], [ox, oy], angle) => {
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    return [ox + c * (x - ox) - s * (y - oy), oy + s * (x - ox) + c * (y - oy)];
  };
  const distance = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

  // between reads one column of the cam's table at a value of the other, straight
  // between two rows and on beyond the last.
  const between = (table, from, to, value) => {
    let i = table.findIndex((row) => row[from] >= value);
    if (i < 0) i = table.length - 1;
    if (i === 0) i = Math.min(1, table.length - 1);
    const [a, b] = [table[Math.max(0, i - 1)], table[i]];
    return b[from] > a[from] ? a[to] + ((value - a[from]) / (b[from] - a[from])) * (b[to] - a[to]) : a[to];
  };
  bw.swingAt = (shape, cam) => between(shape.cam, 1, 0, cam); // of the weights, rad, at a turn of the cam

  const rim = 3.5; // how far a weight's outline is drawn beyond its points

  // distributor(box, shape, {dimensions, label}) draws a shape into a box. move(swing)
  // lets the weights swing, point(name) marks a dimension, draw(shape) takes another.
  bw.distributor = (box, begin, options = {}) => {
    const svg = make("svg", { class: "distributor", role: "img", "aria-label": options.label || "The mechanism, seen as turning with its shaft" });
    box.append(svg);
    let shape = begin;
    let swing = 0;
    let slotLength = begin.slot.length;
    let marked = "";
    let markedPlace = 0;
    let fitted = null; // by place; null for all
    let from = 0;

    const camTurn = (phi) => (shape.cam_clockwise ? -1 : 1) * between(shape.cam, 0, 1, phi);
    const at = (p, phi) => {
      if (p.on === "cam") return turn(p.at, [0, 0], camTurn(phi));
      return p.on === "weight" ? turn(p.at, shape.weights[p.weight - 1].pivot, phi) : p.at;
    };
    const around = (r, angle) => [r * Math.cos(angle), r * Math.sin(angle)];
    const sweep = () => ((shape.cam_clockwise ? -1 : 1) * (slotLength - shape.slot.pin)) / shape.slot.radius;

    // Where round the shaft the slot lies the job does not say: it is drawn where least
    // lies in the way.
    function placeSlot() {
      const others = [0, shape.stop_swing].flatMap((phi) => [
        ...shape.weights.flatMap((w) => {
          const c = turn(w.centre, w.pivot, phi);
          return [w.pivot, c, [(w.pivot[0] + c[0]) / 2, (w.pivot[1] + c[1]) / 2]];
        }),
        ...shape.places.flatMap((p) => [at(p.a, phi), at(p.b, phi)]),
      ]);
      let room = -1;
      for (let i = 0; i < 72; i++) {
        const angle = (2 * Math.PI * i) / 72;
        const near = Math.min(...[0, 0.5, 1].flatMap((part) => others.map((o) => distance(o, around(shape.slot.radius, angle + part * sweep())))));
        if (near > room + 1e-9) [from, room] = [angle, near];
      }
    }

    const size = () => Math.max(shape.slot.radius + shape.slot.pin / 2, ...[0, shape.stop_swing].flatMap((phi) => [
      ...shape.weights.flatMap((w) => [Math.hypot(...w.pivot), Math.hypot(...turn(w.centre, w.pivot, phi))]),
      ...shape.places.flatMap((p) => [Math.hypot(...at(p.a, phi)), Math.hypot(...at(p.b, phi))]),
    ])) + rim + 1;

    const xy = ([x, y]) => `${x.toFixed(2)} ${(-y).toFixed(2)}`;
    const line = (points) => `M${points.map(xy).join("L")}`;
    const circle = (c, r, kind) => make("circle", { class: kind, cx: c[0].toFixed(2), cy: (-c[1]).toFixed(2), r });
    const path = (d, kind, more = {}) => make("path", { class: kind, d, ...more });

    // The hull of a few points, so that a weight's outline holds them all.
    function hull(points) {
      const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
      const half = (list) => {
        const out = [];
        for (const q of list) {
          while (out.length >= 2 && (out.at(-1)[0] - out.at(-2)[0]) * (q[1] - out.at(-1)[1]) - (out.at(-1)[1] - out.at(-2)[1]) * (q[0] - out.at(-1)[0]) <= 0) out.pop();
          out.push(q);
        }
        return out.slice(0, -1);
      };
      return [...half(sorted), ...half(sorted.reverse())];
    }

    function coil(a, b) {
      const length = distance(a, b) || 1;
      const u = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
      const v = [-u[1], u[0]];
      const turns = 9;
      const points = [a];
      for (let i = 0; i <= 2 * turns; i++) {
        const along = length * (0.14 + (0.72 * i) / (2 * turns));
        const off = i === 0 || i === 2 * turns ? 0 : i % 2 ? 1.7 : -1.7;
        points.push([a[0] + u[0] * along + v[0] * off, a[1] + u[1] * along + v[1] * off]);
      }
      return line([...points, b]);
    }

    function slot(parts) {
      if (!(shape.slot.radius > 0 && shape.slot.length > 0)) return;
      const points = Array.from({ length: 25 }, (_, i) => around(shape.slot.radius, from + (sweep() * i) / 24));
      parts.push(path(line(points), "slot-edge", { "stroke-width": shape.slot.pin + 1.6 }), path(line(points), "slot", { "stroke-width": shape.slot.pin + 0.9 }),
        circle(around(shape.slot.radius, from + camTurn(swing)), shape.slot.pin / 2, "pin"));
    }

    // The dimensions that the job file asks for, between which points they are taken.
    function dimensions() {
      const w = shape.weights[0];
      const out = [
        ["A", "pivot_radius", [0, 0], w.pivot, 0.62], ["B", "centre_to_pivot", w.centre, w.pivot, 0.5], ["C", "centre_to_shaft", [0, 0], w.centre, 0.75],
      ];
      const p = shape.places[Math.min(markedPlace, shape.places.length - 1)];
      if (p) {
        const on = p.b.on === "weight" ? p.b.weight : p.a.weight || 1;
        const pivot = shape.weights[on - 1].pivot;
        out.push(["D", "pivot_to_plate_post", pivot, p.a.at, 0.75], ["E", "pivot_to_weight_post", pivot, p.b.at, 0.3], ["F", "posts_apart", p.a.at, p.b.at, 0.18]);
      }
      const s = around(shape.slot.radius, from);
      const way = 1 / shape.slot.radius;
      out.push(["G", "slot.radius", [0, 0], s, 0.35],
        ["H", "slot.length", around(shape.slot.radius + shape.slot.pin / 2 + 2.5, from - Math.sign(sweep()) * way * shape.slot.pin / 2), around(shape.slot.radius + shape.slot.pin / 2 + 2.5, from + sweep() + Math.sign(sweep()) * way * shape.slot.pin / 2), 0.5],
        ["I", "slot.pin", around(shape.slot.radius - shape.slot.pin / 2, from), around(shape.slot.radius + shape.slot.pin / 2, from), 0.5]);
      return out;
    }

    function paint() {
      const parts = [circle([0, 0], size(), "plate")];
      slot(parts);
      shape.weights.forEach((w, i) => {
        const points = [w.pivot, turn(w.centre, w.pivot, swing)];
        for (const p of shape.places) for (const q of [p.a, p.b]) if (q.on === "weight" && q.weight === i + 1) points.push(at(q, swing));
        const d = `${line(hull(points))}Z`;
        parts.push(path(d, "weight-edge", { "stroke-width": 2 * rim + 0.8 }), path(d, "weight", { "stroke-width": 2 * rim }));
      });
      parts.push(circle([0, 0], 5, "cam"), path(line([[0, 0], [0, -9]]), "cam-rest"), path(line([[0, 0], turn([0, -9], [0, 0], camTurn(swing))]), "cam-mark"));
      shape.places.forEach((p, i) => {
        if (!fitted || fitted[i]) parts.push(path(coil(at(p.a, swing), at(p.b, swing)), "spring"));
      });
      for (const w of shape.weights) {
        const c = turn(w.centre, w.pivot, swing);
        parts.push(circle(w.pivot, 1.6, "pivot"), circle(c, 1.3, "centre"), path(`${line([[c[0] - 1.9, c[1]], [c[0] + 1.9, c[1]]])}${line([[c[0], c[1] - 1.9], [c[0], c[1] + 1.9]])}`, "centre-mark"));
      }
      for (const p of shape.places) for (const q of [p.a, p.b]) parts.push(circle(at(q, swing), 1, "post"));
      if (options.dimensions) {
        for (const [letter, name, a, b, along] of dimensions()) {
          const here = name === marked;
          parts.push(path(line([a, b]), here ? "dimension marked" : "dimension"));
          const middle = [a[0] + along * (b[0] - a[0]), a[1] + along * (b[1] - a[1])];
          parts.push(circle(middle, 2.1, here ? "letter-ring marked" : "letter-ring"), make("text", { class: here ? "letter marked" : "letter", x: middle[0].toFixed(2), y: (1.15 - middle[1]).toFixed(2), "text-anchor": "middle" }, letter));
        }
      }
      svg.replaceChildren(...parts);
    }

    function draw(next) {
      shape = next;
      slotLength = shape.slot.length;
      swing = Math.min(swing, shape.stop_swing);
      if (shape.slot.radius > 0) placeSlot();
      const r = size() + 3;
      svg.setAttribute("viewBox", `${-r} ${-r} ${2 * r} ${2 * r}`);
      paint();
    }
    draw(begin);
    return {
      draw,
      move: (phi) => { swing = phi; paint(); },
      fit: (springs, slot_mm) => { fitted = springs; slotLength = slot_mm; paint(); },
      point: (name, where = "") => {
        marked = name;
        const [, n] = where.match(/spring_places\[(\d+)\]/) || [];
        if (n !== undefined) markedPlace = Number(n);
        paint();
      },
    };
  };
})();
