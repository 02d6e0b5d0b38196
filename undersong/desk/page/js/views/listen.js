// Listen: play, go round, tempo, which strings. The page follows the sound.

import { nameOf } from "../pins.js";
import { keysAreOn, hearKeys, turnKeys } from "../shortcuts.js";
import { Sound, runOf } from "../sound.js";

const KEYS = [
  ["P, or Space", "play, stop (Space only where no button has the focus)"],
  ["B", "play from the beginning"],
  ["L", "go round and round, or once"],
  ["Arrows", "from bar to bar, with the focus on the page"],
  ["Ctrl Z", "undo; with Shift, redo"],
];

export function mount(root, desk) {
  const { state, ask, say, dom: { el, button, field, fill, newId, settled } } = desk;
  const sound = new Sound(ask);
  let from = null;   // what is being played: {first, last}
  let asked = "";    // the sound that was asked for last

  const play = button("Play", toggle, { id: "play", class: "main" });
  const start = button("From the beginning", () => begin({ whole: true }), { id: "play-all" });
  const loop = button("Round and round", () => turnLoop(), { id: "loop", "aria-pressed": "false" });
  const where = el("p", { class: "help", id: "what-plays" });
  const notice = el("p", { class: "notice", hidden: true });
  const percent = el("input", { type: "range", min: "40", max: "140", step: "5", value: "100", id: "percent" });
  const percentName = el("span", {}, "100 %");
  const countIn = el("select", { id: "count-in" }, ...["none", "one bar", "two bars"].map(
    (words, bars) => el("option", { value: String(bars), selected: bars === 1 }, words)));
  const strings = radios("Which strings", [
    ["all", "all strings"], ["only_bass", "the bass alone"], ["without_bass", "all but the bass"],
  ]);
  const damped = el("input", { type: "checkbox", id: "damped" });
  play.setAttribute("aria-describedby", where.id);
  // the page follows the sound, so that this part is often out of sight: Stop comes along
  const near = el("div", { class: "near", hidden: true }, button("Stop the sound", halt, { id: "stop-near" }));
  let inSight = true;
  new IntersectionObserver(([entry]) => {
    inSight = entry.isIntersecting;
    show();
  }).observe(play);

  root.append(
    notice,
    el("div", { class: "row plays" }, play, start, loop),
    where,
    el("div", { class: "row" },
      el("div", { class: "field" },
        el("label", { for: percent.id }, "Tempo: ", percentName), percent),
      field("Counted in", countIn)),
    strings.node,
    el("label", { class: "check" }, damped, " damp the bass with the palm"),
    keys(), near);

  function radios(title, rows) {
    const name = newId("choice");
    const boxes = rows.map(([value, words]) => {
      const box = el("input", { type: "radio", name, value, checked: value === "all", id: `strings-${value}` });
      return { box, node: el("label", { class: "check" }, box, ` ${words}`) };
    });
    return {
      node: el("fieldset", {}, el("legend", {}, title), ...boxes.map(({ node }) => node)),
      get value() { return boxes.find(({ box }) => box.checked).box.value; },
    };
  }

  function keys() {
    const on = el("input", { type: "checkbox", id: "keys-on", checked: keysAreOn() });
    on.addEventListener("change", () => {
      turnKeys(on.checked);
      say(on.checked ? "Single keys act again." : "Single keys do nothing now.");
    });
    return el("div", { class: "keys" },
      el("h3", {}, "Keys"),
      el("label", { class: "check" }, on, " single keys act while no field has the focus"),
      el("dl", {}, ...KEYS.flatMap(([key, words]) => [el("dt", {}, key), el("dd", {}, words)])));
  }

  function body() {
    return {
      document: state.current.document, percent: Number(percent.value),
      count_in: Number(countIn.value), only_bass: strings.value === "only_bass",
      without_bass: strings.value === "without_bass", damped: damped.checked, suffix: ".wav",
    };
  }

  const looped = () => loop.getAttribute("aria-pressed") === "true";

  function rows() {
    return new Map(state.current.reading.map((row) => [row.played, row]));
  }

  /** What Play would play: the selected bars if it goes round, else on from the first of them. */
  function passage() {
    const all = rows();
    const run = runOf(state.selected, new Map([...all].map(([played, { number }]) => [played, number])))
      .filter((played) => all.has(played));
    if (!run.length) return { first: null, last: null };
    return { first: run[0], last: looped() ? run.at(-1) : null };
  }

  function begin({ whole = false, at = null, counted = true } = {}) {
    if (!state.current) {
      show();
      return say("There is nothing to play yet.", true);
    }
    notice.hidden = true;
    from = whole ? { first: null, last: null } : passage();
    const { first, last } = at === null ? from : { ...from, first: at };
    asked = JSON.stringify(body());
    sound.play(body(), { first, last, loop: looped(), counted });
    show();
  }

  function toggle() {
    if (sound.playing) halt();
    else begin();
  }

  function halt() {
    sound.stop();
    show();
  }

  function turnLoop() {
    loop.setAttribute("aria-pressed", String(!looped()));
    say(looped() ? "Goes round and round." : "Plays once.");
    if (sound.playing) begin({ counted: false });
    show();
  }

  /** Something else is asked for while it sounds: fetched anew, it goes on with the bar it was in. */
  const again = settled(() => {
    if (!sound.playing || JSON.stringify(body()) === asked) return;
    const at = sound.bar && !looped() ? sound.bar : null;
    begin({ at, whole: from?.first === null, counted: false });
  }, 250);

  function show() {
    play.textContent = sound.playing ? "Stop" : "Play";
    const wasNear = near.contains(document.activeElement);
    near.hidden = !sound.playing || inSight;
    if (near.hidden && wasNear) play.focus({ preventScroll: true });
    const { first, last } = state.current ? passage() : { first: null, last: null };
    const name = (played) => nameOf(rows().get(played));
    if (!state.current) fill(where, "There is nothing to play yet.");
    else if (sound.loading) fill(where, "The sound is being made…");
    else if (first === null) fill(where, looped() ? "Plays the whole tune, round and round." : "Plays the whole tune. Choose bars on the page to begin there.");
    else if (last === null) fill(where, `Plays from ${name(first)} on.`);
    else if (first === last) fill(where, `Plays ${name(first)}, round and round.`);
    else fill(where, `Plays ${name(first)} to ${name(last)}, round and round.`);
  }

  percent.addEventListener("input", () => {
    percentName.textContent = `${percent.value} %`;
    percent.setAttribute("aria-valuetext", `${percent.value} percent of the tune's own tempo`);
    again();
  });
  for (const control of [countIn, damped, strings.node]) control.addEventListener("change", again);

  sound.addEventListener("bar", () => {
    state.setSounding(sound.bar);
    show();
  });
  sound.addEventListener("ended", show);
  sound.addEventListener("failed", ({ message }) => {
    notice.hidden = false;
    fill(notice, message);
    say(message, true);
    show();
  });

  let heard = null; // the answer that sounds
  state.addEventListener("work", () => {
    if (sound.playing && !state.current) halt(); // it is another tune now
    else show();
  });
  state.addEventListener("answer", () => {
    const answer = state.current;
    const same = heard && answer && heard.reading.length === answer.reading.length &&
      heard.summary.title === answer.summary.title;
    heard = answer;
    if (sound.playing && same) again();
    else if (sound.playing) halt();
    show();
  });
  state.addEventListener("select", () => {
    if (sound.playing && looped()) begin({ counted: false });
    show();
  });
  hearKeys({ p: toggle, " ": toggle, b: () => begin({ whole: true }), l: turnLoop });
  show();
}
