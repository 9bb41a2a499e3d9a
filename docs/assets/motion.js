// The mechanism moving with the engine's speed: a slider, play, and what is happening
// in words. Where rising and falling differ the weights stay where they are until the
// curve of the way that the speed goes takes them along.
"use strict";
(() => {
  const el = bw.element;
  const still = matchMedia("(prefers-reduced-motion: reduce)");

  // motion(box, shape, top, changed) draws into a box; changed({rpm, deg, rising}) is
  // called with every place. It has set(mechanism, springs, slot_mm), with what the
  // library answered, and the state as it stands.
  bw.motion = (box, shape, top, changed) => {
    const picture = el("div.moving");
    const says = el("p.state", { id: "state" });
    const told = el("p.told", { role: "status" }); // to a reader of the screen, when the state is another one
    const slider = el("input", { type: "range", id: "engine-speed", min: 0, max: top, step: 10, value: 0 });
    const shown = el("span.value", { "aria-hidden": "true" });
    const play = el("button", { type: "button", id: "play", "aria-pressed": "false" }, "Run the engine up and down");
    box.append(picture, says, told, el("div.knob", {}, el("label", { for: "engine-speed" }, "Engine speed"), slider, shown), el("p.buttons", {}, play));
    const drawn = bw.distributor(picture, shape, { label: "The mechanism as one sees it who turns with the shaft: plate, weights, springs, cam and slot" });
    let m = null;
    let deg = 0; // mechanical advance as it stands, crank degrees
    let rpm = 0;
    let rising = true;
    let running = 0;

    const read = (curve, n) => {
      const i = Math.min(m.rpm.length - 2, Math.max(0, Math.floor(n / (m.rpm[1] - m.rpm[0]))));
      const part = Math.min(1, Math.max(0, (n - m.rpm[i]) / (m.rpm[i + 1] - m.rpm[i])));
      return curve[i] + part * (curve[i + 1] - curve[i]) - (m.total_deg - m.travel_deg + m.vacuum_deg);
    };

    function words() {
      const sweep = rising ? "rising" : "falling";
      const way = `Speed ${sweep}, ${bw.rpm(rpm)} rpm: `;
      const near = m.events.filter((e) => e.sweep === sweep);
      const jump = near.find((e) => e.kind === "snap" && Math.abs(e.rpm - rpm) <= 60);
      const hold = near.find((e) => e.kind === "hold" && rpm >= Math.min(e.rpm, e.to_rpm) - 5 && rpm <= Math.max(e.rpm, e.to_rpm) + 5);
      if (jump) return `${way}the weights snap from ${bw.deg(jump.mechanical_deg)} to ${bw.deg(jump.to_deg)} deg, ${jump.cause}.`;
      if (m.travel_deg - deg < 0.05) return `${way}at the stop, the pin against the end of the slot, ${bw.deg(m.travel_deg)} deg of mechanical advance.`;
      if (deg < 0.05) return `${way}weights at rest, no mechanical advance.`;
      if (hold) return `${way}the weights hold at ${bw.deg(deg)} deg from ${bw.rpm(Math.min(hold.rpm, hold.to_rpm))} to ${bw.rpm(Math.max(hold.rpm, hold.to_rpm))} rpm, ${hold.cause}.`;
      return `${way}the weights move, ${bw.deg(deg)} deg of mechanical advance.`;
    }

    function place(n) {
      if (n !== rpm) rising = n > rpm;
      rpm = n;
      if (!m) return;
      const [low, high] = [read(m.rising_deg, rpm), read(m.falling_deg, rpm)];
      deg = Math.min(Math.max(deg, low), Math.max(low, high));
      if (Math.abs(m.travel_deg - deg) < 0.01) deg = m.travel_deg;
      const swing = bw.swingAt(shape, Math.max(0, deg) * shape.dist_rad_per_crank);
      drawn.move(swing);
      slider.value = rpm;
      shown.textContent = `${bw.rpm(rpm)} rpm`;
      const text = words();
      slider.setAttribute("aria-valuetext", text);
      says.textContent = text;
      const kind = text.split(":")[1].slice(0, 14);
      if (!running || told.dataset.kind !== kind) told.textContent = text;
      told.dataset.kind = kind;
      changed({ rpm, deg: deg + m.total_deg - m.travel_deg + m.vacuum_deg, rising, swing });
    }

    slider.addEventListener("input", () => {
      stop();
      place(Number(slider.value));
    });

    function stop() {
      running = 0;
      play.textContent = "Run the engine up and down";
      play.setAttribute("aria-pressed", "false");
    }
    // Up and down in twelve seconds; in steps of 250 rpm for who wants less motion.
    function run() {
      const mine = ++count;
      running = mine;
      let up = rpm < top;
      let last = performance.now();
      play.textContent = "Stop";
      play.setAttribute("aria-pressed", "true");
      const on = (now) => {
        if (running !== mine) return;
        const calm = still.matches;
        const by = calm ? 250 : ((now - last) / 1000) * (top / 6);
        last = now;
        const next = up ? Math.min(top, rpm + by) : Math.max(0, rpm - by);
        place(next);
        if (up && next >= top) up = false;
        else if (!up && next <= 0) {
          stop();
          return;
        }
        if (calm) setTimeout(() => on(performance.now()), 900);
        else requestAnimationFrame(on);
      };
      if (still.matches) on(last);
      else requestAnimationFrame(on);
    }
    let count = 0;
    play.addEventListener("click", () => (running ? stop() : run()));

    return {
      set: (mechanism, springs, slotLength) => {
        m = mechanism;
        drawn.fit(springs, slotLength);
        deg = Math.min(deg, m.travel_deg);
        place(rpm);
      },
      place,
    };
  };
})();
