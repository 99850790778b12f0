// The findings as a table: filtered, searched, sorted; the arrow keys go from row to row.

const PAGE = matchMedia("(max-width: 68rem)").matches ? 25 : 100;
const SELECTS = {
  check: (finding) => [texts.checks[finding.check]],
  storey: (finding) => [whereOf(finding.where).storey],
  space: (finding) => [whereOf(finding.where).space],
  grid: (finding) => [whereOf(finding.where).grid],
  system: (finding) => [whereOf(finding.where).system],
  trade: (finding) => [whereOf(finding.where).trade],
  model: (finding) => [elements.models[elements.model[finding.subject]]],
  size: (finding) => sizesOf(finding),
  change: (finding) => [content.head.changes && texts.change_kinds[changeOf.get(finding.id)?.kind ?? "same"]],
};
const natural = new Intl.Collator(texts.language, { numeric: true, sensitivity: "base" });
const COLUMNS = [
  { key: "outcome", cell: (finding) => mark(outcomeOf(finding)), value: rankOf },
  { key: "name", value: nameOf },
  { key: "check", cell: (finding) => texts.checks[finding.check], value: (finding) => texts.checks[finding.check] },
  { key: "required", cell: (finding) => (finding.required === null ? "" : amount(finding.required, finding.unit)), value: (finding) => finding.required, number: true },
  { key: "provided", cell: (finding) => (finding.provided === null ? "" : amount(finding.provided, finding.unit)), value: (finding) => finding.provided, number: true },
  { key: "short", cell: (finding) => (finding.short > 0 ? amount(finding.short, finding.unit) : ""), value: (finding) => finding.short, number: true },
  { key: "size", cell: (finding) => sizesOf(finding).join(", "), value: (finding) => sizesOf(finding).join(", "), extra: true },
  { key: "storey", cell: (finding) => whereOf(finding.where).storey ?? "", value: (finding) => whereOf(finding.where).storey ?? "", extra: true },
  { key: "model", cell: (finding) => elements.models[elements.model[finding.subject]], value: (finding) => elements.models[elements.model[finding.subject]], extra: true },
].filter((column) => !["storey", "model"].includes(column.key) || new Set(findings.map(column.value)).size > 1);

const table = { shown: [], most: PAGE, sort: { key: "outcome", falling: false }, haystacks: null };

function buildFilters() {
  const form = document.getElementById("filters");
  form.append(h("label", { class: "search" }, texts.table.search, h("input", { type: "search", name: "search", autocomplete: "off", spellcheck: "false" })));
  const kinds = OUTCOMES.slice(0, 3).concat(findings.some((finding) => finding.accepted) ? ["accepted"] : []);
  form.append(h("fieldset", {}, h("legend", {}, texts.table.outcomes),
    kinds.map((kind) => h("label", {}, h("input", { type: "checkbox", name: "outcome", value: kind, checked: true }), mark(kind)))));
  for (const [name, valuesOf] of Object.entries(SELECTS)) {
    const values = [...new Set(findings.flatMap(valuesOf).filter(Boolean))].sort(natural.compare);
    if (values.length < 2) continue;
    form.append(h("label", {}, texts.table[name], h("select", { name }, h("option", { value: "" }, texts.table.any), values.map((value) => h("option", { value }, value)))));
  }
  form.append(h("button", { type: "button", onclick: () => {
    form.reset();
    applyFilters();
  } }, texts.table.clear));
  form.addEventListener("input", () => applyFilters());
  form.addEventListener("submit", (event) => event.preventDefault());
}

/** Names, tags and GUIDs of a row, in small letters. */
function haystackOf(finding) {
  const places = new Set([finding.subject, ...elementsOf(finding)]);
  if (Number.isInteger(finding.box)) places.add(boxes[finding.box].element);
  const names = [...places].flatMap((place) => [elements.name[place], elements.tag[place], elements.guid[place]]);
  return [nameOf(finding), finding.id, ...names].join("\n").toLowerCase();
}

function applyFilters() {
  const chosen = new FormData(document.getElementById("filters"));
  const words = chosen.get("search").trim().toLowerCase().split(/\s+/).filter(Boolean);
  if (words.length) table.haystacks ??= new Map(findings.map((finding) => [finding, haystackOf(finding)]));
  const kinds = new Set(chosen.getAll("outcome"));
  const selects = Object.entries(SELECTS).filter(([name]) => chosen.get(name));
  table.shown = findings.filter((finding) => kinds.has(outcomeOf(finding))
    && selects.every(([name, valuesOf]) => valuesOf(finding).includes(chosen.get(name)))
    && words.every((word) => table.haystacks.get(finding).includes(word)));
  table.most = PAGE;
  sortRows();
}

