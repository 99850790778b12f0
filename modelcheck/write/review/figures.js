// What drawings share: lines, dimensions, labels that keep clear of each other.

const MM_PER = content.head.mmPerUnit;
const DIMENSION_END = 4;

const toMm = (value, unit) => (value === null || !(unit in MM_PER) ? null : value * MM_PER[unit]);

function line(points, kind) {
  return s("polyline", { points: points.map((point) => point.map((value) => value.toFixed(1)).join(",")).join(" "), class: kind });
}

function label(at, text, { anchor = "middle", kind = "" } = {}) {
  return s("text", { x: at[0].toFixed(1), y: at[1].toFixed(1), "text-anchor": anchor, class: kind }, text);
}

/** Line from `start` to `end` with a stroke across each end and its text beside it. */
function dimension(start, end, text, kind) {
  const [dx, dy] = [end[0] - start[0], end[1] - start[1]];
  const length = Math.hypot(dx, dy) || 1;
  const across = [-dy / length * DIMENSION_END, dx / length * DIMENSION_END];
  const strokes = [start, end].map(([x, y]) => line([[x - across[0], y - across[1]], [x + across[0], y + across[1]]], `stroke ${kind}`));
  const middle = [(start[0] + end[0]) / 2, (start[1] + end[1]) / 2];
  const isUpright = Math.abs(dy) > Math.abs(dx);
  const words = label([middle[0] - (isUpright ? 6 : 0), middle[1] - (isUpright ? 0 : 5)], text, { kind });
  if (isUpright) words.setAttribute("transform", `rotate(-90 ${middle[0] - 6} ${middle[1]})`);
  return s("g", { class: "dimension" }, line([start, end], kind), strokes, words);
}

/** Drawing with the view box that its bounds ask for. */
function drawing(title, bounds, children) {
  const [x, y, width, height] = bounds.map((value) => Math.round(value));
  const svg = s("svg", { viewBox: `${x} ${y} ${width} ${height}`, width, height, class: "drawing", role: "img", "aria-label": title }, children);
  return svg;
}

const textWidth = (text, size = 13) => text.length * size * 0.56;

/** Keeps labels off each other: places them round a point where there is room. */
class Room {
  constructor(width, height) {
    Object.assign(this, { width, height, boxes: [], points: [] });
  }

  block(point) {
    this.points.push(point);
  }

  /** Middle of the free place nearest to `at` for a label of this size; the least crowded if none is free. */
  place(at, width, height) {
    let found = at, least = Infinity;
    for (const reach of [1.1, 1.6, 2.2, 3, 4, 5.5]) {
      for (let way = 0; way < 16; way += 1) {
        const angle = (way + 0.5) * Math.PI / 8;
        const spot = [at[0] + Math.cos(angle) * (width / 2 + reach * 8), at[1] + Math.sin(angle) * (height / 2 + reach * 10)];
        const crowd = this.#crowd(spot, width, height);
        if (crowd < least) [found, least] = [spot, crowd];
        if (crowd === 0) return this.#taken(found, width, height);
      }
    }
    return this.#taken(found, width, height);
  }

  #taken(spot, width, height) {
    this.boxes.push([spot[0] - width / 2, spot[1] - height / 2, spot[0] + width / 2, spot[1] + height / 2]);
    return spot;
  }

  #crowd([x, y], width, height) {
    const [left, top, right, low] = [x - width / 2, y - height / 2, x + width / 2, y + height / 2];
    if (left < 2 || top < 2 || right > this.width - 2 || low > this.height - 2) return 1000;
    const boxes = this.boxes.filter((box) => left < box[2] && box[0] < right && top < box[3] && box[1] < low);
    const points = this.points.filter((point) => point[0] > left && point[0] < right && point[1] > top && point[1] < low);
    return 20 * boxes.length + points.length;
  }
}

/** What an amount that is asked for is called: the least there must be, or the most there may be. */
const requiredWord = (finding) => (content.atMost.includes(finding.check) ? texts.sheet.at_most : texts.sheet.required);

/** Required against provided as two bars to one scale; nothing where one of them isn't known. */
function bars(finding) {
  const most = Math.max(finding.required, finding.provided);
  if (finding.required === null || finding.provided === null || most <= 0) return null;
  const bar = (value, word, kind) => {
    const fill = h("span", { class: `bar ${kind}` });
    fill.style.width = `${(100 * value / most).toFixed(2)}%`;
    return h("div", { class: "bar-line" }, h("span", { class: "bar-word" }, `${word} ${amount(value, finding.unit)}`), h("span", { class: "bar-room" }, fill));
  };
  return h("div", { class: "bars" }, bar(finding.provided, texts.sheet.provided, "has"), bar(finding.required, requiredWord(finding), `needs is-${outcomeOf(finding)}`));
}
