// Runs and boxes in space, turned, zoomed and clicked; drawn by three.js, with the shapes of outcomes laid over it.

const WIDTHS = { fail: 4, accepted: 4, "needs-input": 3 };
const TURN = Math.PI / 12, LEAST_ELEVATION = 0.05;
const space = { storey: "", shown: [], isAsked: false };

function buildSpace() {
  const panel = document.getElementById("space");
  if (!drawn.length) return panel.append(h("p", {}, texts.scene.nothing_drawn));
  space.canvas = h("canvas", { class: "scene", tabindex: "0", role: "application", "aria-label": texts.scene.space_label });
  const context = space.canvas.getContext("webgl2", { antialias: true, alpha: true });
  if (!context) return panel.append(h("p", { class: "message" }, texts.scene.no_space));
  space.overlay = h("canvas", { class: "overlay", "aria-hidden": "true" });
  panel.append(
    h("div", { class: "scene-head" }, storeyChoice((storey) => {
      space.storey = storey;
      fillSpace();
      lookAtAll(space.shown);
    }), controls({
      closer: () => dolly(1 / 1.4), farther: () => dolly(1.4), whole: () => lookAtAll(space.shown), selected: () => selection.subject && lookAtAll([selection.subject]),
      left: () => turnBy(TURN, 0), right: () => turnBy(-TURN, 0), up: () => turnBy(0, -TURN), down: () => turnBy(0, TURN),
    })),
    h("div", { class: "stack" }, space.canvas, space.overlay), legend());
  Object.assign(space, {
    renderer: new three.WebGLRenderer({ canvas: space.canvas, context }),
    camera: new three.PerspectiveCamera(40, 1, 0.05, 1e5),
    scene: new three.Scene(),
    chosen: [],
  });
  space.camera.up.set(0, 0, 1);
  space.controls = new three.OrbitControls(space.camera, space.canvas);
  space.controls.addEventListener("change", renderSoon);
  listenToSpace(space.canvas);
  fillSpace();
  lookAtAll(space.shown);
}

function fillSpace() {
  const colours = palette();
  space.shown = drawn.filter((subject) => !space.storey || subject.storey === space.storey);
  for (const child of [...space.scene.children]) dropped(child);
  for (const state of SEVERITY) {
    const group = space.shown.filter((subject) => subject.state === state);
    const places = group.filter((subject) => subject.kind === "run").map((subject) => subject.place);
    const cases = group.filter((subject) => subject.kind === "box").map((subject) => boxes[subject.place]);
    if (places.length) space.scene.add(linesOf(runSegments(places), colours[state], WIDTHS[state], state === "needs-input"));
    if (cases.length) space.scene.add(linesOf(boxSegments(cases), colours[state]), bodiesOf(cases, colours[state]));
  }
  markInSpace();
}

function dropped(object) {
  space.scene.remove(object);
  object.geometry.dispose();
  object.material.dispose();
}

/** Pairs of points of all stretches of some runs. */
function runSegments(places) {
  const count = places.reduce((sum, place) => sum + lines.starts[place + 1] - lines.starts[place] - 1, 0);
  const pairs = new Float32Array(6 * count);
  let to = 0;
  for (const place of places) {
    for (let at = 3 * lines.starts[place]; at < 3 * (lines.starts[place + 1] - 1); at += 3) {
      for (let along = 0; along < 6; along += 1, to += 1) pairs[to] = lines.points[at + along];
    }
  }
  return pairs;
}

const boxSegments = (cases) => Float32Array.from(cases.flatMap((box) => {
  const corners = cornersOf(box);
  return EDGES.flatMap(([one, other]) => [...corners[one], ...corners[other]]);
}));

/** Lines through pairs of points: hairlines, or of a width in pixels. */
function linesOf(pairs, colour, width, isDashed = false) {
  if (!width) {
    const geometry = new three.BufferGeometry().setAttribute("position", new three.BufferAttribute(pairs, 3));
    return new three.LineSegments(geometry, new three.LineBasicMaterial({ color: colour }));
  }
  const material = new three.LineMaterial({ color: new three.Color(colour), linewidth: width, dashed: isDashed, dashSize: 0.3, gapSize: 0.15 });
  const object = new three.LineSegments2(new three.LineSegmentsGeometry().setPositions(pairs), material);
  if (isDashed) object.computeLineDistances();
  return object;
}

function bodiesOf(cases, colour) {
  const material = new three.MeshBasicMaterial({ color: colour, transparent: true, opacity: 0.22, depthWrite: false });
  const mesh = new three.InstancedMesh(new three.BoxGeometry(2, 2, 2), material, cases.length);
  const matrix = new three.Matrix4();
  cases.forEach((box, place) => {
    const [x, y, z] = box.axes.map((axis, along) => axis.map((part) => part * Math.max(box.half[along], 1e-4)));
    mesh.setMatrixAt(place, matrix.set(x[0], y[0], z[0], box.middle[0], x[1], y[1], z[1], box.middle[1], x[2], y[2], z[2], box.middle[2], 0, 0, 0, 1));
  });
  mesh.frustumCulled = false;
  return mesh;
}