function sortRows() {
  const { key, falling } = table.sort;
  const { value, number } = COLUMNS.find((column) => column.key === key);
  const order = (one, other) => {
    if (key === "outcome") return byGravity(one, other);
    const [a, b] = [value(one), value(other)];
    if (number) return (a ?? -Infinity) - (b ?? -Infinity) || 0;
    return natural.compare(a, b);
  };
  table.shown.sort((one, other) => (falling ? -1 : 1) * order(one, other));
  showRows();
}

function showRows() {
  const rows = table.shown.slice(0, table.most);
  const rest = table.shown.length - rows.length;
  document.getElementById("shown").textContent = table.shown.length || !findings.length
    ? filled(texts.table.shown, { shown: table.shown.length, count: findings.length }) : texts.table.none;
  const body = h("tbody", {}, rows.map(rowOf));
  const more = rest > 0 ? h("button", { type: "button", id: "more", onclick: showMore }, filled(texts.table.more, { count: Math.min(rest, PAGE) })) : "";
  const old = document.querySelector("#rows table");
  if (old) {
    old.querySelector("tbody").replaceWith(body);
    document.getElementById("more")?.remove();
    document.getElementById("rows").append(more);
  } else {
    document.getElementById("rows").append(h("table", { class: "findings" }, h("caption", {}, texts.table.caption), headOf(), body), more);
  }
  for (const cell of document.querySelectorAll("#rows th[data-key]")) {
    const isSorted = cell.dataset.key === table.sort.key;
    cell.setAttribute("aria-sort", isSorted ? (table.sort.falling ? "descending" : "ascending") : "none");
  }
  markRow();
}

function showMore() {
  const first = table.most;
  table.most += PAGE;
  showRows();
  linkAt(first)?.focus();
}

function headOf() {
  const sortBy = (key) => {
    table.sort = { key, falling: table.sort.key === key && !table.sort.falling };
    sortRows();
  };
  return h("thead", {}, h("tr", {}, COLUMNS.map((column) => h("th", {
    scope: "col", "data-key": column.key, "aria-sort": "none", class: columnClass(column),
  }, h("button", { type: "button", title: filled(texts.table.sort, { column: texts.columns[column.key] }), onclick: () => sortBy(column.key) }, texts.columns[column.key])))));
}

const columnClass = (column) => [column.number ? "number" : "", column.extra ? "extra" : "", `col-${column.key}`].filter(Boolean).join(" ");

function rowOf(finding) {
  return h("tr", { "data-id": finding.id, onclick: (event) => {
    if (!event.target.closest("a") && !getSelection().toString()) location.hash = finding.id;
  } }, COLUMNS.map((column) => (column.key === "name"
    ? h("th", { scope: "row" }, h("a", { href: `#${finding.id}`, tabindex: "-1" }, nameOf(finding)))
    : h("td", { class: columnClass(column) }, column.cell(finding)))));
}

const rowLinks = () => [...document.querySelectorAll("#rows tbody a")];
const linkAt = (place) => rowLinks()[place];

/** Mark the selected row; Tab enters the table there, else at its first row. */
function markRow() {
  const id = selection.finding?.id;
  const links = rowLinks();
  for (const link of links) {
    const isChosen = link.closest("tr").dataset.id === id;
    link.closest("tr").classList.toggle("chosen", isChosen);
    link.toggleAttribute("aria-current", isChosen);
    if (isChosen) link.setAttribute("aria-current", "true");
    link.tabIndex = -1;
  }
  const entry = links.find((link) => link.closest("tr").dataset.id === id) ?? links[0];
  if (entry) entry.tabIndex = 0;
}

/** Show enough rows that the selected one is among them, if the filters let it through; tells whether they do. */
function revealRow(finding) {
  const place = table.shown.indexOf(finding);
  if (place >= table.most) {
    table.most = PAGE * Math.ceil((place + 1) / PAGE);
    showRows();
  }
  return place >= 0;
}

function moveBetweenRows(event) {
  const links = rowLinks();
  const place = links.indexOf(document.activeElement);
  const step = { ArrowDown: 1, ArrowUp: -1, PageDown: 10, PageUp: -10, Home: -Infinity, End: Infinity }[event.key];
  if (place < 0 || step === undefined) return;
  event.preventDefault();
  const next = links[Math.min(Math.max(place + step, 0), links.length - 1)];
  for (const link of links) link.tabIndex = link === next ? 0 : -1;
  next.focus();
}
