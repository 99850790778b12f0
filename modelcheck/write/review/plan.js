// Plan: runs and boxes from above, storey by storey.

const MOST_NAMES = 300;
const plan = { view: null, storey: "", shown: [], canvas: null };

function buildPlan() {
  const panel = document.getElementById("plan");
  if (!drawn.length) return panel.append(h("p", {}, texts.scene.nothing_drawn));
  plan.canvas = h("canvas", { class: "scene", tabindex: "0", role: "application", "aria-label": texts.scene.plan_label });
  panel.append(
    h("div", { class: "scene-head" }, storeyChoice((storey) => {
      plan.storey = storey;
      plan.view = null;
      drawPlan();
    }), controls({
      closer: () => zoomPlan(1.5), farther: () => zoomPlan(1 / 1.5), whole: () => showAll(plan.shown), selected: showChosen,
      move_left: () => movePlan(80, 0), move_right: () => movePlan(-80, 0), move_up: () => movePlan(0, 80), move_down: () => movePlan(0, -80),
    })),
    plan.canvas, legend());
  listenToPlan(plan.canvas);
  drawPlan();
}

/** Look at some subjects so that all of them are in view. */
function showAll(subjects) {
  const bounds = boundsOfAll(subjects);
  if (!bounds) return;
  const { clientWidth: width, clientHeight: height } = plan.canvas;
  const spans = [0, 1].map((along) => Math.max(bounds.high[along] - bounds.low[along], 1));
  plan.view = { x: bounds.middle[0], y: bounds.middle[1], scale: Math.min((width - 80) / spans[0], (height - 80) / spans[1]) };
  drawPlan();
}

function showChosen() {
  if (selection.subject) showAll([selection.subject]);
}

function drawPlan() {
  const { canvas } = plan;
  if (!canvas || document.getElementById("plan").hidden) return;
  plan.shown = drawn.filter((subject) => !plan.storey || subject.storey === plan.storey);
  if (!plan.view) return showAll(plan.shown);
  const { context, width, height } = sized(canvas);
  const colours = palette();
  const toPixel = planPixel(width, height);
  for (const state of [...SEVERITY].reverse()) drawRuns(context, state, toPixel, colours);
  for (const subject of plan.shown) if (subject.kind === "box") drawBox(context, subject, toPixel, colours);
  drawNames(context, toPixel, colours, width, height);
  drawShapes(context, plan.shown, toPixel, colours);
  drawScale(context, colours, height);
}

const planPixel = (width, height) => ([x, y]) => [width / 2 + (x - plan.view.x) * plan.view.scale, height / 2 - (y - plan.view.y) * plan.view.scale];

function drawRuns(context, state, toPixel, colours) {
  context.strokeStyle = colours[state];
  context.lineWidth = { fail: 3.5, accepted: 3.5, "needs-input": 2.5 }[state] ?? 1.2;
  context.setLineDash(state === "needs-input" ? [8, 5] : []);
  for (const subject of plan.shown) if (subject.kind === "run" && subject.state === state) strokeRun(context, subject.place, toPixel);
  if (selection.subject?.kind === "run" && stateOf(selection.subject) === state) {
    context.strokeStyle = colours.chosen;
    context.lineWidth = 7;
    context.setLineDash([]);
    context.globalAlpha = 0.55;
    strokeRun(context, selection.subject.place, toPixel);
    context.globalAlpha = 1;
  }
  context.setLineDash([]);
}

/** Draw one run; points that fall on one pixel are drawn once. */
function strokeRun(context, place, toPixel) {
  const [first, end] = [lines.starts[place], lines.starts[place + 1]];
  let last = toPixel(lines.points.subarray(3 * first, 3 * first + 3));
  context.beginPath();
  context.moveTo(...last);
  for (let at = first + 1; at < end; at += 1) {
    const next = toPixel(lines.points.subarray(3 * at, 3 * at + 3));
    if (at < end - 1 && Math.abs(next[0] - last[0]) + Math.abs(next[1] - last[1]) < 1) continue;
    context.lineTo(next[0], next[1]);
    last = next;
  }
  context.stroke();
}

function drawBox(context, subject, toPixel, colours) {
  const outline = hull(cornersOf(boxes[subject.place]).map(toPixel));
  const isChosen = same(subject, selection.subject);
  context.beginPath();
  outline.forEach(([x, y], place) => (place ? context.lineTo(x, y) : context.moveTo(x, y)));
  context.closePath();
  context.fillStyle = colours.paper;
  context.strokeStyle = isChosen ? colours.chosen : colours[subject.state];
  context.lineWidth = isChosen ? 5 : 1.5;
  context.fill();
  context.stroke();
  if (isChosen) drawRing(context, toPixel(boxes[subject.place].middle), colours);
}

