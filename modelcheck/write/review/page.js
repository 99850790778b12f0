// The page as a whole: its head, what is selected, the views, the theme, the keys.

const selection = { finding: null, subject: null };
const VIEWS = { working: showWorking, plan: once(buildPlan, drawPlan), space: once(buildSpace, markInSpace) };
const byId = new Map(findings.map((finding) => [finding.id, finding]));

/** What `first` does the first time, and `later` each time after. */
function once(first, later) {
  let isDone = false;
  return () => {
    if (isDone) return later();
    isDone = true;
    return first();
  };
}

function buildHead() {
  const { head } = content;
  const words = texts.head;
  const projects = [...new Set(head.inputs.map((input) => input.project).filter(Boolean))].join(", ");
  const models = head.inputs.map((input) => h("div", {}, `${input.model} (${input.schema}), `,
    input.dated ? filled(words.written, { date: input.dated }) : words.no_date, ", ", h("span", { title: input.sha256 }, filled(words.digest, { start: input.sha256.slice(0, 12) }))));
  document.title = [projects || head.inputs[0]?.model, texts.title].filter(Boolean).join(": ");
  document.getElementById("head").append(
    h("div", { class: "state" }, countsOf(words.boxes, head.boxes), countsOf(words.runs, head.runs),
      head.accepted ? h("p", {}, mark("accepted", { quiet: true }), filled(words.accepted_rows, { count: head.accepted })) : ""),
    termList([[words.project, projects], [words.models, models.length > 2 ? h("details", {}, h("summary", {}, filled(words.model_count, { count: models.length })), models) : models], [words.code, head.code], [words.sizes, head.basis], [words.results, head.unitName], [words.program, head.program]]) ?? "",
    h("p", { class: "caution" }, head.cautions.join(" ")),
    head.nothing ? h("p", { class: "message" }, head.nothing) : "",
    content.leftOut ? h("p", { class: "message" }, filled(words.left_out, { count: content.leftOut })) : "",
    h("div", { class: "folds" }, changesOf(head.changes), foldOf(words.unchecked, head.unchecked.length, listOf(head.unchecked)), notUnderstoodOf(head), foldOf(words.notes, head.notes.length, listOf(head.notes))));
}

function countsOf(name, counts) {
  const told = OUTCOMES.filter((outcome) => counts[outcome]).map((outcome) => h("span", { class: "count" }, h("b", {}, String(counts[outcome])), mark(outcome)));
  return h("p", {}, h("strong", {}, name), told.length ? told : texts.head.none_at_all);
}

const listOf = (lines) => h("ul", {}, lines.map((text) => h("li", {}, text)));

function foldOf(title, count, body) {
  return count ? h("details", {}, h("summary", {}, filled(title, { count })), body) : "";
}

/** Rows that are new, gone, moved or judged otherwise since an earlier check. */
function changesOf(changes) {
  if (!changes) return "";
  const word = (outcome) => (outcome ? mark(outcome) : "");
  const counts = Object.entries(changes.counts).filter(([, count]) => count).map(([kind, count]) => `${count} ${texts.change_kinds[kind]}`).join(", ");
  const { name, check } = texts.columns;
  const rows = changes.rows.map((row) => [texts.change_kinds[row.kind],
    byId.has(row.finding) ? h("a", { href: `#${row.finding}` }, row.name) : row.name, texts.checks[row.check] ?? row.check, word(row.before), word(row.now), row.why.join("; ")]);
  const title = filled(texts.head.changes, { since: changes.since, counts });
  return h("details", {}, h("summary", {}, title), listOf(changes.notes),
    rows.length ? smallTable(title, [texts.changes.change, name, check, texts.changes.before, texts.changes.now, texts.changes.why], rows, { isTitled: false }) : "");
}

function notUnderstoodOf(head) {
  const more = head.notUnderstoodCount - head.notUnderstood.length;
  const rows = head.notUnderstood.map((each) => h("li", {}, `${each.class} `, guidLine(each.name, each.guid), ` (${each.model}): ${[each.reason, each.remedy].filter(Boolean).join("; ")}`));
  return foldOf(texts.head.not_understood, head.notUnderstoodCount, h("ul", {}, rows, more > 0 ? h("li", {}, filled(texts.head.not_understood_more, { count: more })) : ""));
}

function buildViews() {
  const tabs = Object.keys(VIEWS).map((name) => h("button", {
    type: "button", role: "tab", id: `tab-${name}`, "aria-controls": name, "aria-selected": "false", tabindex: "-1", onclick: () => showView(name),
  }, texts.sheet[name]));
  const list = document.getElementById("views");
  list.append(...tabs);
  list.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    const next = tabs[(tabs.indexOf(document.activeElement) + step + tabs.length) % tabs.length];
    next.click();
    next.focus();
  });
  showView("working");
}

