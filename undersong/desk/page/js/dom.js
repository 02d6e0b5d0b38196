// Small helpers for making the page. Nothing is ever made from a string of HTML,
// but for the drawing that the desk's own server made (see views/sheet.js).

/** An element: el("p", {class: "help"}, "words"). `on` holds listeners; null values are left out. */
export function el(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name === "on") for (const [kind, hear] of Object.entries(value)) node.addEventListener(kind, hear);
    else if (name in node && typeof value !== "string") node[name] = value;
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat().filter((child) => child !== null && child !== undefined));
  return node;
}

export function button(words, onClick, attributes = {}) {
  return el("button", { type: "button", on: { click: onClick }, ...attributes }, words);
}

let made = 0;

/** An id that nothing else has. */
export function newId(stem) {
  made += 1;
  return `${stem}-${made}`;
}

/** A field with its name and help: the control gets an id, the help describes it. */
export function field(name, control, help = "") {
  control.id ||= newId("field");
  const label = el("label", { for: control.id }, name);
  if (!help) return el("div", { class: "field" }, label, control);
  const told = el("p", { class: "help", id: `${control.id}-help` }, help);
  control.setAttribute("aria-describedby", told.id);
  return el("div", { class: "field" }, label, control, told);
}

/** A choice out of rows {name, words}. */
export function select(rows, value, onChange, { empty = null } = {}) {
  const options = rows.map((row) =>
    el("option", { value: row.name, selected: row.name === value },
      row.words ? `${row.name}: ${row.words}` : row.name));
  if (empty !== null) options.unshift(el("option", { value: "", selected: value === null }, empty));
  return el("select", { on: { change: (event) => onChange(event.target.value || null) } }, ...options);
}

/** Replaces what is in a node, and leaves the focus where it was if that is still there. */
export function fill(node, ...children) {
  const at = document.activeElement;
  const id = node.contains(at) ? at.id : "";
  node.replaceChildren(...children.flat().filter((child) => child !== null && child !== undefined));
  if (id) document.getElementById(id)?.focus({ preventScroll: true });
}

/** Calls `work` only when it was not called again for so many milliseconds. */
export function settled(work, wait) {
  let timer = 0;
  return (...given) => {
    clearTimeout(timer);
    timer = setTimeout(() => work(...given), wait);
  };
}

/** 1234.4 as "1234", as all pages have it. */
export function number(value) {
  return String(Math.round(value));
}

/** "1 shape", "2 shapes". */
export function many(count, what) {
  return `${count} ${what}${count === 1 ? "" : "s"}`;
}

/** With a capital letter. */
export function start(words) {
  return words.slice(0, 1).toUpperCase() + words.slice(1);
}

/** "what is wrong" as "What is wrong."; a file's name at its beginning, with its place or a colon
 *  after it, stays as it is. */
export function sentence(words) {
  if (!words) return "";
  const named = /^[^:,]*\.[a-z]\w{1,8}(, (line|bar|column) \d[^:]*)?:/i.test(words);
  return `${named ? words : start(words)}${/[.!?]$/.test(words) ? "" : "."}`;
}

/** Hands a file to the browser, to be kept under that name. */
export function handOver(blob, name) {
  const address = URL.createObjectURL(blob);
  el("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
