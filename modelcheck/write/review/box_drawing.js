// A box laid flat round its cover: holes, the ways of the pulls, and one row's distance as a dimension.

const GAP = 26, SIDES = 116, DEEP = 0.3, SAME_MM = 0.6, CAPTION = 40;
const INWARD = { left: [1, 0], right: [-1, 0], above: [0, 1], below: [0, -1], centre: [0, 0], back: [0, 0] };

function boxDrawing(box, finding, width) {
  const panels = Object.fromEntries((box.panels ?? []).map((panel) => [panel.slot, panel]));
  if (!box.panels && !finding) return null;
  if (!panels.centre) return h("p", {}, box.panels ? texts.sheet.no_size : texts.sheet.drawing_left_out);
  const net = netOf(panels, Math.min(width - SIDES, 860));
  const concerned = new Set(finding ? entriesOf(finding).map((entry) => entry.number) : []);
  const marks = [
    ...net.panels.map(wallMarks),
    ...box.pulls.flatMap((pull) => pullMarks(pull, net)),
    ...(finding ? dimensionMarks(finding, net, concerned) : []),
    ...net.panels.map((panel) => wallName(panel, net)),
    ...net.holes.map((hole) => holeMarks(hole, concerned.has(hole.number))),
  ];
  const reach = finding ? reachOf(finding, net) : [0, 0];
  const bounds = [net.left - SIDES / 2 - reach[1], net.top - 26, net.right - net.left + SIDES + reach[0] + reach[1], net.bottom - net.top + 86];
  return drawing(filled(texts.sheet.drawing_box, { name: elementName(box.element) }), bounds, marks);
}

/** Walls and holes on paper; the middle wall has its upper left corner at 0, 0. */
function netOf(slots, width) {
  const across = ["left", "centre", "right", "back"].map((slot) => slots[slot]?.width ?? 0);
  const along = ["above", "centre", "below"].map((slot) => slots[slot]?.height ?? 0);
  const sum = (values) => values.reduce((total, value) => total + value, 0);
  const gaps = GAP * (across.filter(Boolean).length - 1);
  const scale = Math.min((width - gaps) / sum(across), 340 / sum(along));
  const size = { width: slots.centre.width * scale, height: slots.centre.height * scale };
  const rightWidth = (slots.right?.width ?? slots.left?.width ?? 0) * scale;
  const corner = {
    centre: [0, 0],
    left: [-GAP - (slots.left?.width ?? 0) * scale, 0],
    right: [size.width + GAP, 0],
    above: [0, -GAP - (slots.above?.height ?? 0) * scale],
    below: [0, size.height + GAP],
    back: [size.width + GAP + (slots.right ? rightWidth + GAP : 0), 0],
  };
  const panels = Object.values(slots).map((panel) => ({
    ...panel, at: corner[panel.slot], w: panel.width * scale, h: panel.height * scale,
  }));
  const net = { scale, size, panels, middle: [size.width / 2, size.height / 2] };
  net.holes = panels.flatMap((panel) => panel.holes.map((hole) => holeOn(panel, hole, net)));
  net.left = Math.min(...panels.map((panel) => panel.at[0]));
  net.right = Math.max(...panels.map((panel) => panel.at[0] + panel.w));
  net.top = Math.min(...panels.map((panel) => panel.at[1]));
  net.bottom = Math.max(...panels.map((panel) => panel.at[1] + panel.h));
  return net;
}

/** A hole on its wall, and where its pull comes into the look through the middle wall. */
function holeOn(panel, [number, left, below, diameter], net) {
  const at = [panel.at[0] + left * net.scale, panel.at[1] + (panel.height - below) * net.scale];
  const edge = {
    left: [0, at[1]], right: [net.size.width, at[1]], above: [at[0], 0], below: [at[0], net.size.height],
    centre: at, back: [net.size.width - left * net.scale, at[1]],
  }[panel.slot];
  return { number, at, edge, slot: panel.slot, radius: diameter === null ? null : diameter * net.scale / 2 };
}

const wallMarks = ({ at: [x, y], w, h: height, isCover }) => s("rect", { x, y, width: w, height, class: isCover ? "wall cover" : "wall" });

/** Name of a wall over its left end, or its right end where lines cross the left; upright beside a narrow one. */
function wallName(panel, net) {
  const name = filled(texts.sheet.drawing_wall, { wall: panel.wall }) + (panel.isCover ? `, ${texts.sheet.drawing_cover}` : "");
  const [x, y] = panel.at;
  const length = textWidth(name, 11);
  const isNarrow = length > panel.w;
  const isCrossed = !isNarrow && net.holes.some((hole) => hole.at[0] > x - 4 && hole.at[0] < x + length + 4);
  const at = isNarrow ? [x - 6, y + panel.h] : [isCrossed ? x + panel.w : x, y - 6];
  const words = label(at, name, { anchor: isCrossed ? "end" : "start", kind: "quiet" });
  if (isNarrow) words.setAttribute("transform", `rotate(-90 ${at[0]} ${at[1]})`);
  return words;
}

