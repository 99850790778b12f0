// Elements, texts and numbers. Text of a model goes into the page as text only, never as markup.

const texts = JSON.parse(document.getElementById("texts").textContent);
const content = JSON.parse(document.getElementById("content").textContent);
const SVG = "http://www.w3.org/2000/svg";

/** Element with attributes; `onclick` and the like are listeners. */
function h(tag, attributes = {}, ...children) {
  return dressed(document.createElement(tag), attributes, children);
}

/** The same for drawings. */
function s(tag, attributes = {}, ...children) {
  return dressed(document.createElementNS(SVG, tag), attributes, children);
}

function dressed(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (value !== null && value !== undefined && value !== false) {
      element.setAttribute(name, value === true ? "" : value);
    }
  }
  element.append(...children.flat(2).filter((child) => child !== null && child !== undefined && child !== false && child !== ""));
  return element;
}

/** Put values into the braces of a text. */
function filled(text, values) {
  return text.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole));
}

/** Amount with its unit, or a word that it isn't known. */
function amount(value, unit) {
  return value === null || value === undefined ? texts.sheet.not_known : `${value} ${unit}`.trim();
}

// Shapes that tell outcomes apart without colour: a cross in a square, a question in a diamond, a tick, a bar.
const SHAPES = {
  fail: ["M1 1h14v14h-14z", "M4.5 4.5l7 7M11.5 4.5l-7 7"],
  accepted: ["M1 1h14v14h-14z", "M4 8h8"],
  "needs-input": ["M8 .5L15.5 8L8 15.5L.5 8z", "M6 6.3a2 2 0 1 1 2.6 1.9q-.6 .3-.6 1.3M8 11.2v.9"],
  pass: ["", "M2.5 8.5l3.5 4l7.5-9"],
  none: ["", "M3 8h10"],
};

/** Outcome by shape, word and colour. */
function mark(outcome, { quiet = false } = {}) {
  const [body, sign] = SHAPES[outcome];
  const icon = s("svg", { viewBox: "0 0 16 16", class: "shape", "aria-hidden": "true" },
    s("path", { d: body, class: "shape-body" }), s("path", { d: sign, class: "shape-sign" }));
  return h("span", { class: `mark is-${outcome}` }, icon, quiet ? "" : h("span", {}, texts.outcomes[outcome]));
}

/** Terms with what they stand for; those without are left out. */
function termList(pairs) {
  const kept = pairs.filter(([, value]) => value !== "" && value !== null && value !== undefined);
  return kept.length ? h("dl", {}, kept.map(([term, value]) => h("div", {}, h("dt", {}, term), h("dd", {}, value)))) : null;
}

/** Table of small size: columns and rows of cells; it scrolls where it is wider than its place. */
function smallTable(title, columns, rows, { isTitled = true } = {}) {
  return h("div", { class: "wide", tabindex: "0", role: "group", "aria-label": title },
    h("table", { class: "small" }, isTitled && h("caption", {}, title),
      h("thead", {}, h("tr", {}, columns.map((name) => h("th", { scope: "col" }, name)))),
      h("tbody", {}, rows.map((cells) => h("tr", {}, cells.map((cell) => h("td", {}, cell)))))));
}

/** Say something to those who listen to the page. */
function tell(text) {
  document.getElementById("told").textContent = text;
}

/** Copy `text`; where the browser forbids it, `source` is selected for copying by hand. */
async function copy(text, source) {
  try {
    await navigator.clipboard.writeText(text);
    tell(`${text} ${texts.sheet.copied}`);
    return true;
  } catch {
    const range = document.createRange();
    range.selectNodeContents(source);
    getSelection().removeAllRanges();
    getSelection().addRange(range);
    tell(texts.sheet.copy_failed);
    return false;
  }
}

/** A GUID with its name and a button that copies it. */
function guidLine(name, guid) {
  const code = h("code", {}, guid);
  const button = h("button", { type: "button", class: "copy", "aria-label": filled(texts.sheet.copy_guid, { name: name || guid }),
    onclick: async () => {
      if (await copy(guid, code)) button.textContent = texts.sheet.copied;
    } }, texts.sheet.copy);
  return h("span", { class: "guid" }, name ? h("span", {}, name) : "", code, button);
}