/** Draw the selected box or run over the others. */
function markInSpace() {
  if (!space.scene) return;
  for (const object of space.chosen) dropped(object);
  const { subject } = selection;
  const pairs = subject && (subject.kind === "box" ? boxSegments([boxes[subject.place]]) : runSegments([subject.place]));
  space.chosen = pairs?.length ? [linesOf(pairs, palette().chosen, 7)] : [];
  for (const object of space.chosen) {
    Object.assign(object.material, { transparent: true, opacity: 0.7, depthTest: false });
    object.renderOrder = 1;
    space.scene.add(object);
  }
  renderSoon();
}

function renderSoon() {
  if (space.isAsked) return;
  space.isAsked = true;
  requestAnimationFrame(() => {
    space.isAsked = false;
    renderSpace();
  });
}

function renderSpace() {
  if (!space.scene || document.getElementById("space").hidden) return;
  const { clientWidth: width, clientHeight: height } = space.canvas;
  space.renderer.setPixelRatio(Math.min(window.devicePixelRatio || 1, 2));
  space.renderer.setSize(width, height, false);
  space.camera.aspect = width / height;
  space.camera.updateProjectionMatrix();
  space.renderer.render(space.scene, space.camera);
  const { context } = sized(space.overlay);
  const toPixel = spacePixel(), colours = palette(), { subject } = selection;
  drawShapes(context, space.shown, toPixel, colours);
  const at = subject?.kind === "box" && toPixel(boxes[subject.place].middle);
  if (at) drawRing(context, at, colours);
}

/** Function from a point to its pixel; null behind the camera. */
function spacePixel() {
  const { clientWidth: width, clientHeight: height } = space.canvas;
  space.camera.updateMatrixWorld();
  const m = new three.Matrix4().multiplyMatrices(space.camera.projectionMatrix, space.camera.matrixWorldInverse).elements;
  return ([x, y, z]) => {
    const w = m[3] * x + m[7] * y + m[11] * z + m[15];
    if (w <= 0) return null;
    const [u, v] = [(m[0] * x + m[4] * y + m[8] * z + m[12]) / w, (m[1] * x + m[5] * y + m[9] * z + m[13]) / w];
    return [(u + 1) * width / 2, (1 - v) * height / 2];
  };
}

function lookAtAll(subjects) {
  const bounds = boundsOfAll(subjects);
  if (!bounds) return;
  const from = new three.Vector3(-0.55, -0.65, 0.55).normalize();
  const distance = distanceFor(subjects, bounds.middle, from);
  space.controls.target.set(...bounds.middle);
  space.camera.position.copy(space.controls.target).addScaledVector(from, distance);
  space.camera.near = distance / 500;
  space.camera.far = distance * 50;
  space.controls.update();
  renderSoon();
}

/** How far from `middle` the camera must be to see all of some subjects from that side. */
function distanceFor(subjects, middle, from) {
  const right = new three.Vector3(0, 0, 1).cross(from).normalize();
  const up = from.clone().cross(right);
  const slope = Math.tan(space.camera.fov * Math.PI / 360) * 0.9;
  const across = slope * space.canvas.clientWidth / space.canvas.clientHeight;
  let least = 1;
  for (const subject of subjects) {
    const { low, high } = boundsOf(subject);
    for (let number = 0; number < 8; number += 1) {
      const corner = new three.Vector3(...middle.map((value, along) => (number >> along & 1 ? high : low)[along] - value));
      least = Math.max(least, corner.dot(from) + Math.max(Math.abs(corner.dot(right)) / across, Math.abs(corner.dot(up)) / slope));
    }
  }
  return least;
}

/** Turn round the vertical and tilt, keeping clear of straight up and down. */
function turnBy(round, tilt) {
  const { target } = space.controls;
  const from = space.camera.position.clone().sub(target);
  const length = from.length();
  const angle = Math.atan2(from.y, from.x) + round;
  const slope = Math.min(Math.max(Math.acos(from.z / length) + tilt, LEAST_ELEVATION), Math.PI - LEAST_ELEVATION);
  from.set(Math.sin(slope) * Math.cos(angle), Math.sin(slope) * Math.sin(angle), Math.cos(slope)).multiplyScalar(length);
  space.camera.position.copy(target).add(from);
  space.controls.update();
  renderSoon();
}

function dolly(factor) {
  const { target } = space.controls;
  space.camera.position.sub(target).multiplyScalar(factor).add(target);
  space.controls.update();
  renderSoon();
}

function listenToSpace(canvas) {
  let start = null;
  canvas.addEventListener("pointerdown", (event) => {
    start = [event.offsetX, event.offsetY];
  });
  canvas.addEventListener("click", (event) => {
    const at = [event.offsetX, event.offsetY];
    if (start && Math.hypot(at[0] - start[0], at[1] - start[1]) < 5) selectSubject(pickAt(at, space.shown, spacePixel()));
  });
  canvas.addEventListener("keydown", (event) => {
    const act = {
      ArrowLeft: () => turnBy(TURN, 0), ArrowRight: () => turnBy(-TURN, 0), ArrowUp: () => turnBy(0, -TURN), ArrowDown: () => turnBy(0, TURN),
      "+": () => dolly(1 / 1.25), "=": () => dolly(1 / 1.25), "-": () => dolly(1.25), "0": () => lookAtAll(space.shown),
    }[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  });
}