function holeMarks(hole, isConcerned) {
  const radius = Math.max(hole.radius ?? 3, 3);
  const isRoomy = radius > 10;
  const at = isRoomy ? [hole.at[0], hole.at[1] + 5] : [hole.at[0] + radius + 3, hole.at[1] - radius + 3];
  const marks = [
    s("circle", { cx: hole.at[0], cy: hole.at[1], r: radius, class: isConcerned ? "hole concerned" : "hole" }),
    label(at, String(hole.number), { anchor: isRoomy ? "middle" : "start", kind: isConcerned ? "number concerned" : "number" }),
  ];
  if (hole.slot === "back") marks.push(s("circle", { cx: hole.edge[0], cy: hole.edge[1], r: radius, class: "hole behind" }));
  return marks;
}

function pullMarks(pull, net) {
  const holes = pull.entries.map((number) => net.holes.find((hole) => hole.number === number)).filter(Boolean);
  if (pull.isSpare || !holes.length) return [];
  const tails = holes.filter((hole) => hole.slot !== "centre" && hole.slot !== "back").map((hole) => line([hole.at, hole.edge], "pull"));
  if (pull.isSpliced) {
    const [x, y] = net.middle;
    return [...tails, ...holes.map((hole) => line([hole.edge, net.middle], "pull")), s("circle", { cx: x, cy: y, r: 4, class: "splice" })];
  }
  const [first, ...others] = [...holes].sort((a, b) => (b.radius ?? 0) - (a.radius ?? 0));
  return [...tails, ...others.map((other) => line(wayThrough(first, other, net), "pull"))];
}

/** Straight across, or of one wall into the box and back. */
function wayThrough(one, other, net) {
  const inward = INWARD[one.slot];
  if (one.slot !== other.slot || inward.every((part) => part === 0)) return [one.edge, other.edge];
  const turn = DEEP * Math.min(net.size.width, net.size.height);
  const deep = [one, other].map((hole) => [hole.edge[0] + inward[0] * turn, hole.edge[1] + inward[1] * turn]);
  return [one.edge, ...deep, other.edge];
}

/** Wall along which a span is seen at full length: which one, whether lying, and whether from its left or lower edge. */
function seenOn(span, net) {
  for (const panel of net.panels) {
    if (panel.left[1] === span.axis) return { panel, lies: true, fromLow: panel.left === span.from };
    if (panel.lower[1] === span.axis) return { panel, lies: false, fromLow: panel.lower === span.from };
  }
  return null;
}

function spanMarks(finding, net) {
  const span = spanOf(finding);
  const seen = span && seenOn(span, net);
  if (!seen) return null;
  const [has, needs] = [finding.provided, finding.required].map((value) => toMm(value, finding.unit));
  const side = seen.lies ? seen.panel.width : seen.panel.height;
  return { ...seen, has: has !== null && Math.abs(has - side) < SAME_MM ? has : null, needs };
}

/** How far a required length reaches past the right and the left of the walls. */
function reachOf(finding, net) {
  if (finding.check === "entry-spacing") return [Math.max(0, CAPTION + textWidth(spacingText(finding)) - (net.right - net.left)), 0];
  const seen = spanMarks(finding, net);
  if (!seen || !seen.lies || seen.needs === null) return [0, 0];
  const over = Math.max(0, seen.needs * net.scale - seen.panel.w);
  const [toRight, toLeft] = [net.right - seen.panel.at[0] - seen.panel.w, seen.panel.at[0] - net.left];
  return seen.fromLow ? [Math.max(0, over - toRight), 0] : [0, Math.max(0, over - toLeft)];
}

function dimensionMarks(finding, net, concerned) {
  if (finding.check === "entry-spacing") return spacingMarks(finding, net, concerned);
  const seen = spanMarks(finding, net);
  if (!seen) return [];
  const { panel, lies, fromLow, has, needs } = seen;
  const [x, y] = panel.at;
  const offset = (place) => (lies ? net.bottom + 20 + 24 * place : net.left - 16 - 22 * place);
  const measured = (length, place, word, value, kind) => {
    const reach = length * net.scale;
    const text = `${word} ${amount(value, finding.unit)}`;
    if (lies) {
      const start = fromLow ? x : x + panel.w;
      return dimension([start, offset(place)], [start + (fromLow ? reach : -reach), offset(place)], text, kind);
    }
    const start = fromLow ? y + panel.h : y;
    return dimension([offset(place), start], [offset(place), start + (fromLow ? -reach : reach)], text, kind);
  };
  return [
    has === null ? null : measured(has, 0, texts.sheet.provided, finding.provided, "has"),
    needs === null ? null : measured(needs, 1, texts.sheet.required, finding.required, `needs is-${outcomeOf(finding)}`),
  ].filter(Boolean);
}

const spacingText = ({ required, provided, unit }) => `${texts.sheet.required} ${amount(required, unit)}, ${texts.sheet.provided} ${amount(provided, unit)}`;

/** Way from hole to hole, and what it comes to under the walls, where nothing else is written. */
function spacingMarks(finding, net, concerned) {
  const [one, other] = net.holes.filter((hole) => concerned.has(hole.number));
  if (!one || !other) return [];
  const way = one.slot === other.slot ? [one.at, other.at] : [one.at, one.edge, other.edge, other.at];
  const kind = `needs is-${outcomeOf(finding)}`;
  const [x, y] = [net.left, net.bottom + 28];
  return [
    line(way, kind),
    line([[x, y], [x + CAPTION - 8, y]], kind),
    label([x + CAPTION, y + 4], spacingText(finding), { anchor: "start", kind }),
  ];
}
