// How the answer stands: proven or not, looked for still, or not the answer to what is asked now.

import { words as standingWords } from "./standing.js";

/** One line above the page. A search that takes a while stands in its place, so that the page
 *  does not jump at each move of a slider. */
export function verdictLine({ state, solver, dom: { el, button, fill, number } }) {
  const told = el("span", {});
  const bar = el("progress", { "aria-label": "The search" });
  const search = el("div", { class: "search", hidden: true },
    bar, told, button("Stop", () => solver.stop()));
  const verdict = el("p", { class: "verdict" });

  function waiting(sentence) {
    told.textContent = sentence;
    const { done, total } = state.standing ?? {};
    if (total) {
      bar.max = total;
      bar.value = done;
    } else bar.removeAttribute("value");
  }

  function show() {
    search.hidden = !state.solving;
    if (!state.answer || state.solving) return;
    if (!state.current) {
      fill(verdict, el("strong", {}, "There is no answer to this tune yet"), ". ",
        state.cannot || state.refused ? null : button("Search", () => solver.solve()));
      return;
    }
    const { summary } = state.answer;
    const cost = `${number(summary.cost)} ms of hand work`;
    if (state.own) {
      fill(verdict, el("strong", {}, summary.proven ? "Proven best" : "Best so far"), `: ${cost}`,
        summary.gap ? `, at most ${number(summary.gap)} ms above the best` : "", ".");
    } else {
      fill(verdict, el("strong", {}, "Not what you ask for now"),
        `: the page still shows the answer from before, ${cost}. `,
        state.cannot || state.refused ? null : button("Search again", () => solver.solve()));
    }
  }

  for (const name of ["answer", "taken", "cannot", "refused"]) state.addEventListener(name, show);
  state.addEventListener("solving", () => {
    if (state.solving) waiting("Looking for the best way");
    show();
  });
  state.addEventListener("standing", () => state.standing && waiting(standingWords(state.standing)));
  return el("div", { class: "standing" }, search, verdict);
}
