// Why a bar is as it is, as nodes: what each of its moments costs and why, and what others would.

import { nameOf, typed } from "./pins.js";

/** row: the bar's row of the reading; acts: take(other), forbid(moment). */
export function whyNodes({ el, button, number, sentence, start }, why, row, acts) {
  const nodes = [
    el("p", {}, `${start(nameOf(row))} costs `, el("strong", {}, `${number(why.cost)} ms`), " of hand work."),
    el("details", {}, el("summary", {}, "The bar in words"), el("p", { class: "help" }, row.words)),
    el("ol", { class: "moments" }, ...why.moments.map((moment) => momentNode(moment))),
  ];
  if (why.better) {
    nodes.push(el("p", { class: "help" },
      `An answer that costs ${number(why.better)} ms less has been found since: change anything to get it.`));
  }
  nodes.push(el("h3", {}, "What other choices would cost"));
  if (why.others.length) {
    nodes.push(el("ol", { class: "others" }, ...why.others.map((other) => otherNode(other))));
  }
  nodes.push(el("p", { class: "help" }, sentence(why.end)));
  return nodes;

  function momentNode(moment) {
    const name = `${moment.where}: ${moment.shape}`;
    return el("li", {},
      el("p", { class: "moment" },
        el("span", {}, start(moment.where), moment.role ? `, ${moment.role}` : ""),
        el("b", { class: "frets" }, moment.shape),
        el("span", { class: "ms" }, `${number(moment.cost)} ms`)),
      moment.terms.length
        ? el("ul", { class: "terms" }, ...moment.terms.map((term) =>
          el("li", {}, el("span", {}, termWords(term, number)), el("span", { class: "ms" }, `${number(term.cost)} ms`))))
        : el("p", { class: "help" }, "Costs nothing."),
      el("details", {}, el("summary", {}, "What else could stand here"),
        moment.choices_left ? el("p", { class: "help" }, sentence(moment.choices_left)) : null,
        button("Rule this shape out here", () => acts.forbid(moment),
          { "aria-label": `Rule out ${typed(moment.shape)} on ${name}` })));
  }

  function otherNode(other) {
    const words = other.shapes.join("; ");
    return el("li", {},
      el("p", { class: "moment" }, el("span", { class: "these" }, ...other.shapes.map((shape) => el("b", { class: "frets" }, shape))),
        el("span", { class: "ms" }, `${other.more < 0 ? "−" : "+"}${number(Math.abs(other.more))} ms`)),
      el("details", {}, el("summary", {}, "Why"),
        el("p", { class: "help" }, sentence(other.words), other.proven ? "" : " The time was not enough to prove it.")),
      other.pins.length
        ? button("Take this instead", () => acts.take(other), { "aria-label": `Take this instead: ${words}` })
        : el("p", { class: "help" }, "This bar's number names two bars, so it cannot be fixed by itself."));
  }
}

function termWords({ words, amount, unit }, number) {
  if (unit === "ms") return words;
  return amount === 1 ? words : `${words} (${number(amount)} ${plural(unit)})`;
}

function plural(unit) {
  return unit === "mm" || unit.endsWith("s") ? unit : `${unit}s`;
}
