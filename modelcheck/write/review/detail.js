// The working of one row: arithmetic, drawing, what was assumed, what would pass, where it is.

const MOST_ELEMENTS = 40;

/** Everything about the selected row, or about a box or run without one. */
function sheetOf(finding, subject, width) {
  const record = subject && recordOf(subject);
  const parts = finding ? workingParts(finding) : [h("p", { class: "message" }, record.message || texts.outcomes[record.outcome])];
  if (subject?.kind === "box") parts.push(...boxParts(record, finding, width));
  if (subject?.kind === "run") parts.push(...runParts(record, finding, subject.place, width));
  if (finding) parts.push(assumedPart(sharedTexts(finding.assumed)));
  if (subject) parts.push(subject.kind === "box" ? fixesPart(record.fixes ?? []) : planPart(record.plan));
  if (finding) parts.push(wherePart(finding), elementsPart(finding));
  else parts.push(h("p", {}, guidLine(subjectName(subject), elements.guid[subject.kind === "box" ? record.element : record.elements[0]])));
  if (subject) parts.push(siblingsPart(subject, finding));
  return parts.flat().filter(Boolean);
}

function workingParts(finding) {
  const [code, edition, clause] = content.rules[finding.rule];
  const accepted = finding.accepted && h("p", { class: "accepted" }, mark("accepted", { quiet: true }),
    filled(texts.sheet.accepted, finding.accepted), finding.accepted.until ? `, ${filled(texts.sheet.accepted_until, finding.accepted)}` : "");
  return [
    finding.working ? h("p", { class: "arithmetic" }, finding.working) : null,
    h("p", { class: "verdict" }, mark(outcomeOf(finding)), amountsOf(finding).map((text) => h("span", {}, text))),
    isDrawnToLength(finding) ? null : bars(finding),
    accepted,
    changePart(finding),
    h("p", { class: "message" }, finding.message),
    h("p", { class: "clause" }, filled(texts.sheet.rule, { code: code.toUpperCase(), edition, clause })),
  ];
}

/** What became of the row since the earlier check. */
function changePart(finding) {
  const row = changeOf.get(finding.id);
  return row ? h("p", {}, `${filled(texts.changes.since, content.head.changes)}: ${[texts.change_kinds[row.kind], ...row.why].join("; ")}`) : null;
}

/** Whether the drawing of the box shows the amounts as lengths. */
const isDrawnToLength = (finding) => Number.isInteger(finding.box) && finding.unit in MM_PER;

/** Required, provided, and what is short or to spare. */
function amountsOf(finding) {
  const { required, provided, unit } = finding;
  const told = [[texts.sheet.provided, provided], [requiredWord(finding), required]].filter(([, value]) => value !== null);
  return [...told.map(([word, value]) => `${word} ${amount(value, unit)}`), shortText(finding)].filter(Boolean);
}

function shortText(finding) {
  if (finding.short === null || (finding.short <= 0 && finding.outcome === "needs-input")) return "";
  const word = finding.short > 0 ? (content.atMost.includes(finding.check) ? texts.sheet.over_by : texts.sheet.short_by) : texts.sheet.spare;
  const value = amount(Math.abs(finding.short), finding.unit);
  return finding.short > 0 ? `${word} ${value}` : `${value} ${word}`;
}

function boxParts(box, finding, width) {
  const entries = (box.entries ?? []).map((entry, place) => [String(place + 1), entry.wall, entry.size || texts.sheet.unknown, elementName(entry.conduit)]);
  const { sheet } = texts;
  return [
    boxDrawing(box, finding, width),
    box.pullLines ? h("ul", { class: "plain" }, box.pullLines.map((text) => h("li", {}, text))) : null,
    termList([[sheet.inside, `${box.inside} ${content.head.unit}`], [sheet.cover, box.cover.join(", ") || sheet.unknown]]),
    entries.length ? smallTable(sheet.entries, [sheet.entry, sheet.wall, texts.columns.size, sheet.element], entries) : null,
  ];
}

