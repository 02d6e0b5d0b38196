// Keep and print: files in every format, her work as one file, works from before.

import { readWorkFile, workFile } from "../work_file.js";

export function mount(root, desk) {
  const { state, ask, say, dom: { el, button, field, fill, select, sentence, handOver } } = desk;
  const { choices } = state;
  const told = el("p", { class: "notice", hidden: true });
  const kinds = { page: "the tune", shapes: "its shapes", practice: "a practice plan" };
  const what = select(Object.entries(kinds).map(([name, words]) => ({ name, words })), "page", offer);
  for (const option of what.options) option.textContent = kinds[option.value];
  const suffix = el("select", {});
  const paper = select(choices.papers, "a4", () => {});
  for (const option of paper.options) {
    option.textContent = choices.papers.find(({ name }) => name === option.value).words;
  }
  const looks = Object.fromEntries([["landscape", "On its side"], ["large", "Large print"],
    ["contrast", "High contrast"]].map(([name, words]) => [name, tick(words)]));

  function tick(words) {
    const box = el("input", { type: "checkbox" });
    return { box, node: el("label", { class: "check" }, box, ` ${words}`) };
  }

  /** The kinds of files that there are for that. */
  function offer() {
    const fits = {
      page: () => true,
      shapes: (name) => [".pdf", ".svg"].includes(name),
      practice: (name) => [".pdf", ".txt", ".wav", ".flac", ".mp3", ".ogg"].includes(name),
    }[what.value];
    const before = suffix.value || ".pdf";
    fill(suffix, ...choices.files.filter((one) => fits(one.suffix)).map((one) =>
      el("option", { value: one.suffix }, what.value === "page" ? `${one.suffix}: ${one.words}` : one.suffix)));
    suffix.value = [...suffix.options].some(({ value }) => value === before) ? before : ".pdf";
  }

  const earlier = el("details", {}, el("summary", {}, "Earlier work"));
  const list = el("ul", { class: "kept" });
  earlier.append(
    el("p", { class: "help" }, "Every change is kept in your own data folder, old ones for a while."),
    list);
  earlier.addEventListener("toggle", () => earlier.open && showKept());

  const open = el("input", { type: "file", accept: ".json",
    on: { change: () => { openFile(open.files[0]); open.value = ""; } } });

  root.append(
    told,
    el("div", { class: "row" }, field("What", what), field("As", suffix), field("Paper", paper)),
    el("div", { class: "row" }, ...Object.values(looks).map(({ node }) => node)),
    el("div", { class: "row" },
      button("Download", download, { id: "download", class: "main" }),
      button("Print this page", () => answered() && print(), { id: "print" })),
    el("h3", {}, "Your work"),
    button("Save your work as a file", save, { id: "save" }),
    field("Open a file of your work", open, "One that was saved here, or an answer that was written as .json."),
    earlier);
  offer();

  /** The answer to the tune on the page; where there is none yet, that is told. */
  function answered() {
    if (!state.current) refuse(new Error("There is no answer to this tune yet, so there is no page of it"));
    return state.current;
  }

  async function download() {
    const answer = answered();
    if (!answer) return;
    try {
      hand(await ask.file("/file", {
        document: answer.document, suffix: suffix.value, paper: paper.value, what: what.value,
        ...Object.fromEntries(Object.entries(looks).map(([name, { box }]) => [name, box.checked])),
      }));
    } catch (error) { refuse(error); }
  }

  function hand({ blob, name }) {
    handOver(blob, name);
    told.hidden = true;
    say(`${name} is made.`);
  }

  function refuse(error) {
    told.hidden = false;
    fill(told, sentence(error.message));
    say(error.message, true);
  }

  function save() {
    const title = document.getElementById("title").textContent.toLowerCase()
      .normalize("NFKD").replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "");
    const blob = new Blob([JSON.stringify(workFile(state.work, state.own?.document ?? null), null, 1)], { type: "application/json" });
    hand({ blob, name: `${title || "tune"}-work.json` });
  }

  async function openFile(file) {
    if (!file) return;
    try {
      await takeUp(await readWorkFile(file), `opened ${file.name}`);
    } catch (error) { refuse(error); }
  }

  async function takeUp(value, words) {
    try {
      const { work, answer, why } = await ask.post("/open", value);
      if (work === null) return refuse(new Error(why));
      told.hidden = true;
      if (answer) state.take(work, answer, words);
      else state.change(words, (now) => Object.assign(now, work));
      return say(sentence(words));
    } catch (error) { return refuse(error); }
  }

  async function showKept() {
    try {
      const { kept } = await ask.get("/kept");
      fill(list, ...kept.map(({ name, title, when }) => el("li", {},
        button(`${title}, ${day(when)}`, async () => {
          try {
            await takeUp(await ask.get(`/kept/${name}`), `took up ${title}`);
          } catch (error) { refuse(error); }
        }, { class: "quiet" }))));
      if (!kept.length) fill(list, el("li", {}, "Nothing yet."));
    } catch (error) { refuse(error); }
  }
}

function day(when) {
  return new Date(when).toLocaleString("en-GB", {
    weekday: "long", day: "numeric", month: "long", hour: "2-digit", minute: "2-digit",
  });
}
