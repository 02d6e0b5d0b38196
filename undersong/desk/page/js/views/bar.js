// This bar: why it is as it is, what else it could be, and what is pinned or forbidden.

import * as pins from "../pins.js";
import { pinForm } from "../pin_form.js";

export function mount(root, desk) {
  const { state, ask, dom: { el, button, fill, number } } = desk;
  const told = el("div", {});
  const asked = el("div", {});
  const form = pinForm(desk);
  root.append(told, form, el("h3", {}, "Pinned and forbidden"), asked);
  let running = null;
  let known = null; // the document and bar that the words below are about

  function mine() {
    return [...state.selected].sort((a, b) => a - b)[0];
  }

  async function explain() {
    running?.abort();
    const played = mine();
    if (!played || !state.answer) {
      known = null;
      return fill(told, el("p", { class: "help" },
        "Choose a bar on the page to see what it costs, and what else it could be."));
    }
    const { document: text } = state.answer;
    if (known?.text === text && known.played === played) return;
    const here = (running = new AbortController());
    const row = state.answer.reading.find((one) => one.played === played);
    fill(told, el("p", {}, row?.words ?? ""), el("p", { class: "help" }, "Looking at what else it could be"));
    try {
      const { why } = await ask.stream("/why", { work: state.work, document: text, played }, null, here.signal);
      if (here !== running) return;
      known = { text, played };
      show(why, row);
    } catch (error) {
      if (error.name !== "AbortError" && here === running) fill(told, el("p", {}, row?.words ?? ""), el("p", { class: "notice" }, error.message));
    }
  }

  function show(why, row) {
    fill(told,
      el("p", {}, row?.words ?? ""),
      el("p", {}, el("strong", {}, `${number(why.cost)} ms`), ` of hand work in bar ${why.number}.`),
      why.pin_here.length
        ? button("Keep this bar as it is", () =>
          pins.replaceKept(state, why.pin_here, `bar ${why.number} kept as it is`), { id: "keep-bar" })
        : null,
      el("h3", {}, "What it costs"),
      ...why.moments.map(moment),
      el("h3", {}, "What else it could be"),
      why.others.length ? el("ol", { class: "others" }, ...why.others.map((one) => other(one, why))) : null,
      why.end ? el("p", { class: "help" }, `${why.end[0].toUpperCase()}${why.end.slice(1)}.`) : null);
  }

  function moment({ where, shape, role, cost, terms, choices_left: left }) {
    return el("details", { class: "moment" },
      el("summary", {}, `${where[0].toUpperCase()}${where.slice(1)}: ${shape}, ${number(cost)} ms`),
      role ? el("p", { class: "help" }, `The bass note is the ${role}.`) : null,
      terms.length
        ? el("ul", {}, ...terms.map((term) => el("li", {},
          `${number(term.cost)} ms: ${term.words} (${number(term.amount)} ${term.unit}${term.amount === 1 || term.unit === "ms" || term.unit === "mm" ? "" : "s"})`)))
        : el("p", {}, "Nothing is charged."),
      left ? el("p", { class: "help" }, `${left[0].toUpperCase()}${left.slice(1)}.`) : null);
  }

  function other({ words, pins: texts }, why) {
    return el("li", {}, `${words[0].toUpperCase()}${words.slice(1)}. `,
      texts.length ? button("Take this instead", () =>
        pins.replaceKept(state, texts, `another choice in bar ${why.number}`)) : null);
  }

  function list() {
    const { pins: fixed, forbids } = state.work;
    const rows = [["pins", fixed, ""], ["forbids", forbids, "never "]].flatMap(([part, texts, lead]) =>
      texts.map((text) => {
        const name = lead ? text.replace(": ", `: ${lead}`) : text;
        const away = button("Take away", () => pins.drop(state, part, text), { class: "quiet" });
        away.setAttribute("aria-label", `Take away: ${name}`);
        return el("li", {}, `${name} `, away);
      }));
    fill(asked, rows.length ? el("ul", { class: "pins" }, ...rows)
      : el("p", { class: "help" }, "Nothing is pinned or forbidden."));
  }

  state.addEventListener("select", explain);
  state.addEventListener("answer", explain);
  for (const name of ["work", "taken"]) state.addEventListener(name, list);
}
