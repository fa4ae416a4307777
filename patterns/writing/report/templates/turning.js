"use strict";
// Every figure of lines in space becomes a canvas that is turned by mouse, finger or keys. The still picture stays
// for paper, and for pages without scripts.
document.querySelectorAll("figure.turnable").forEach(function (figure) {
  const wires = JSON.parse(figure.querySelector("script").textContent).map(function (told) {
    const points = [];
    for (let i = 0; i < told[2].length; i += 3) points.push(told[2].slice(i, i + 3));
    return { name: told[0], heavy: told[1] === 1, points: points };
  });
  const still = figure.querySelector(".still");
  const canvas = document.createElement("canvas");
  const pen = canvas.getContext("2d");
  if (!pen || wires.length === 0) return;

  const middle = [0, 1, 2].map(function (axis) {
    const all = wires.flatMap(function (wire) { return wire.points.map(function (point) { return point[axis]; }); });
    return (Math.min(...all) + Math.max(...all)) / 2;
  });
  const reach = Math.max(...wires.flatMap(function (wire) {
    return wire.points.map(function (point) {
      return Math.hypot(point[0] - middle[0], point[1] - middle[1], point[2] - middle[2]);
    });
  }));
  const FIRST = { turn: 0.6, tip: 0.45, near: 1 }; // radians about the upright, then about the level; times larger
  const SIDES = {
    "at a slant": FIRST,
    "from the side": { turn: 0, tip: 0, near: 1 },
    "from ahead": { turn: Math.PI / 2, tip: 0, near: 1 },
    "from aft": { turn: -Math.PI / 2, tip: 0, near: 1 },
    "from above": { turn: 0, tip: Math.PI / 2, near: 1 },
  };
  const STEP = Math.PI / 36;
  let view = { ...FIRST };

  // x aft, y to starboard, z up; unturned the boat is seen from port with its bow to the left.
  function onPicture(point, size, middleOfPicture) {
    const x = point[0] - middle[0], y = point[1] - middle[1], z = point[2] - middle[2];
    const across = x * Math.cos(view.turn) - y * Math.sin(view.turn);
    const away = x * Math.sin(view.turn) + y * Math.cos(view.turn);
    const up = z * Math.cos(view.tip) + away * Math.sin(view.tip);
    return [middleOfPicture[0] + size * across, middleOfPicture[1] - size * up];
  }

  function draw() {
    const sharp = window.devicePixelRatio || 1;
    const wide = canvas.clientWidth, high = canvas.clientHeight;
    canvas.width = Math.round(wide * sharp);
    canvas.height = Math.round(high * sharp);
    pen.setTransform(sharp, 0, 0, sharp, 0, 0);
    pen.clearRect(0, 0, wide, high);
    pen.lineCap = pen.lineJoin = "round";
    pen.strokeStyle = "#111";
    const size = view.near * Math.min(wide / 2.05, high / 1.3) / reach;
    wires.forEach(function (wire) {
      pen.lineWidth = wire.heavy ? 2 : 0.8;
      pen.beginPath();
      wire.points.forEach(function (point, i) {
        const at = onPicture(point, size, [wide / 2, high / 2]);
        if (i === 0) pen.moveTo(at[0], at[1]); else pen.lineTo(at[0], at[1]);
      });
      pen.stroke();
    });
  }

  function turned(turn, tip) {
    view.turn += turn;
    view.tip = Math.max(-Math.PI / 2, Math.min(Math.PI / 2, view.tip + tip));
    draw();
  }

  function nearer(times) {
    view.near = Math.max(0.5, Math.min(8, view.near * times));
    draw();
  }

  const KEYS = {
    ArrowLeft: function () { turned(-STEP, 0); },
    ArrowRight: function () { turned(STEP, 0); },
    ArrowUp: function () { turned(0, STEP); },
    ArrowDown: function () { turned(0, -STEP); },
    "+": function () { nearer(1.2); },
    "=": function () { nearer(1.2); },
    "-": function () { nearer(1 / 1.2); },
    Home: function () { view = { ...FIRST }; draw(); },
  };

  canvas.tabIndex = 0;
  canvas.setAttribute("role", "img");
  canvas.setAttribute("aria-label", "The boat as lines in space. Arrow keys turn it, + and - come nearer and go " +
    "further off, Home puts it back.");
  canvas.addEventListener("keydown", function (event) {
    if (KEYS[event.key] && !event.ctrlKey && !event.metaKey && !event.altKey) {
      KEYS[event.key]();
      event.preventDefault();
    }
  });

  const held = new Map(); // pointers down on the canvas, by their ids
  canvas.addEventListener("pointerdown", function (event) {
    held.set(event.pointerId, [event.clientX, event.clientY]);
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", function (event) {
    const before = held.get(event.pointerId);
    if (!before) return;
    const now = [event.clientX, event.clientY];
    const other = [...held].filter(function (one) { return one[0] !== event.pointerId; }).map(function (one) { return one[1]; })[0];
    held.set(event.pointerId, now);
    if (other) nearer(apart(now, other) / Math.max(1, apart(before, other)));
    else turned((now[0] - before[0]) * 0.01, (now[1] - before[1]) * 0.01);
  });
  ["pointerup", "pointercancel"].forEach(function (what) {
    canvas.addEventListener(what, function (event) { held.delete(event.pointerId); });
  });

  function apart(one, other) { return Math.hypot(one[0] - other[0], one[1] - other[1]); }

  const buttons = document.createElement("p");
  function button(words, deed) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    made.addEventListener("click", deed);
    buttons.append(made);
  }
  Object.keys(SIDES).forEach(function (words) {
    button(words, function () { view = { ...SIDES[words] }; draw(); });
  });
  button("nearer", KEYS["+"]);
  button("further off", KEYS["-"]);

  still.hidden = true;
  still.after(canvas, buttons);
  window.addEventListener("resize", draw);
  draw();
});
