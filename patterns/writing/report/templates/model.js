"use strict";
// Every figure of bodies in space becomes a canvas that is turned by mouse, finger or keys: shaded where the browser
// has WebGL, by the bodies' edges elsewhere. The still picture stays for paper and for pages without scripts.
document.querySelectorAll("figure.model").forEach(function (figure) {
  const told = JSON.parse(figure.querySelector("script").textContent);
  const still = figure.querySelector(".still");
  const canvas = document.createElement("canvas");
  const STEP = Math.PI / 36, SHARP = Math.cos(Math.PI / 6);
  // Radians about the upright, then about the level; times larger; how far the parts are pulled apart, 0 to 1.
  const FIRST = { turn: 0.6, tip: 0.45, near: 1, apart: 0 };
  const SIDES = {
    "at a slant": { turn: 0.6, tip: 0.45 },
    "from the side": { turn: 0, tip: 0 },
    "from ahead": { turn: Math.PI / 2, tip: 0 },
    "from aft": { turn: -Math.PI / 2, tip: 0 },
    "from above": { turn: 0, tip: Math.PI / 2 },
    "from below": { turn: 0.6, tip: -0.45 },
  };
  let view = { ...FIRST };

  function numbers(text, Kind) {
    return new Kind(Uint8Array.from(atob(text), function (letter) { return letter.charCodeAt(0); }).buffer);
  }
  const minus = function (a, b) { return [a[0] - b[0], a[1] - b[1], a[2] - b[2]]; };
  const dot = function (a, b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; };
  const cross = function (a, b) {
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  };
  const unit = function (a) { const size = Math.sqrt(dot(a, a)) || 1; return [a[0] / size, a[1] / size, a[2] / size]; };

  // Points in mm from the boat's middle; x aft, y to starboard, z up.
  function body(one) {
    const whole = numbers(one.points, Int16Array), triangles = numbers(one.triangles, Uint16Array);
    const point = function (n) { return [0, 1, 2].map(function (axis) { return whole[3 * n + axis] * told.step; }); };
    const faces = [], about = new Map(), beside = new Map();
    for (let i = 0; i < triangles.length; i += 3) {
      const [a, b, c] = [0, 1, 2].map(function (k) { return triangles[i + k]; });
      const square = cross(minus(point(b), point(a)), minus(point(c), point(a)));
      const face = { corners: [a, b, c], square: square, normal: unit(square) };
      faces.push(face);
      [[a, b], [b, c], [c, a]].forEach(function (way) {
        about.set(way[0], (about.get(way[0]) || []).concat(face));
        beside.set(way[0] * 65536 + way[1], face);
      });
    }
    const skin = [], edges = [];
    faces.forEach(function (face) {
      face.corners.forEach(function (corner, k) {
        // The mean of the faces about this corner that turn little from this one: they are shaded as one curve.
        const sum = [0, 0, 0];
        about.get(corner).forEach(function (other) {
          if (dot(face.normal, other.normal) > SHARP) other.square.forEach(function (v, n) { sum[n] += v; });
        });
        skin.push(...point(corner), ...unit(sum));
        const next = face.corners[(k + 1) % 3], over = beside.get(next * 65536 + corner);
        if (corner < next && over && dot(face.normal, over.normal) < SHARP) edges.push(...point(corner), ...point(next));
      });
    });
    return { tone: one.tone, pulled: one.pulled, skin: new Float32Array(skin), edges: new Float32Array(edges) };
  }
  const bodies = told.bodies.map(body);

  const VERTEX = `#version 300 es
    in vec3 place; in vec3 normal; uniform vec3 pulled, size; uniform vec4 way; out vec3 facing;
    vec3 seen(vec3 p) {
      float across = p.x * way.x - p.y * way.y, off = p.x * way.y + p.y * way.x;
      return vec3(across, p.z * way.z + off * way.w, p.z * way.w - off * way.z);
    }
    uniform float nearer;
    void main() {
      vec3 p = seen(place + pulled);
      facing = seen(normal);
      gl_Position = vec4(p.xy * size.xy, -p.z * size.z - nearer, 1.0);
    }`;
  const FRAGMENT = `#version 300 es
    precision mediump float; in vec3 facing; uniform vec4 colour; out vec4 shown;
    void main() {
      float light = max(dot(normalize(facing), normalize(vec3(-0.5, 0.4, 1.0))), 0.0);
      shown = vec4(colour.rgb * mix(1.0, 0.5 + 0.58 * light, colour.a), 1.0);
    }`;

  // What draws: given the size of the canvas and the scale in pixels a mm.
  function shader() {
    const gl = canvas.getContext("webgl2", { antialias: true, alpha: true, preserveDrawingBuffer: true });
    if (!gl) return null;
    const program = gl.createProgram();
    [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]].forEach(function (one) {
      const made = gl.createShader(one[0]);
      gl.shaderSource(made, one[1]);
      gl.compileShader(made);
      gl.attachShader(program, made);
    });
    gl.bindAttribLocation(program, 0, "place");
    gl.bindAttribLocation(program, 1, "normal");
    gl.linkProgram(program);
    if (!gl.getProgramParameter(program, gl.LINK_STATUS)) return null;
    gl.useProgram(program);
    const at = {};
    ["pulled", "size", "way", "colour", "nearer"].forEach(function (name) { at[name] = gl.getUniformLocation(program, name); });
    function kept(data, stride) {
      const buffer = gl.createBuffer();
      gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
      gl.bufferData(gl.ARRAY_BUFFER, data, gl.STATIC_DRAW);
      return { buffer: buffer, stride: stride, count: data.length / stride };
    }
    function run(data, mode) {
      gl.bindBuffer(gl.ARRAY_BUFFER, data.buffer);
      gl.enableVertexAttribArray(0);
      gl.vertexAttribPointer(0, 3, gl.FLOAT, false, data.stride * 4, 0);
      if (data.stride === 6) {
        gl.enableVertexAttribArray(1);
        gl.vertexAttribPointer(1, 3, gl.FLOAT, false, 24, 12);
      } else {
        gl.disableVertexAttribArray(1);
        gl.vertexAttrib3f(1, 0, 0, 1);
      }
      gl.drawArrays(mode, 0, data.count);
    }
    const ready = bodies.map(function (one) {
      return { tone: one.tone, pulled: one.pulled, skin: kept(one.skin, 6), edges: kept(one.edges, 3) };
    });
    gl.enable(gl.DEPTH_TEST);
    return function (wide, high, scale) {
      gl.viewport(0, 0, canvas.width, canvas.height);
      gl.clearColor(0, 0, 0, 0);
      gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
      gl.uniform3f(at.size, 2 * scale / wide, 2 * scale / high, 0.25 / told.reach);
      gl.uniform4f(at.way, Math.cos(view.turn), Math.sin(view.turn), Math.cos(view.tip), Math.sin(view.tip));
      ready.forEach(function (one) {
        gl.uniform3f(at.pulled, ...one.pulled.map(function (far) { return far * view.apart; }));
        gl.uniform1f(at.nearer, 0);
        gl.uniform4f(at.colour, one.tone, one.tone * 0.91, one.tone * 0.76, 1);
        run(one.skin, gl.TRIANGLES);
        gl.uniform1f(at.nearer, 0.0004);
        gl.uniform4f(at.colour, 0.13, 0.12, 0.1, 0);
        run(one.edges, gl.LINES);
      });
    };
  }

  function pen() {
    const ink = canvas.getContext("2d");
    if (!ink) return null;
    return function (wide, high, scale) {
      const sharp = canvas.width / wide, cos = Math.cos, sin = Math.sin;
      ink.setTransform(sharp, 0, 0, sharp, 0, 0);
      ink.clearRect(0, 0, wide, high);
      ink.strokeStyle = "#111";
      ink.lineWidth = 0.7;
      ink.beginPath();
      bodies.forEach(function (one) {
        for (let i = 0; i < one.edges.length; i += 3) {
          const [x, y, z] = [0, 1, 2].map(function (n) { return one.edges[i + n] + one.pulled[n] * view.apart; });
          const off = x * sin(view.turn) + y * cos(view.turn);
          const across = wide / 2 + scale * (x * cos(view.turn) - y * sin(view.turn));
          const down = high / 2 - scale * (z * cos(view.tip) + off * sin(view.tip));
          if (i % 6 === 0) ink.moveTo(across, down); else ink.lineTo(across, down);
        }
      });
      ink.stroke();
    };
  }
  const drawn = shader() || pen();
  if (!drawn) return;

  function draw() {
    const sharp = window.devicePixelRatio || 1, wide = canvas.clientWidth, high = canvas.clientHeight;
    canvas.width = Math.round(wide * sharp);
    canvas.height = Math.round(high * sharp);
    // As large as the canvas takes, from wherever the boat is seen; but not larger and larger as it turns end on.
    const [long, broad, deep] = told.half.map(function (half, axis) { return half + view.apart * told.more[axis]; });
    const [cos, sin, tip] = [Math.cos(view.turn), Math.sin(view.turn), Math.sin(view.tip)].map(Math.abs);
    const across = long * cos + broad * sin, up = (0.85 * long * sin + broad * cos) * tip + 0.9 * deep * Math.cos(view.tip);
    drawn(wide, high, view.near * Math.min(0.47 * wide / across, 0.47 * high / up, 0.8 * wide / long));
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
    Home: function () { view = { ...FIRST }; slider.value = 0; draw(); },
  };
  canvas.tabIndex = 0;
  canvas.setAttribute("role", "img");
  canvas.setAttribute("aria-label", told.said);
  canvas.addEventListener("keydown", function (event) {
    if (KEYS[event.key] && !event.ctrlKey && !event.metaKey && !event.altKey) {
      KEYS[event.key]();
      event.preventDefault();
    }
  });

  const held = new Map(); // pointers down on the canvas, by their ids
  function apart(one, other) { return Math.hypot(one[0] - other[0], one[1] - other[1]); }
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

  const buttons = document.createElement("p");
  function button(words, deed) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    made.addEventListener("click", deed);
    buttons.append(made);
  }
  Object.keys(SIDES).forEach(function (words) {
    button(words, function () { view = { ...view, ...SIDES[words] }; draw(); });
  });
  button("nearer", KEYS["+"]);
  button("further off", KEYS["-"]);
  const slider = document.createElement("input"), label = document.createElement("label");
  slider.type = "range";
  [slider.min, slider.max, slider.step, slider.value] = [0, 1, 0.02, 0];
  slider.addEventListener("input", function () { view.apart = Number(slider.value); draw(); });
  label.append("pull apart ", slider);
  buttons.append(label);

  still.hidden = true;
  still.after(canvas, buttons);
  window.addEventListener("resize", draw);
  draw();
});
