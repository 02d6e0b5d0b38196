// Who plays, and on what: instrument, hand, and how the tune is played.

import { content, wholeIn } from "../complaints.js";

export function mount(root, desk) {
  const { state, say, dom: { el, button, field, fill, many, select, sentence } } = desk;
  const { choices } = state;
  const { helps } = choices;
  const shown = [];
  const controls = new Map(); // by the setting's name

  /** A setting with its control: show(value) puts the work's value there. */
  function setting(name, title, control, show) {
    shown.push(() => show(state.work.settings[name]));
    controls.set(name, control);
    return field(title, control, helps[name] ?? "");
  }

  function set(name, value, words) {
    state.change(words, (work) => { work.settings[name] = value; });
  }

  function chosen(name, title, rows, { empty = null, words = (value) => `${title}: ${value}` } = {}) {
    const control = select(rows, null,
      (value) => set(name, value, value === null ? `${title}: ${empty}` : words(value)),
      { empty });
    return setting(name, title, control, (value) => { control.value = value ?? ""; });
  }

  function typed(name, title, { list = null, empty = null, mode = "text" } = {}) {
    const control = el("input", { type: "text", inputmode: mode, autocomplete: "off", spellcheck: false });
    let offered = null;
    if (list) {
      offered = el("datalist", { id: `${name}-list` },
        ...list.map((row) => el("option", { value: row.name }, row.words)));
      control.setAttribute("list", offered.id);
    }
    control.addEventListener("change", () => {
      const value = control.value.trim();
      set(name, value || empty, `${title}: ${value || "usual"}`);
    });
    const node = setting(name, title, control, (value) => { control.value = value ?? ""; });
    if (offered) node.append(offered);
    return node;
  }

  /** Texts of the work, several with semicolons between. */
  function listed(name, title, help) {
    const control = el("input", { type: "text", autocomplete: "off", spellcheck: "false" });
    control.addEventListener("change", () => {
      const texts = control.value.split(";").map((text) => text.trim()).filter(Boolean);
      state.change(`${title.toLowerCase()}: ${texts.join("; ") || "nothing"}`, (work) => {
        work[name] = texts;
      });
    });
    shown.push(() => { control.value = state.work[name].join("; "); });
    return field(title, control, help);
  }

  function ticked(name, title) {
    const control = el("input", { type: "checkbox" });
    control.addEventListener("change", () => set(name, control.checked, title));
    const node = setting(name, title, control, (value) => { control.checked = value; });
    node.classList.add("tick");
    return node;
  }

  const manner = select([], null, (value) => set("manner", value, `bass: ${value ?? "usual"}`));
  const level = select([], null, (value) =>
    set("level", value === null ? null : Number(value), value === null ? "no level" : `level ${value}`));
  shown.push(() => {
    const { texture, manner: now, level: at } = state.work.settings;
    const row = choices.textures.find(({ name }) => name === texture);
    offer(manner, choices.manners.filter(({ name }) => row?.manners.includes(name)), now,
      `usual: ${row?.usual}`);
    offer(level, (choices.levels[texture] ?? []).map(({ number, teaches }) =>
      ({ name: String(number), words: teaches })), at === null ? null : String(at), "none: the tune as it is best");
  });

  // another texture has other manners: one that does not fit is let go with the same step
  const texture = select(choices.textures, null, (value) =>
    state.change(`Texture: ${value}`, (work) => {
      const row = choices.textures.find(({ name }) => name === value);
      work.settings.texture = value;
      work.settings.level = null;
      if (!row.manners.includes(work.settings.manner)) work.settings.manner = null;
    }));

  /** Options that depend on another setting. */
  function offer(control, rows, value, empty) {
    const fresh = select(rows, value, () => {}, { empty });
    fill(control, ...fresh.childNodes);
    control.value = value ?? "";
  }

  const fingers = el("fieldset", { class: "fingers" }, el("legend", {}, "Fingers that stop no string"),
    ...choices.fingers.map(({ letter, words }) => {
      const box = el("input", { type: "checkbox", value: letter, id: `without-${letter}` });
      box.addEventListener("change", () => {
        const now = [...fingers.querySelectorAll("input:checked")].map((one) => one.value);
        set("without_fingers", now, box.checked ? `without the ${words}` : `the ${words} again`);
      });
      return el("label", { for: box.id }, box, ` ${words}`);
    }));
  shown.push(() => {
    for (const box of fingers.querySelectorAll("input")) {
      box.checked = state.work.settings.without_fingers.includes(box.value);
    }
  });

  const refused = el("p", { class: "notice", id: "setting-refused" });
  const now = ({ settings }) => settings;
  root.append(
    group("Instrument", (work) => [now(work).instrument, now(work).tuning,
      now(work).capo === "0" ? null : `capo ${now(work).capo}`],
    chosen("instrument", "Instrument", choices.instruments),
    typed("tuning", "Tuning", { list: choices.tunings }),
    typed("capo", "Capo at fret", { empty: "0", mode: "numeric" }),
    typed("scale", "Scale length"),
    typed("bass_ceiling", "Highest fret of the bass"),
    typed("highest", "Highest fret of the others"),
    typed("melody_highest", "Highest fret of the melody"),
    ticked("bass_above", "Strings may sound below the bass")),
    group("Hand", (work) => [now(work).hand, now(work).without_fingers.length
      ? `without ${now(work).without_fingers.join(" ")}` : null],
    typed("hand", "Hand", { list: choices.hands, empty: "medium" }),
    el("p", { class: "help" }, `To measure your span: ${choices.span_help[0].toLowerCase()}${choices.span_help.slice(1)}`),
    fingers),
    el("p", { class: "caution" }, choices.caution),
    group("What is played", (work) => [now(work).texture, now(work).manner, now(work).right_hand,
      now(work).level === null ? null : `level ${now(work).level}`],
    setting("texture", "Texture", texture, (value) => { texture.value = value; }),
    field("How the bass goes", manner, helps.manner),
    chosen("right_hand", "Right hand", choices.right_hands),
    field("Level", level, helps.level),
    chosen("no_chord", "Where no chord is written", choices.no_chord),
    ticked("graces", "Play the grace notes")),
    group("What is to learn", (work) => [
      now(work).alike === null ? "easiest each time" : `alike: ${now(work).alike}`,
      now(work).shapes === null ? null : many(now(work).shapes, "shape"),
      ...work.at_most.map((text) => `at most ${text}`), ...work.at_least.map((text) => `at least ${text}`)],
    chosen("alike", "Alike", choices.alike, { empty: "only where it is easiest" }),
    shapes(),
    listed("at_most", "At most", helps.at_most),
    listed("at_least", "At least", helps.at_least)),
    button("All of this as usual", () => state.change("player and instrument as usual", (work) => {
      const usual = state.fresh(null).settings;
      for (const name of ["tempo", "transpose", "octave", "chords"]) usual[name] = work.settings[name];
      work.settings = usual;
    }), { id: "usual-player" }));

  /** Settings that belong together, folded away under what they are set to. */
  function group(title, values, ...fields) {
    const set_ = el("span", { class: "set" });
    shown.push(() => { set_.textContent = values(state.work).filter(Boolean).join(", "); });
    return el("details", { class: "group" }, el("summary", {}, title, " ", set_), ...fields);
  }

  function shapes() {
    const control = el("input", { type: "number", min: "1", max: "999", step: "1" });
    control.addEventListener("change", () => {
      const value = wholeIn(control, 1, 999, say);
      if (value === undefined) return;
      set("shapes", value, value === null ? "any number of shapes" : `at most ${many(value, "shape")}`);
    });
    return setting("shapes", "At most so many shapes", control, (value) => { control.value = value ?? ""; });
  }

  function show() {
    for (const one of shown) one();
    refused.remove();
    for (const control of controls.values()) {
      content(control);
      control.removeAttribute("aria-invalid");
      control.setAttribute("aria-describedby", `${control.id}-help`);
    }
  }

  state.addEventListener("work", show);
  state.addEventListener("taken", show);
  state.addEventListener("refused", () => {
    const control = controls.get(state.refused.field);
    if (!control) return; // it is about none of these; the page tells it
    fill(refused, sentence(state.refused.sentence));
    control.setAttribute("aria-invalid", "true");
    control.setAttribute("aria-describedby", `${refused.id} ${control.id}-help`);
    control.closest(".field").append(refused);
    control.closest("details").open = true;
    refused.scrollIntoView({ block: "nearest" });
  });
}
