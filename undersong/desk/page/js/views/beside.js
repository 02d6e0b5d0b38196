// Side by side: two versions of the tune, bar by bar; either can be taken.

import { sidesNodes } from "../sides.js";
import { words as standingWords } from "../standing.js";
import { fixedTo, versionsOf } from "../versions.js";
import { sameTune } from "../state.js";
import { readWorkFile } from "../work_file.js";

const OTHERS = 4;

export function mount(root, desk) {
  const { state, ask, say, dom: { el, button, field, fill, sentence } } = desk;
  const versions = versionsOf(desk);
  const left = el("select", { id: "beside-left" });
  const right = el("select", { id: "beside-right" });
  const go = button("Set side by side", () => compare(), { id: "beside-go", class: "main" });
  const more = button("Look for other good ways", () => look(), { id: "beside-others" });
  const stop = button("Stop", () => running?.abort(), { hidden: true });
  const open = el("input", { type: "file", accept: ".json", id: "beside-open",
    on: { change: () => { take(open.files[0]); open.value = ""; } } });
  const told = el("p", { class: "help" });
  const notice = el("p", { class: "notice", hidden: true });
  const alike = el("input", { type: "checkbox", id: "beside-alike", on: { change: () => show() } });
  const alikeLabel = el("label", { class: "check", hidden: true }, alike, " the bars that are alike as well");
  const takes = el("div", { class: "row" });
  const tables = el("div", { class: "tables" });
  let running = null;
  let shown = null;   // {sides: the two versions, found}

  root.append(
    el("div", { class: "row" }, field("One", left), field("The other", right), go),
    el("div", { class: "row" }, more,
      field("Or open a file that was saved here, or an answer (.json)", open)),
    notice, told, stop, takes, alikeLabel, tables);

  const chosen = new Set();
  for (const control of [left, right]) control.addEventListener("change", () => chosen.add(control));

  /** What there is to choose from; what is chosen stays where it is still there. */
  function offer() {
    if (!state.work) return;
    leave();
    const rows = versions.rows();
    for (const [control, usual] of [[left, "now"], [right, "before"]]) {
      const had = chosen.has(control) ? control.value : ""; // until she chooses, the usual
      fill(control, ...rows.map(({ key, words }) => el("option", { value: key }, words)));
      control.value = rows.some(({ key }) => key === had) ? had
        : rows.some(({ key }) => key === usual) ? usual : rows.at(-1)?.key ?? "";
    }
    go.disabled = !state.current;
  }

  let of_ = null; // the work of the tune that all here is about

  /** What was found for another tune goes: taken, it would bring that tune back. */
  function leave() {
    const before = of_;
    of_ = state.work;
    if (!before || sameTune(before, state.work)) return;
    running?.abort();
    shown = null;
    alikeLabel.hidden = true;
    notice.hidden = true;
    for (const part of [takes, tables, told]) fill(part);
    if (versions.others.length) versions.set("others", []);
  }

  /** One search at a time: told how it stands, stopped by the button or by the next. */
  async function during(words, work) {
    running?.abort();
    const mine = (running = new AbortController());
    notice.hidden = true;
    stop.hidden = false;
    fill(told, words);
    try {
      await work((standing) => mine === running && fill(told, standingWords(standing)), mine.signal);
    } catch (error) {
      if (mine !== running) return;
      fill(told, error.name === "AbortError" ? "Stopped." : "");
      if (error.name !== "AbortError") refuse(error.message);
    } finally {
      if (mine === running) {
        running = null;
        stop.hidden = true;
      }
    }
  }

  function refuse(words) {
    notice.hidden = false;
    fill(notice, words);
    say(words, true);
  }

  function compare() {
    const keys = [left.value, right.value];
    if (keys[0] === keys[1]) return refuse("Choose two that are not the same.");
    return during("Setting them side by side…", async (standing, signal) => {
      const sides = [];
      for (const key of keys) sides.push(await versions.get(key, standing, signal));
      const { compare: found } = await ask.post("/compare", {
        documents: sides.map(({ answer }) => answer.document), names: sides.map(({ words }) => words),
      }, signal);
      shown = { sides, found, answer: state.answer };
      show();
      fill(told, "");
      say(`${found.rows.filter(({ differs }) => differs.length).length} of ${found.rows.length} bars differ.`);
    });
  }

  function show() {
    if (!shown) return;
    alikeLabel.hidden = false;
    fill(takes, ...shown.sides.map((side) => {
      const now = side.answer.document === state.answer?.document;
      return button(now ? `“${side.words}” is on the page` : `Take “${side.words}”`,
        () => use(side), { disabled: now });
    }));
    fill(tables, ...sidesNodes(desk.dom, shown.found, alike.checked));
  }

  function use({ words, work, answer, pins, why }) {
    if (work === null) return refuse(sentence(why)); // a file that can be looked at, and no more
    state.take(fixedTo(work, pins), answer, `took “${words}”`);
    const also = pins?.length ? " The bars that differ are fixed, so that it stays; take that away under This bar." : "";
    fill(told, also);
    say(`“${words}” is on the page now.${also}`);
    return document.getElementById("sheet").focus();
  }

  function look() {
    return during("Looking for other good ways…", async (standing, signal) => {
      const { work } = state;
      const last = await ask.stream("/others", { work, count: OTHERS }, standing, signal);
      if (last.cannot) return refuse(last.cannot.sentence);
      const found = last.others.slice(1);
      versions.set("others", found.map(({ answer, more: ms, words, pins }, at) =>
        ({ words: `another way, ${at + 1}: ${ms} ms more`, differs: words, work, answer, pins })));
      fill(told, found.length
        ? `${found.length} other ways were found; choose one above. ` : "There is no other way near it. ",
      el("span", {}, sentence(last.end)));
      if (found.length) right.value = "other-0";
      chosen.add(right);
      if (left.value === right.value) left.value = "now";
      say(told.textContent);
      return undefined;
    });
  }

  async function take(file) {
    if (!file) return;
    try {
      const { work, answer, why } = await ask.post("/open", await readWorkFile(file));
      if (!answer) return refuse(`${file.name} holds no answer to set beside another.`);
      versions.set("opened", [...versions.opened, { name: file.name, work, answer, why }]);
      right.value = `opened-${versions.opened.length - 1}`;
      chosen.add(right);
      fill(told, `${file.name} can be chosen now.`);
      say(told.textContent);
    } catch (error) { refuse(error.message); }
  }

  state.addEventListener("answer", () => {
    offer();
    if (!shown || shown.answer === state.answer) return;
    show();
    fill(told, "The page has changed since these were set side by side. ");
  });
  state.addEventListener("work", offer);
  versions.addEventListener("change", offer);
  versions.addEventListener("wanted", () => {
    offer();
    [left.value, right.value] = versions.wanted;
    chosen.add(left).add(right);
    root.scrollIntoView({ block: "start" });
    go.focus();
    compare();
  });
  offer();
}
