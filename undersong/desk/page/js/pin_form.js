// A small form that pins or forbids something in the bars selected, or everywhere.

import * as pins from "./pins.js";

const STRINGS = ["bass", "middle", "melody"];

export function pinForm(desk) {
  const { state, say, dom: { el, button, field, fill, select } } = desk;
  const plain = (rows, onChange) => {
    const made = select(rows.map(([name]) => ({ name })), rows[0][0], onChange);
    for (const option of made.options) option.textContent = rows.find(([name]) => name === option.value)[1];
    return made;
  };
  const verb = plain([["pins", "Pin"], ["forbids", "Forbid"]], offer);
  const kind = plain([["shape", "x"]], offer);
  const value = el("span", { class: "pin-value" });
  const where = el("p", { class: "help" });
  const beat = el("input", { type: "number", min: "1", max: "32", step: "1" });
  const beatField = field("Only on beat", beat);
  let text = () => "";

  const KINDS = {
    shape: ["a shape", () => {
      const frets = el("input", { type: "text", placeholder: "3-1-0", autocomplete: "off" });
      const fingers = el("input", { type: "text", placeholder: "TI", autocomplete: "off" });
      fill(value, field("Frets, bass first", frets), field("Fingers, if they matter", fingers));
      return () => frets.value.trim() && `${frets.value.trim()} ${fingers.value.trim().toUpperCase()}`.trim();
    }],
    note: ["a bass note", () => {
      const note = el("input", { type: "text", placeholder: "D", autocomplete: "off" });
      fill(value, field("Note", note));
      return () => note.value.trim() && `bass note ${note.value.trim()}`;
    }],
    role: ["the bass note's place in the chord", () => {
      const role = plain([["root", "root"], ["fifth", "fifth"], ["third", "third"], ["passing", "passing"]], () => {});
      fill(value, field("Place", role));
      return () => `bass role ${role.value}`;
    }],
    finger: ["a finger on a string", () => {
      const string = plain(STRINGS.map((name) => [name, `${name} string`]), () => {});
      const finger = plain(state.choices.fingers.map(({ letter, words }) => [letter, words]), () => {});
      fill(value, field("String", string), field("Finger", finger));
      return () => `${string.value} ${finger.value}`;
    }],
    fret: ["a fret on a string", () => {
      const string = plain(STRINGS.map((name) => [name, `${name} string`]), () => {});
      const fret = el("input", { type: "text", placeholder: "3", autocomplete: "off", size: 4 });
      fill(value, field("String", string), field("Fret", fret));
      return () => fret.value.trim() && `${string.value} ${fret.value.trim()}`;
    }],
    manner: ["how the bass goes", () => {
      const manner = plain(state.choices.manners.map(({ name }) => [name, name]), () => {});
      fill(value, field("The bass", manner));
      return () => `manner ${manner.value}`;
    }],
    any: ["a finger on any string", () => {
      const finger = plain(state.choices.fingers.map(({ letter, words }) => [letter, words]), () => {});
      fill(value, field("Finger", finger));
      return () => `finger ${finger.value}`;
    }],
    barred: ["a finger laid across strings", () => {
      fill(value);
      return () => "barred";
    }],
  };
  const FOR = {
    pins: ["shape", "note", "role", "finger", "fret", "manner"],
    forbids: ["shape", "any", "barred", "note", "role", "finger", "fret"],
  };

  function offer(changed) {
    const names = FOR[verb.value];
    const now = names.includes(kind.value) && changed !== "pins" && changed !== "forbids" ? kind.value : names[0];
    fill(kind, ...names.map((name) => el("option", { value: name, selected: name === now }, KINDS[name][0])));
    kind.value = now;
    text = KINDS[now][1]();
    beatField.hidden = now === "manner";
  }

  function tell() {
    const runs = pins.places(state);
    fill(where, runs.length ? `In bar${runs.length > 1 || runs[0].includes("-") ? "s" : ""} ${runs.join(", ")}.`
      : "In the whole tune: no bar is selected.");
  }

  function put() {
    const what = text();
    if (!what) return say("Write what is to be pinned first.", true);
    const at = beat.value && !beatField.hidden ? ` beat ${beat.value}` : "";
    const runs = pins.places(state);
    const texts = (runs.length ? runs : ["all"]).map((run) => `${run}${at}: ${what}`);
    pins.add(state, verb.value, texts, `${verb.value === "pins" ? "pinned" : "forbidden"}: ${texts.join("; ")}`);
  }

  const node = el("details", {}, el("summary", {}, "Pin or forbid something"),
    where,
    el("div", { class: "row" }, field("What to do", verb), field("With what", kind)),
    el("div", { class: "row" }, value, beatField),
    button("Do it", put, { id: "do-pin" }));
  offer();
  tell();
  for (const name of ["select", "answer"]) state.addEventListener(name, tell);
  return node;
}
