// A line at the foot of the window, while the page's own line about the answer is out of sight:
// whoever moves a slider far below the music still sees what comes of it.

import { changedWords } from "./changes.js";
import { words as standingWords } from "./standing.js";

/** watched: the line above the page. Gives nothing; stands at the end of the document. */
export function footLine({ state, solver, dom: { el, button, fill } }, watched) {
  const foot = el("aside", { class: "foot", "aria-label": "The search", hidden: true });
  document.body.append(foot);
  let away = false;
  let news = false;
  let slow = 0; // the timer of a search; null once it has taken a while

  function show() {
    if (state.solving && slow !== null) return; // most searches are over before they are told
    foot.hidden = !(away && news);
    if (foot.hidden) return;
    if (state.solving) {
      const told = state.standing ? standingWords(state.standing) : "Looking for the best way";
      return fill(foot, el("span", {}, told), button("Stop", () => solver.stop(), { id: "foot-stop" }));
    }
    fill(foot, el("span", {}, outcome()), el("a", { href: "#sheet" }, "See the page"));
  }

  function outcome() {
    if (state.cannot) return "It cannot be played so.";
    if (state.refused) return "That could not be done.";
    if (!state.own) return "The search was stopped.";
    return `${changedWords(state.answer) || "The best way is the same"}.`;
  }

  new IntersectionObserver(([one]) => {
    away = !one.isIntersecting;
    if (away && state.solving) news = true;
    else if (!away) news = false; // she has seen it
    show();
  }).observe(watched);
  for (const name of ["answer", "taken", "cannot", "refused", "solving", "standing"]) {
    state.addEventListener(name, () => {
      if (name === "solving" && state.solving) {
        news = away;
        clearTimeout(slow);
        slow = setTimeout(() => { slow = null; show(); }, 350);
      }
      show();
    });
  }
}