function runParts(run, finding, place, width) {
  const { sheet } = texts;
  const totals = runningTotals(run);
  const rows = (run.bends ?? []).map(([angle, radius, , element], number) => [
    String(number + 1), `${angle}°`, `${totals[number]}°`, radius === null ? sheet.corner : `${radius} ${content.head.unit}`, elementName(element),
  ]);
  const rest = Math.round(10 * (run.total - (totals.at(-1) ?? 0))) / 10;
  if (rows.length && Math.abs(rest) > TOLERANCE_DEG) rows.push(["", `${rest}°`, `${run.total}°`, "", sheet.allowance]);
  return [
    runDrawing(run, finding, place, width),
    rows.length ? smallTable(sheet.bends, [sheet.bend, sheet.angle, sheet.total, sheet.radius, sheet.element], rows) : h("p", {}, sheet.no_bends),
    termList([[sheet.raceway, run.size], [sheet.length, `${run.length} ${content.head.unit}`], [sheet.start, endName(run.start)], [sheet.end, endName(run.end)]]),
  ];
}

const part = (title, ...children) => h("section", { class: "part" }, h("h3", {}, title), children);

function assumedPart(assumed) {
  return assumed.length ? part(texts.sheet.assumed, h("ul", {}, assumed.map((text) => h("li", {}, text)))) : null;
}

function fixesPart(fixes) {
  if (!fixes.length) return null;
  const { sheet } = texts;
  const rows = fixes.map((fix) => [
    fix.conduit === null ? fix.change : `${fix.change}, ${elementName(fix.conduit)}, ${filled(sheet.drawing_wall, { wall: fix.wall })}`,
    fix.from, fix.to, fix.pairing, [fix.message, ...sharedTexts(fix.working)].filter(Boolean).join("; "),
  ]);
  return part(`${sheet.would_pass} (${content.head.unit})`, smallTable(sheet.would_pass, [sheet.change, sheet.from, sheet.to, sheet.pairing, sheet.because], rows, { isTitled: false }));
}

function planPart(plan) {
  if (!plan) return null;
  const { sheet } = texts;
  const points = plan.points.map((point, number) => h("li", {}, `${filled(sheet.pull_point, { number: number + 1 })}: ${point.message}`));
  return part(sheet.pull_points, plan.problem ? h("p", {}, plan.problem) : null, points.length ? h("ul", { class: "plain" }, points) : null);
}

function wherePart(finding) {
  const where = whereOf(finding.where);
  const { sheet } = texts;
  return part(sheet.where, termList([
    [sheet.storey, where.storey], [sheet.space_name, where.space], [sheet.grid, where.grid],
    [sheet.height, where.height === undefined ? "" : `${where.height} m`], [sheet.system, where.system], [sheet.trade, where.trade],
    [texts.columns.model, elements.models[elements.model[finding.subject]]], [sheet.place, `${finding.at.join(", ")} m`],
  ]));
}

function elementsPart(finding) {
  const places = [...new Set([finding.subject, ...elementsOf(finding)])];
  const items = places.slice(0, MOST_ELEMENTS).map((place) => h("li", {}, guidLine(elements.name[place], elements.guid[place])));
  const more = places.length > MOST_ELEMENTS ? h("li", {}, filled(texts.sheet.more_elements, { count: places.length - MOST_ELEMENTS })) : "";
  return part(texts.sheet.elements, h("ul", { class: "plain" }, items, more));
}

function siblingsPart(subject, finding) {
  const rows = rowsOf[subject.kind][subject.place];
  if (rows.length < 2 && finding) return null;
  return rows.length ? part(texts.sheet.same_subject, h("ul", { class: "plain" }, rows.map((row) => h("li", {}, mark(outcomeOf(row)), " ",
    h("a", { href: `#${row.id}`, "aria-current": row === finding ? "true" : null }, `${texts.checks[row.check]}: ${row.working || row.message}`))))) : null;
}
