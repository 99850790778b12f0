// What the plan and the view in space share: what is drawn, how it looks, what lies under the pointer.

const REACH = 8, HALF_SHAPE = 8, CROWD = 14, RING = 16; // pixels
const SEVERITY = ["fail", "accepted", "needs-input", "pass", "none"];
const shapes = Object.fromEntries(Object.entries(SHAPES).map(([name, [body, sign]]) => [name, { body: new Path2D(body), sign: new Path2D(sign) }]));

/** Colours of the theme as it is now. */
function palette() {
  const style = getComputedStyle(document.documentElement);
  const colour = (name) => style.getPropertyValue(`--${name}`).trim();
  return {
    paper: colour("paper"), ink: colour("ink"), quiet: colour("quiet"), chosen: colour("link"),
    fail: colour("fail"), accepted: colour("fail"), "needs-input": colour("needs-input"), pass: colour("drawn"), none: colour("drawn"),
  };
}

/** Boxes and runs by outcome, the gravest last so that they are drawn over the others. */
const drawn = (() => {
  const all = [...boxes.map((_, place) => ({ kind: "box", place })), ...runs.map((_, place) => ({ kind: "run", place }))];
  const subjects = all.map((subject) => ({ ...subject, state: stateOf(subject), storey: whereOf(recordOf(subject).where).storey ?? "" }))
    .filter((subject) => subject.kind === "box" || lines.starts[subject.place + 1] - lines.starts[subject.place] > 1);
  return subjects.sort((a, b) => SEVERITY.indexOf(b.state) - SEVERITY.indexOf(a.state));
})();

const storeys = (() => {
  const found = new Map();
  for (const where of content.wheres) if (where.storey) found.set(where.storey, where.elevation ?? 0);
  return [...found].sort((a, b) => b[1] - a[1]).map(([name]) => name);
})();

/** Bounds of several subjects together; null without any. */
function boundsOfAll(subjects) {
  if (!subjects.length) return null;
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  for (const subject of subjects) {
    const bounds = boundsOf(subject);
    for (let along = 0; along < 3; along += 1) {
      low[along] = Math.min(low[along], bounds.low[along]);
      high[along] = Math.max(high[along], bounds.high[along]);
    }
  }
  return { low, high, middle: low.map((value, along) => (value + high[along]) / 2) };
}

/** Middle of a box, or the point half way along a run. */
function middleOf(subject) {
  if (subject.kind === "box") return boxes[subject.place].middle;
  const at = Math.floor((lines.starts[subject.place] + lines.starts[subject.place + 1]) / 2);
  const [one, other] = [at - 1, at].map((place) => lines.points.subarray(3 * place, 3 * place + 3));
  return [0, 1, 2].map((along) => (one[along] + other[along]) / 2);
}