function showView(name) {
  for (const view of Object.keys(VIEWS)) {
    const tab = document.getElementById(`tab-${view}`);
    tab.setAttribute("aria-selected", String(view === name));
    tab.tabIndex = view === name ? 0 : -1;
    document.getElementById(view).hidden = view !== name;
  }
  VIEWS[name]();
}

const currentView = () => Object.keys(VIEWS).find((name) => !document.getElementById(name).hidden);

function showWorking() {
  const panel = document.getElementById("working");
  const { finding, subject } = selection;
  const width = Math.max(300, panel.clientWidth - 24);
  panel.replaceChildren(...(finding || subject ? sheetOf(finding, subject, width) : [h("p", { class: "message" }, texts.sheet.nothing)]));
}

/** Head of the right side: what is selected, and the ways on. */
function showChosenHead(isLet) {
  const { finding, subject } = selection;
  const step = (by) => table.shown[table.shown.indexOf(finding) + by];
  const to = (by, name) => h("button", { type: "button", disabled: !isLet || !step(by), onclick: () => {
    location.hash = step(by).id;
  } }, texts.sheet[name]);
  const title = finding ? `${nameOf(finding)}: ${texts.checks[finding.check]}` : subject ? subjectName(subject) : "";
  document.getElementById("chosen").replaceChildren(...[
    title && h("h3", { id: "chosen-title", tabindex: "-1" }, mark(finding ? outcomeOf(finding) : stateOf(subject)), " ", title),
    finding && !isLet ? h("p", {}, texts.sheet.hidden) : "",
    title && h("div", { class: "controls" }, h("button", { type: "button", class: "back", onclick: backToTable }, texts.sheet.back), finding ? [to(-1, "previous"), to(1, "next"), linkButton()] : ""),
  ].filter(Boolean));
}

function linkButton() {
  const address = h("span", { class: "unseen" }, location.href);
  return [h("button", { type: "button", onclick: () => copy(location.href, address) }, texts.sheet.copy_link), address];
}

function select(finding, subject) {
  Object.assign(selection, { finding, subject });
  const isLet = finding ? revealRow(finding) : false;
  showChosenHead(isLet);
  markRow();
  VIEWS[currentView()]();
}

/** Select a box or run: its worst row, if it has one. */
function selectSubject(subject) {
  if (!subject) return;
  const rows = rowsOf[subject.kind][subject.place];
  const row = rows.find((each) => table.shown.includes(each)) ?? rows[0];
  if (row && location.hash !== `#${row.id}`) {
    selection.isPicked = true;
    location.hash = row.id;
  } else select(row ?? null, subject);
}

/** Follow the address: `#` and the id of a row. */
function followAddress() {
  const id = location.hash.slice(1);
  const finding = byId.get(id);
  if (finding) {
    select(finding, subjectOf(finding));
    document.querySelector("#rows tr.chosen")?.scrollIntoView({ block: "nearest" });
    if (!selection.isPicked) document.getElementById("chosen-title").focus();
  } else if (id && !document.getElementById(id)) {
    document.getElementById("chosen").replaceChildren(h("p", {}, filled(texts.sheet.unknown_link, { id })));
  }
  selection.isPicked = false;
}

function backToTable() {
  const row = document.querySelector("#rows tr.chosen a") ?? document.querySelector("#rows tbody a");
  (row ?? document.getElementById("findings")).focus();
}

/** Theme of the reader's choice, kept where the browser lets it be kept. */
function buildTheme() {
  const choice = document.getElementById("theme");
  const apply = () => {
    document.documentElement.dataset.theme = choice.value;
    drawPlan();
    if (space.scene) fillSpace();
  };
  try {
    choice.value = localStorage.getItem("theme") ?? "auto";
  } catch { /* pages from files may be kept from keeping things */ }
  if (!choice.value) choice.value = "auto";
  choice.addEventListener("change", () => {
    apply();
    try {
      localStorage.setItem("theme", choice.value);
    } catch { /* as above */ }
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", apply);
  apply();
}

function listen() {
  addEventListener("hashchange", followAddress);
  document.getElementById("rows").addEventListener("keydown", moveBetweenRows);
  document.getElementById("sheet").addEventListener("keydown", (event) => {
    if (event.key === "Escape") backToTable();
  });
  let width = innerWidth;
  addEventListener("resize", () => {
    if (currentView() === "working" && innerWidth === width) return;
    width = innerWidth;
    VIEWS[currentView()]();
  });
  addEventListener("beforeprint", () => {
    table.most = Infinity;
    showRows();
    for (const fold of document.querySelectorAll("#head details")) fold.open = true;
  });
}

buildHead();
buildFilters();
buildViews();
buildTheme();
listen();
applyFilters();
select(table.shown[0] ?? null, table.shown[0] ? subjectOf(table.shown[0]) : null);
followAddress();
