// What the bench asks for, in a workshop's words: for each field of the job file its
// name on the page, the unit of a bare number, a hint, and its letter on the drawing.
"use strict";
(() => {
  const quantity = (key, label, unit, hint, more) => ({ key, label, unit, hint, ...more });
  const mm = (key, label, hint, more) => quantity(key, label, "mm", hint, more);
  const speed = (key, label, hint) => quantity(key, label, "rpm crank", hint);
  const angle = (key, label, hint) => quantity(key, label, "deg crank", hint);
  const words = (key, label, hint) => ({ key, label, kind: "words", hint });
  const count = (key, label, hint) => ({ key, label, kind: "count", hint });
  const tick = (key, label, hint) => ({ key, label, kind: "tick", hint });
  const choice = (key, label, options, hint) => ({ key, label, kind: "choice", options, hint });
  const pairs = (key, label, unit, hint) => ({ key, label, kind: "pairs", unit, hint });
  const part = (key, label, of, hint) => ({ key, label, kind: "part", of, hint });

  const first = [
    speed("engine.idle", "Warm idle", "left out: 800"),
    angle("target.total", "Total wanted, all in", "left out: what the engine wants once it is described, 34 until then"),
  ];

  const readings = {
    columns: [
      speed("at", "engine speed, rpm"), angle("shows", "light shows, deg BTDC"),
    ],
    further: [
      tick("falling", "speed falling"), quantity("vacuum", "hose on: vacuum, inHg", "inHg"), words("note", "note"),
    ],
  };

  const taken = [
    words("title", "Name of the job"),
    angle("static_reading", "Timing with the weights at rest", "read while the starter turns it, or with a test lamp and the engine still"),
    angle("set_static", "Static timing as it was set", "with a lamp, to be held against the readings"),
    angle("light.angle_error", "One reading is good to ±", "one standard deviation; left out: 1"),
    speed("light.speed_error", "Its speed is good to ±", "one standard deviation; left out: 25"),
    angle("engine.piston_stop[0]", "Piston stop, mark before top centre", "the two marks at which a stop holds the crank give the error of the timing mark"),
    angle("engine.piston_stop[1]", "Piston stop, mark after top centre"),
  ];

  const wanted = [
    speed("target.all_in[0]", "All in from", "left out: 2200"), speed("target.all_in[1]", "to", "left out: 2800"),
    angle("target.static_range[0]", "Static timing from", "that starts well; left out: 4"), angle("target.static_range[1]", "to", "left out: 16"),
    speed("target.start_above_idle", "Begins above idle by", "left out: 100"),
    angle("target.knock_margin", "Stay below the knock limit by", "left out: 3"),
    angle("target.smallest_travel", "Least travel worth keeping", "left out: 4"),
    tick("target.advance_at_idle_accepted", "The advance may have begun at idle"),
    tick("target.snapping_accepted", "A curve that jumps is accepted"),
    count("target.recipes", "Recipes to show", "left out: 3"),
  ];

  const slot = [
    mm("distributor.slot.length", "Length, end to end along its middle", "", { letter: "H", name: "slot.length" }),
    mm("distributor.slot.pin", "Pin or bush in it, diameter", "", { letter: "I", name: "slot.pin" }),
    mm("distributor.slot.radius", "Shaft's axis to the middle of the slot", "", { letter: "G", name: "slot.radius" }),
  ];

  const plate = [
    mm("distributor.pivot_radius", "Shaft's axis to a weight's pivot", "", { letter: "A", name: "pivot_radius" }),
    count("distributor.weights_count", "Equal weights round the shaft", "left out: 2"),
    quantity("distributor.cam_per_swing", "Cam turn per turn of a weight", ":1", "turn a weight by hand, read two degree wheels"),
    quantity("distributor.cam_drag", "Drag of points and rotor on the cam", "mN m", "left out: 0"),
    quantity("distributor.friction", "Friction of the mechanism", "mN m", "left out: 0"),
    choice("distributor.drive", "Driven at", [["four-stroke", "half engine speed, four-stroke"], ["crank-speed", "engine speed"]]),
  ];
  const places = {
    path: "distributor.spring_places", one: "Spring place", add: "Add a spring place",
    fields: [
      words("name", "Name", "such as left"), count("weight", "On which weight", "1, 2, ..."),
      mm("pivot_to_plate_post", "Weight's pivot to the post on the plate", "", { letter: "D", name: "pivot_to_plate_post" }),
      mm("pivot_to_weight_post", "Weight's pivot to the post on the weight", "", { letter: "E", name: "pivot_to_weight_post" }),
      mm("posts_apart", "From post to post", "", { letter: "F", name: "posts_apart" }),
    ],
  };

  const springs = {
    path: "drawer.springs", one: "Spring", add: "Add a spring",
    fields: [
      words("name", "Name", "your own, such as light"), count("count", "How many of it", "left out: 1"),
      mm("free_length", "Free length, inside the loops"), quantity("rate", "Rate", "N/mm", "or hang weights from it, below"),
      quantity("initial_tension", "Initial tension", "N", "the pull that opens the first coil; left out: 0"),
      mm("slack", "Play of a long loop", "left out: 0"), tick("loose_at_rest", "Hangs loose on its post while the weights rest", "what readings say of a spring is then surer"),
      quantity("rate_within", "Rate known to", "%", "one standard deviation; left out: 5"),
    ],
    table: {
      path: "hung", caption: "Hung from it: load and length", add: "Add a load",
      columns: [quantity("mass", "mass, g", "g"), mm("length", "length inside the loops, mm")],
    },
  };
  const weights = {
    path: "drawer.weights", one: "Weights", add: "Add weights",
    fields: [
      words("name", "Name", "your own, such as original"), quantity("mass", "Mass of one", "g"),
      mm("centre_to_pivot", "Centre of mass to its pivot", "hang it from two holes in turn: the plumb lines cross there", { letter: "B", name: "centre_to_pivot" }),
      mm("centre_to_shaft", "Centre of mass to the shaft's axis", "at rest", { letter: "C", name: "centre_to_shaft" }),
      pairs("outline", "Or its edge, traced or off a photograph", "mm", "in place of the two distances, where it is evenly thick: a line for each point, as it lies at rest, x and y from the shaft's axis with the pivot on the x axis"),
    ],
  };

  const engine = [
    count("engine.cylinders", "Cylinders"), mm("engine.bore", "Bore"), mm("engine.stroke", "Stroke"),
    quantity("engine.compression_ratio", "Compression", ":1"),
    words("engine.fuel[0]", "Fuel as the pump says", "95 RON, or 91 (R+M)/2"), words("engine.fuel[1]", "and its motor octane", "85 MON, if known"),
    speed("engine.top", "Highest speed in use", "left out: 4500"), speed("engine.full_load_from", "Full throttle from", "left out: 1000"),
    mm("engine.damper_diameter", "Rim with the timing marks, diameter", "for marks along it"),
    quantity("engine.altitude", "Height above the sea", "m", "left out: 0"), quantity("engine.inlet_temperature", "Air at the carburettor", "degC", "left out: 30"),
    mm("engine.rod", "Connecting rod", "left out: 1.75 strokes"),
  ];
  const observed = {
    path: "engine.observed", caption: "What you heard or felt at full load", add: "Add an observation",
    columns: [
      choice("what", "what", [["", ""], ["no knock", "no knock"], ["trace knock", "trace knock"], ["backed off", "backed off"], ["best torque", "best torque"]]),
      speed("at", "at, rpm"), angle("spark", "total there, deg"),
    ],
  };

  const pump = {
    path: "vacuum.pump", caption: "Hand pump on the unit", add: "Add a pump reading",
    columns: [
      quantity("at", "vacuum, inHg", "inHg"), choice("arm", "the arm", [["", "is held"], ["starts", "starts"], ["stops", "stops"]]),
      quantity("shows", "adds, deg distributor", "deg dist"), mm("rod", "or rod drawn in, mm"),
    ],
  };
  const vacuum = [
    quantity("vacuum.idle_vacuum", "Manifold vacuum at idle", "inHg"), quantity("vacuum.cruise_vacuum", "at cruise", "inHg"),
    speed("vacuum.cruise_speed", "Cruise speed"), angle("vacuum.cruise_total", "Total wanted at cruise", "left out: what the engine wants"),
  ];
  const unit = [
    mm("vacuum.diaphragm", "Diaphragm, diameter where clamped"), mm("vacuum.plate", "Rigid plate in its middle"),
    quantity("vacuum.rate", "Rate of its spring", "N/mm"), quantity("vacuum.preload", "Preload of its spring", "N"),
    mm("vacuum.travel", "Travel of the rod"), mm("vacuum.arm", "Rod to the shaft's axis"), quantity("vacuum.friction", "Friction at the rod", "N", "left out: 0"),
  ];

  const run = [
    words("label", "Name of the run", "such as as found"), words("date", "Date", "2026-05-31"),
    choice("clamp", "The clamp since the run before", [["", "not known"], ["unmoved", "unmoved"], ["moved", "moved"]]),
    angle("clamp_moved_by", "Moved by", "advance positive"),
    mm("slot_length", "Slot then, length"), mm("bush", "Pin or bush in it then"),
    part("weights", "Weights then", "drawer.weights"),
    quantity("dwell", "Dwell then", "deg dist"), words("tachometer", "Tachometer", "if it was another one"),
    choice("where", "Read on", [["", "the engine"], ["machine", "a distributor machine"]]),
    tick("hose_on", "Vacuum hose on at every reading"),
  ];

  bw.fields = { first, readings, taken, wanted, slot, plate, places, springs, weights, engine, observed, pump, vacuum, unit, run };
})();
