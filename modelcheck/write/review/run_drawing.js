// A run seen from above at a slant: each bend with its angle and the total up to it.

const SPOT_CHECKS = ["run-continuity", "bend-radius"]; // about one place of a run
const SLANT = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)];
const flat = ([x, y, z]) => [(x - y) * SLANT[0], (x + y) * SLANT[1] - z];

function runDrawing(run, finding, place, width) {
  const points = lineOf(place);
  if (points.length < 2) return null;
  const [w, hgt] = [Math.min(width, 860), Math.min(Math.max(width * 0.55, 260), 440)];
  const view = fitted(points.map(flat), w, hgt, Math.min(110, w / 4), 52);
  const path = points.map((point) => view(flat(point)));
  const room = new Room(w, hgt);
  blockAlong(path, room);
  const totals = runningTotals(run);
  const marks = [
    line(path, `run is-${run.outcome}`),
    ...endMarks(run, path, room),
    ...(finding && SPOT_CHECKS.includes(finding.check) ? hereMarks(view(flat(finding.at.map((value, along) => value - content.base[along]))), room) : []),
    ...(run.bends ?? []).map((bend, number) => bendMarks(view(flat(bend[2])), `${number + 1}: ${bend[0]}°, Σ ${totals[number]}°`, room)),
    ...(run.plan?.points ?? []).map((point, number) => pullPointMarks(view(flat(point.at)), filled(texts.sheet.pull_point, { number: number + 1 }), room)),
    ...compass(hgt),
  ];
  return drawing(filled(texts.sheet.drawing_run, { name: run.name }), [0, 0, w, hgt], marks);
}

/** Total of the bends up to each one, in tenths of a degree as in the table. */
function runningTotals(run) {
  let total = 0;
  return (run.bends ?? []).map(([angle]) => {
    total += angle;
    return Math.round(10 * total) / 10;
  });
}

/** Function that puts flat points into a room of this size with margins. */
function fitted(points, width, height, marginX, marginY) {
  const low = [0, 1].map((along) => Math.min(...points.map((point) => point[along])));
  const high = [0, 1].map((along) => Math.max(...points.map((point) => point[along])));
  const scale = Math.min((width - 2 * marginX) / Math.max(high[0] - low[0], 1e-6), (height - 2 * marginY) / Math.max(high[1] - low[1], 1e-6));
  const middle = [0, 1].map((along) => (low[along] + high[along]) / 2);
  return (point) => [width / 2 + scale * (point[0] - middle[0]), height / 2 + scale * (point[1] - middle[1])];
}

function blockAlong(path, room) {
  for (let at = 1; at < path.length; at += 1) {
    const [one, other] = [path[at - 1], path[at]];
    const steps = Math.max(1, Math.ceil(Math.hypot(other[0] - one[0], other[1] - one[1]) / 8));
    for (let step = 0; step <= steps; step += 1) room.block([0, 1].map((along) => one[along] + (other[along] - one[along]) * step / steps));
  }
}

/** Text near a point, and a line to the edge of it. */
function noted(at, text, room, kind) {
  const size = [textWidth(text) + 8, 18];
  const spot = room.place(at, ...size);
  const [dx, dy] = [at[0] - spot[0], at[1] - spot[1]];
  const share = Math.min(1, 0.43 * textWidth(text) / (Math.abs(dx) || 1e-6), size[1] / 2 / (Math.abs(dy) || 1e-6));
  return [
    line([at, [spot[0] + dx * share, spot[1] + dy * share]], "leader"),
    label([spot[0], spot[1] + 4.5], text, { kind }),
  ];
}

const bendMarks = (at, text, room) => [...noted(at, text, room, "number"), s("circle", { cx: at[0], cy: at[1], r: 3.5, class: "bend" })];

const pullPointMarks = (at, text, room) => [
  ...noted(at, text, room, "number proposed"),
  s("rect", { x: at[0] - 5, y: at[1] - 5, width: 10, height: 10, class: "proposed" }),
];

const hereMarks = (at, room) => [...noted(at, texts.sheet.here, room, "here"), s("circle", { cx: at[0], cy: at[1], r: 9, class: "here" })];

function endName(end) {
  return end.element === null ? texts.ends[end.kind] : elementName(end.element);
}

function endMarks(run, path, room) {
  return [["start", path[0]], ["end", path.at(-1)]].flatMap(([which, at]) => {
    const name = endName(run[which]);
    const text = `${texts.sheet[which]} ${name.length > 24 ? `${name.slice(0, 23)}…` : name}`;
    const isBox = run[which].kind === "box";
    const shape = isBox ? s("rect", { x: at[0] - 6, y: at[1] - 6, width: 12, height: 12, class: "end" }) : s("circle", { cx: at[0], cy: at[1], r: 4, class: "end" });
    return [...noted(at, text, room, "quiet"), shape];
  });
}

/** Axes of the project as the drawing shows them. */
function compass(height) {
  const origin = [26, height - 26];
  return [["x", [1, 0, 0]], ["y", [0, 1, 0]], ["z", [0, 0, 1]]].flatMap(([name, axis]) => {
    const [u, v] = flat(axis);
    return [line([origin, [origin[0] + 16 * u, origin[1] + 16 * v]], "leader"), label([origin[0] + 22 * u, origin[1] + 22 * v + 4], name, { kind: "quiet" })];
  });
}
