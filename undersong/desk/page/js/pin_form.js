// A small form: fix or forbid something in this bar, in a beat of it, in some bars, everywhere.

import { KINDS, NOTES, ROLES, barNumber, beatsOf, runsSelected, stringsOf, typed } from "./pins.js";

/** The form for a bar; row: its row of the reading; moments: its moments, once they are known. */
export function pinForm(desk, row, moments) {
  const { state, say, dom: { el, button, field, fill, newId } } = desk;
  const { choices } = state;
  const number = barNumber(row);
  const choice = (rows) => el("select", {}, ...rows.map(([value, words]) => el("option", { value }, words)));

  const runs = runsSelected(state);
  const several = runs.length > 1 || runs[0]?.includes("-");
  const where = choice([
    ...(several ? [["selected", `the bars selected: ${runs.join(", ")}`]] : []),
    [number, `${row.number === "pickup" ? "the pickup" : `bar ${row.number}`}, every time through`],
    ...beatsOf(moments).map((beat) => [`${number} beat ${beat}`, `beat ${beat} of it`]),
    ["bars", "some bars…"], ["all", "the whole tune"],
  ]);
  const bars = el("input", { type: "text", value: runs[0] ?? number, size: "8", autocomplete: "off" });
  const what = choice(KINDS.map(({ name, words }) => [name, words]));
  const shapes = el("datalist", { id: newId("shapes") },
    ...[...new Set(moments.map(({ shape }) => typed(shape)))].map((value) => el("option", { value })));
  const texture = choices.textures.find(({ name }) => name === state.work.settings.texture);
  const controls = {
    shape: field("Frets, bass first, then the fingers", el("input", {
      type: "text", list: shapes.id, autocomplete: "off", spellcheck: "false",
    }), "Such as 3-1-0 or 3-1-0 TI; x is a silent string, * any."),
    string: field("String", choice(stringsOf(state.answer).map((name) => [name, name]))),
    finger: field("Finger", choice(choices.fingers.map(({ letter, words }) => [letter, `${letter}: ${words}`]))),
    fret: field("Fret", el("input", { type: "text", inputmode: "numeric", autocomplete: "off", size: "4" }),
      "Such as 3 or 6+; x where the string is to be silent."),
    note: field("Note", choice(NOTES.map((name) => [name, name]))),
    role: field("To the chord", choice(ROLES.map((name) => [name, name]))),
    manner: field("Manner", choice(choices.manners.filter(({ name }) =>
      texture?.manners.includes(name)).map(({ name, words }) => [name, `${name}: ${words}`]))),
  };
  const control = (name) => controls[name].querySelector("input, select");
  control("shape").value = moments.length ? typed(moments[0].shape) : "";
  const barsField = field("Bars", bars, "Such as 5-8, or a section's name.");
  const fields = el("div", {});
  const told = el("p", { class: "help" });
  const pin = button("Fix it", () => ask("pins"), { class: "fix" });
  const forbid = button("Rule it out", () => ask("forbids"), { class: "forbid" });

  const kind = () => KINDS.find(({ name }) => name === what.value);

  function show() {
    barsField.hidden = where.value !== "bars";
    fill(fields, ...kind().wants.map((name) => controls[name]));
    pin.disabled = !kind().pin;
    forbid.disabled = !kind().forbid;
    fill(told, !kind().pin ? "This can be ruled out only." : !kind().forbid ? "This can be fixed only." : "");
  }

  function ask(list) {
    const values = {};
    for (const name of kind().wants) {
      const value = control(name).value.trim();
      if (!value) return missing(control(name), "Write this first.");
      values[name] = value;
    }
    const places = { bars: [bars.value.trim()], selected: runs }[where.value] ?? [where.value];
    if (!places[0]) return missing(bars, "Say which bars.");
    const texts = places.map((at) => `${at}: ${kind().text(values)}`)
      .filter((text) => !state.work[list].includes(text));
    if (!texts.length) return fill(told, "That is asked already.");
    const done = list === "pins" ? "fixed" : "ruled out";
    say(`${done}: ${texts.join("; ")}`);
    state.change(`${done} ${texts.join("; ")}`, (work) => work[list].push(...texts));
    return undefined;
  }

  function missing(node, words) {
    node.setAttribute("aria-invalid", "true");
    node.addEventListener("input", () => node.removeAttribute("aria-invalid"), { once: true });
    node.focus();
    fill(told, words);
    say(words, true);
  }

  where.addEventListener("change", show);
  what.addEventListener("change", show);
  const form = el("form", { class: "asks", "aria-label": "Ask something of this bar",
    on: { submit: (event) => event.preventDefault() } },
    field("Where", where), barsField, field("What", what), fields, shapes,
    el("div", { class: "row" }, pin, forbid), told);
  show();
  return form;
}
