// The tune: one of those that come with the program, a file of hers, or chords that she types.

import { chartField } from "../chart.js";
import { complain, content, wholeIn } from "../complaints.js";

const FORMS = ".abc,.musicxml,.xml,.mxl,.chart,.txt";

export function mount(root, desk) {
  const { state, say, dom: { el, field, fill, select, sentence } } = desk;
  const { tunes, helps, chords } = state.choices;
  const bundled = select(
    tunes.map(({ name, title, words }) => ({ name, words: `${title}, ${words}` })), null,
    (name) => name && begin({ bundled: name }, name), { empty: "your own" });
  for (const option of bundled.options) {
    const tune = tunes.find(({ name }) => name === option.value);
    if (tune) option.textContent = `${tune.title} (${tune.words})`;
  }
  const file = el("input", { type: "file", accept: FORMS, on: { change: () => read(file.files[0]) } });
  const drop = el("div", { class: "drop" }, field("A file of yours", file,
    "ABC, MusicXML or a chord chart; you can also drop it on this page."));
  const told = el("p", { class: "notice", hidden: true });
  const facts = el("div", { class: "facts" });
  const chart = chartField(desk, {
    name: "Type chords", id: "chart",
    help: "A line of bars such as | D | G A | D |; 'title:', 'key:', 'metre:' and 'tempo:' stand " +
      "on lines of their own before them.",
    use: (text) => begin({ chart: text }, "chords typed"),
  });

  const from = select(chords, "given", (name) => state.change(`chords ${name}`, (work) => {
    work.settings.chords = name ?? "given";
  }));
  const own = chartField(desk, {
    name: "Chords of your own for this tune", id: "own-chords",
    help: "The tune's chords as a chart: change them, bar for bar, and use them.",
    use: (text) => state.change("chords of your own", (work) => {
      work.settings.chords = { chart: text };
    }),
  });
  const tempo = wholeNumber(10, 400, (value) =>
    state.change(value === null ? "the tune's own tempo" : `tempo ${value}`, (work) => {
      work.settings.tempo = value;
    }));
  const key = wholeNumber(-24, 24, (value) => state.change(`transposed by ${value ?? 0}`, (work) => {
    work.settings.transpose = value ?? 0;
  }));
  const octave = el("input", { type: "text", autocomplete: "off", spellcheck: "false" });
  octave.addEventListener("change", () => {
    const moves = octave.value.split(/[;,]/).map((text) => text.trim()).filter(Boolean)
      .map((text) => [text.replace(/=[^=]*$/, "").trim(), Number(/=([^=]*)$/.exec(text)?.[1])]);
    if (moves.some(([bars, by]) => !bars || !Number.isInteger(by) || by === 0 || Math.abs(by) > 3)) {
      const words = "Write bars and 1 to 3 octaves up or down, such as 5-8=-1 or all=1.";
      complain(octave, words);
      return say(words, true);
    }
    content(octave);
    return state.change(`melody by octaves: ${octave.value.trim() || "as it is"}`, (work) => {
      work.settings.octave = moves;
    });
  });
  let known = { asked: "", found: null }; // the tune that was read last, and what was found in it
  let waiting = null; // a file of several tunes, until she says which
  const choose = el("input", { type: "text", autocomplete: "off", on: { change: () => {
    const which = choose.value.trim() || null;
    if (waiting) take(waiting, which);
    else state.change(which ? `tune ${which} of the file` : "the file's only tune",
      (work) => { work.choose = which; });
  } } });
  const chooseField = field("Which tune of the file", choose, "Its number or its title; a part's name.");

  root.append(
    field("A tune that comes with Undersong", bundled), drop, told, chooseField,
    el("details", {}, el("summary", {}, "Type a chord chart"), chart.node),
    facts,
    field("Chords", from, helps.chords),
    el("details", {}, el("summary", {}, "Change the chords"), own.node),
    field("Tempo, beats a minute", tempo, helps.tempo),
    field("Semitones up or down", key, helps.transpose),
    field("Melody by octaves", octave, helps.octave));

  /** Another tune: what was set for the one before is let go, who plays and the wishes stay. */
  function begin(tune, words, { which = null, chords: how = "given" } = {}) {
    waiting = null;
    state.change(`the tune ${words}`, (work) => {
      const { tempo: own_, transpose, octave: moves } = state.fresh(tune).settings;
      Object.assign(work, {
        tune, choose: which, pins: [], forbids: [], at_most: [], at_least: [],
        settings: { ...work.settings, tempo: own_, transpose, octave: moves, chords: how },
      });
    });
    state.select([]);
  }

  async function read(given) {
    if (!given) return;
    told.hidden = true;
    if (given.size > 8_000_000) return refuse(`${given.name}: this is larger than 8 megabytes; is it a tune?`);
    const data = new Uint8Array(await given.arrayBuffer());
    let text = "";
    for (let at = 0; at < data.length; at += 0x8000) {
      text += String.fromCharCode(...data.subarray(at, at + 0x8000));
    }
    file.value = "";
    await take({ name: given.name, base64: btoa(text) }, null);
  }

  /** Takes a file up as the tune; one of several tunes waits until she chooses. */
  async function take(tune, which) {
    told.hidden = true;
    try {
      const found = await desk.ask.post("/read", { tune, choose: which });
      const bare = !found.has_chords && found.has_melody;
      begin(tune, which ? `${which} of ${tune.name}` : tune.name,
        { which, chords: bare ? "proposed" : "given" });
      if (bare) say(`${found.title} has no chords; chords are proposed for its melody.`);
    } catch (error) {
      waiting = error.field === "choose" ? tune : null;
      chooseField.hidden = !waiting && !state.work.tune.base64;
      if (waiting) {
        if (which === null) choose.value = "";
        choose.focus();
      }
      refuse(error.message);
    }
  }

  function refuse(words) {
    told.hidden = false;
    fill(told, sentence(words));
    say(words, true);
  }

  async function show() {
    const { tune, choose: which, settings } = state.work;
    bundled.value = tune.bundled ?? "";
    choose.value = which ?? "";
    chooseField.hidden = !tune.base64;
    told.hidden = true;
    for (const control of [tempo, key, octave]) content(control);
    from.value = typeof settings.chords === "string" ? settings.chords : "";
    tempo.value = settings.tempo ?? "";
    key.value = settings.transpose;
    octave.value = settings.octave.map(([bars, by]) => `${bars}=${by}`).join("; ");
    if (tune.chart) chart.show(tune.chart);
    const asked = JSON.stringify([tune, which]);
    if (asked === known.asked) return tell(); // most changes leave the tune as it is
    known = { asked, found: null };
    try {
      const found = await desk.ask.post("/read", { tune, choose: which });
      if (asked === known.asked) known.found = found; // else another was chosen meanwhile
      return tell();
    } catch {
      if (asked !== known.asked) return undefined;
      known = { asked: "", found: null };
      name(tune.name ?? tunes.find((one) => one.name === tune.bundled)?.title ?? "The desk");
      return fill(facts); // what is wrong with it is told where the page would be
    }
  }

  /** What the page is called. */
  function name(words) {
    fill(document.getElementById("title"), words);
    document.title = `${words} · Undersong`;
  }

  /** What there is to know of the tune, once it is read. */
  function tell() {
    const { found } = known;
    if (!found) return;
    name(found.title);
    fill(facts,
      el("p", {}, `${found.title}${found.composer ? `, ${found.composer}` : ""}: ${found.key}, ` +
        `${found.metre}, ${found.tempo}, ${found.bars} bars.`),
      ...found.notices.map((notice) => el("p", { class: "help" }, notice)));
    own.show(state.work.settings.chords.chart ?? found.chart ?? "");
  }

  function wholeNumber(low, high, use) {
    const input = el("input", { type: "number", min: String(low), max: String(high), step: "1" });
    input.addEventListener("change", () => {
      const value = wholeIn(input, low, high, say);
      if (value !== undefined) use(value);
    });
    return input;
  }

  addEventListener("dragover", (event) => {
    event.preventDefault();
    drop.classList.add("over");
  });
  addEventListener("dragleave", () => drop.classList.remove("over"));
  addEventListener("drop", (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    read(event.dataTransfer.files[0]);
  });
  state.addEventListener("work", show);
  state.addEventListener("taken", show);
}
