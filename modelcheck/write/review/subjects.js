// What rows are about: boxes and runs, their names, places and shapes.

const { findings, boxes, runs, elements } = content;
const OUTCOMES = ["fail", "needs-input", "pass", "none"];
const TOLERANCE_DEG = 0.05;

/** Outcome as the page shows it: an accepted fail is told apart. */
const outcomeOf = (finding) => (finding.accepted ? "accepted" : finding.outcome);
const rankOf = (finding) => OUTCOMES.indexOf(finding.outcome) + (finding.accepted ? 0.5 : 0);
/** Share of what is required that is missing: amounts in different units can be put in one order by it. */
const shareShort = (finding) => (finding.short === null || !finding.required ? -Infinity : finding.short / finding.required);
const byGravity = (one, other) => rankOf(one) - rankOf(other) || shareShort(other) - shareShort(one) || 0;
const elementName = (place) => elements.name[place] || elements.guid[place];
const whereOf = (place) => (place === null || place === undefined ? {} : content.wheres[place]);
const sharedTexts = (places) => places.map((place) => content.texts[place]);

/** Box or run of a finding, as {kind, place}. */
function subjectOf(finding) {
  if (Number.isInteger(finding.box)) return { kind: "box", place: finding.box };
  if (Number.isInteger(finding.run)) return { kind: "run", place: finding.run };
  return null;
}

const recordOf = (subject) => (subject.kind === "box" ? boxes : runs)[subject.place];
const same = (one, other) => Boolean(one && other && one.kind === other.kind && one.place === other.place);

/** Rows of each box and run, worst first. */
const rowsOf = { box: boxes.map(() => []), run: runs.map(() => []) };
for (const finding of findings) {
  const subject = subjectOf(finding);
  if (subject) rowsOf[subject.kind][subject.place].push(finding);
}
for (const rows of [...rowsOf.box, ...rowsOf.run]) rows.sort(byGravity);

/** Worst outcome of a box or run over all of its rows; an accepted fail counts as such. */
function stateOf(subject) {
  const worst = rowsOf[subject.kind][subject.place][0];
  return worst ? outcomeOf(worst) : recordOf(subject).outcome;
}

function subjectName(subject) {
  const record = recordOf(subject);
  return subject.kind === "box" ? elementName(record.element) : record.name;
}

const nameOf = (finding) => {
  const subject = subjectOf(finding);
  if (!subject || subject.kind === "box") return elementName(finding.subject);
  return `${runs[subject.place].name}: ${elementName(finding.subject)}`;
};

/** Elements that a finding is about. */
const elementsOf = (finding) => finding.elements ?? runs[finding.run]?.elements ?? [];

/** Entries of a box that a finding is about, by their numbers. */
function entriesOf(finding) {
  const wanted = new Set(finding.elements ?? []);
  return (boxes[finding.box]?.entries ?? []).map((entry, place) => ({ ...entry, number: place + 1 })).filter((entry) => wanted.has(entry.conduit));
}

/** Sizes of raceways that each finding is about. */
const sizes = new Map(findings.map((finding) => {
  const subject = subjectOf(finding);
  const all = subject?.kind === "run" ? [runs[subject.place].size] : entriesOf(finding).map((entry) => entry.size);
  return [finding, [...new Set(all.filter(Boolean))]];
}));
const sizesOf = (finding) => sizes.get(finding);

/** Wall or pair of walls whose distance a finding is about: its axis and the wall that it is measured from. */
function spanOf(finding) {
  const walls = [...new Set(entriesOf(finding).map((entry) => entry.wall))];
  const axes = [...new Set(walls.map((wall) => wall[1]))];
  if (finding.check === "cover-depth") {
    const cover = boxes[finding.box].cover[0];
    return cover ? { axis: cover[1], from: cover } : null;
  }
  if (axes.length !== 1) return null;
  if (finding.check === "straight-pull-length") return { axis: axes[0], from: `-${axes[0]}` };
  return finding.check === "angle-pull-distance" && walls.length === 1 ? { axis: axes[0], from: walls[0] } : null;
}

// What became of each row since an earlier check, where one was given.
const changeOf = new Map((content.head.changes?.rows ?? []).map((row) => [row.finding, row]));

// Centre lines: metres from the base, run after run, packed as little-endian floats as every browser's machine has them.
const lines = (() => {
  const raw = Uint8Array.from(atob(content.lines.points), (letter) => letter.charCodeAt(0));
  const points = new Float32Array(raw.buffer);
  const starts = [0];
  for (const count of content.lines.counts) starts.push(starts.at(-1) + count);
  return { points, starts };
})();

/** Points of one run, as [x, y, z] in metres from the base. */
function lineOf(place) {
  const points = [];
  for (let at = lines.starts[place]; at < lines.starts[place + 1]; at += 1) points.push([...lines.points.subarray(3 * at, 3 * at + 3)]);
  return points;
}

/** The eight corners of a box, in metres from the base. */
function cornersOf(box) {
  const corners = [];
  for (let number = 0; number < 8; number += 1) {
    corners.push([0, 1, 2].map((along) => box.middle[along]
      + [0, 1, 2].reduce((sum, axis) => sum + box.axes[axis][along] * box.half[axis] * (number >> axis & 1 ? 1 : -1), 0)));
  }
  return corners;
}

/** Pairs of corners that an edge joins. */
const EDGES = [0, 1, 2, 3, 4, 5, 6, 7].flatMap((one) => [1, 2, 4].map((bit) => [one, one | bit]).filter(([a, b]) => a !== b));

/** Least and greatest coordinates of a box or run, in metres from the base. */
function boundsOf({ kind, place }) {
  const values = kind === "box" ? cornersOf(boxes[place]).flat() : lines.points.subarray(3 * lines.starts[place], 3 * lines.starts[place + 1]);
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  for (let at = 0; at < values.length; at += 1) {
    low[at % 3] = Math.min(low[at % 3], values[at]);
    high[at % 3] = Math.max(high[at % 3], values[at]);
  }
  return { low, high };
}