/** Corners of the outline of points in a plane. */
function hull(points) {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (ordered) => {
    const kept = [];
    for (const point of ordered) {
      while (kept.length > 1 && turn(kept.at(-2), kept.at(-1), point) <= 0) kept.pop();
      kept.push(point);
    }
    return kept.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

const turn = (a, b, c) => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
const isInside = (at, outline) => outline.every((corner, place) => turn(corner, outline[(place + 1) % outline.length], at) >= 0);

/** Shape of an outcome at a place on a canvas. */
function drawShape(context, state, [x, y], colours) {
  context.save();
  context.translate(x - HALF_SHAPE, y - HALF_SHAPE);
  context.lineWidth = 1.8;
  context.fillStyle = state === "fail" ? colours.fail : colours.paper;
  context.strokeStyle = colours[state];
  context.fill(shapes[state].body);
  context.stroke(shapes[state].body);
  context.strokeStyle = state === "fail" ? colours.paper : colours[state];
  context.stroke(shapes[state].sign);
  context.restore();
}

/** Shapes at what doesn't pass, of those that crowd one place the gravest; `toPixel` gives null behind the eye. */
function drawShapes(context, subjects, toPixel, colours) {
  const taken = new Map();
  for (const subject of subjects) {
    const at = ["pass", "none"].includes(subject.state) ? null : toPixel(middleOf(subject));
    if (at) taken.set(`${Math.round(at[0] / CROWD)},${Math.round(at[1] / CROWD)}`, [subject.state, at]);
  }
  for (const [state, at] of taken.values()) drawShape(context, state, at, colours);
}

/** Ring round the selected box. */
function drawRing(context, [x, y], colours) {
  context.strokeStyle = colours.chosen;
  context.lineWidth = 2.5;
  context.beginPath();
  context.arc(x, y, RING, 0, 2 * Math.PI);
  context.stroke();
}

/** Box or run under the pointer: the smallest box there, else the nearest run; null if there is none. */
function pickAt(pointer, subjects, toPixel) {
  let box = null, least = Infinity, run = null, nearest = REACH;
  for (const subject of subjects) {
    if (subject.kind === "box") {
      const corners = cornersOf(boxes[subject.place]).map(toPixel);
      if (corners.some((corner) => corner === null)) continue;
      const middle = toPixel(boxes[subject.place].middle);
      const outline = hull(corners);
      const size = Math.hypot(corners[7][0] - corners[0][0], corners[7][1] - corners[0][1]);
      const isNear = Math.hypot(middle[0] - pointer[0], middle[1] - pointer[1]) < REACH;
      if ((isNear || isInside(pointer, outline)) && size < least) [box, least] = [subject, size];
    } else {
      const distance = distanceToRun(pointer, subject.place, toPixel);
      if (distance < nearest) [run, nearest] = [subject, distance];
    }
  }
  return box ?? run;
}

function distanceToRun(pointer, place, toPixel) {
  let least = Infinity, last = null;
  for (let at = lines.starts[place]; at < lines.starts[place + 1]; at += 1) {
    const next = toPixel(lines.points.subarray(3 * at, 3 * at + 3));
    if (last && next) least = Math.min(least, distanceToLine(pointer, last, next));
    last = next;
  }
  return least;
}

function distanceToLine([x, y], [x1, y1], [x2, y2]) {
  const [dx, dy] = [x2 - x1, y2 - y1];
  const share = Math.min(1, Math.max(0, ((x - x1) * dx + (y - y1) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(x - x1 - share * dx, y - y1 - share * dy);
}

/** Canvas as sharp as the screen. */
function sized(canvas) {
  const { clientWidth: width, clientHeight: height } = canvas;
  const sharp = Math.min(window.devicePixelRatio || 1, 2);
  if (canvas.width !== Math.round(width * sharp)) canvas.width = Math.round(width * sharp);
  if (canvas.height !== Math.round(height * sharp)) canvas.height = Math.round(height * sharp);
  const context = canvas.getContext("2d", { willReadFrequently: true }); // drawn by the processor: steady on any machine
  context.setTransform(sharp, 0, 0, sharp, 0, 0);
  context.clearRect(0, 0, width, height);
  return { context, width, height };
}

/** Row of buttons with what they do. */
function controls(actions) {
  return h("div", { class: "controls" }, Object.entries(actions).map(([name, action]) => {
    const sign = texts.scene.signs[name];
    return h("button", { type: "button", onclick: action, ...(sign ? { title: texts.scene[name], "aria-label": texts.scene[name] } : {}) }, sign ?? texts.scene[name]);
  }));
}

/** Which outcome looks how. */
function legend() {
  const states = [...new Set(drawn.map((subject) => subject.state))].sort((a, b) => SEVERITY.indexOf(a) - SEVERITY.indexOf(b));
  return h("p", { class: "legend" }, states.map((state) => h("span", {}, s("svg", { viewBox: "0 0 26 8", class: "sample", "aria-hidden": "true" },
    s("path", { d: "M0 4h26", class: `line is-${state}` })), mark(state))), h("span", {}, texts.scene.hint));
}

/** Choice of a storey; nothing where the models tell of one or none. */
function storeyChoice(onchange) {
  if (storeys.length < 2) return "";
  return h("label", {}, texts.scene.storey, h("select", { class: "storey", onchange: (event) => onchange(event.target.value) },
    h("option", { value: "" }, texts.scene.all_storeys), storeys.map((name) => h("option", { value: name }, name))));
}