/** What a box or the shape of a run takes of the plan; null where it isn't in view. */
function takenBy(subject, toPixel, width, height) {
  if (subject.kind === "run" && ["pass", "none"].includes(subject.state)) return null;
  const [x, y] = toPixel(middleOf(subject));
  const half = same(subject, selection.subject) && subject.kind === "box" ? RING + 2 : HALF_SHAPE;
  const points = subject.kind === "box" ? cornersOf(boxes[subject.place]).map(toPixel) : [];
  const [xs, ys] = [0, 1].map((along) => points.map((point) => point[along]));
  const area = [Math.min(x - half, ...xs), Math.min(y - half, ...ys), Math.max(x + half, ...xs), Math.max(y + half, ...ys)];
  return x > 0 && y > 0 && x < width && y < height ? area : null;
}

/** Names of boxes where there is room for them, the gravest first. */
function drawNames(context, toPixel, colours, width, height) {
  const inView = plan.shown.map((subject) => ({ subject, area: takenBy(subject, toPixel, width, height) })).filter(({ area }) => area);
  const taken = inView.map(({ area }) => area);
  context.font = "13px sans-serif";
  for (const { subject, area: [left, top, right, low] } of inView.filter((each) => each.subject.kind === "box").reverse().slice(0, MOST_NAMES)) {
    const name = subjectName(subject).slice(0, 30);
    const length = context.measureText(name).width + 4;
    const centred = (left + right - length) / 2;
    const box = [[right + 3, top - 9], [left - 3 - length, top - 9], [right + 3, low - 6], [left - 3 - length, low - 6], [centred, top - 17], [centred, low + 2]]
      .map(([x, y]) => [x, y, x + length, y + 15])
      .find((one) => one[0] > 0 && one[1] > 0 && one[2] < width && one[3] < height && !taken.some((other) => one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3]));
    if (!box) continue;
    taken.push(box);
    context.fillStyle = colours.paper;
    context.globalAlpha = 0.8;
    context.fillRect(box[0], box[1], box[2] - box[0], box[3] - box[1]);
    context.globalAlpha = 1;
    context.fillStyle = colours.ink;
    context.fillText(name, box[0] + 2, box[3] - 3);
  }
}

/** A length of the plan in round metres. */
function drawScale(context, colours, height) {
  const most = 140 / plan.view.scale;
  const ten = 10 ** Math.floor(Math.log10(most));
  const metres = [5, 2, 1].map((times) => times * ten).find((length) => length <= most);
  const [x, y, length] = [14, height - 14, metres * plan.view.scale];
  context.strokeStyle = context.fillStyle = colours.ink;
  context.lineWidth = 1.5;
  context.beginPath();
  for (const [px, py] of [[x, y - 5], [x, y], [x + length, y], [x + length, y - 5]]) context.lineTo(px, py);
  context.stroke();
  context.fillText(`${metres} m`, x + 4, y - 6);
}

function zoomPlan(factor, pointer) {
  const { clientWidth: width, clientHeight: height } = plan.canvas;
  const [dx, dy] = pointer ? [pointer[0] - width / 2, height / 2 - pointer[1]] : [0, 0];
  plan.view.x += dx / plan.view.scale * (1 - 1 / factor);
  plan.view.y += dy / plan.view.scale * (1 - 1 / factor);
  plan.view.scale *= factor;
  drawPlan();
}

function movePlan(dx, dy) {
  plan.view.x -= dx / plan.view.scale;
  plan.view.y += dy / plan.view.scale;
  drawPlan();
}

function listenToPlan(canvas) {
  const down = new Map();
  let moved = 0;
  canvas.addEventListener("pointerdown", (event) => {
    down.set(event.pointerId, [event.offsetX, event.offsetY]);
    moved = 0;
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    const last = down.get(event.pointerId);
    if (!last) return;
    const other = [...down].find(([id]) => id !== event.pointerId)?.[1];
    const next = [event.offsetX, event.offsetY];
    moved += Math.hypot(next[0] - last[0], next[1] - last[1]);
    if (other) zoomPlan(Math.hypot(next[0] - other[0], next[1] - other[1]) / (Math.hypot(last[0] - other[0], last[1] - other[1]) || 1), other);
    else movePlan(next[0] - last[0], next[1] - last[1]);
    down.set(event.pointerId, next);
  });
  for (const name of ["pointerup", "pointercancel"]) canvas.addEventListener(name, (event) => down.delete(event.pointerId));
  canvas.addEventListener("click", (event) => {
    if (moved < 5) selectSubject(pickAt([event.offsetX, event.offsetY], plan.shown, planPixel(canvas.clientWidth, canvas.clientHeight)));
  });
  canvas.addEventListener("wheel", (event) => {
    event.preventDefault();
    zoomPlan(Math.exp(-Math.sign(event.deltaY) * 0.2), [event.offsetX, event.offsetY]);
  }, { passive: false });
  canvas.addEventListener("keydown", (event) => {
    const act = {
      ArrowLeft: () => movePlan(60, 0), ArrowRight: () => movePlan(-60, 0), ArrowUp: () => movePlan(0, 60), ArrowDown: () => movePlan(0, -60),
      "+": () => zoomPlan(1.3), "=": () => zoomPlan(1.3), "-": () => zoomPlan(1 / 1.3), "0": () => showAll(plan.shown),
    }[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  });
}
