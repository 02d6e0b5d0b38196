// The list of all that is fixed and ruled out, each with a button that takes it away.

import { keptBar, shortly } from "./pins.js";

export function pinList(desk) {
  const { state, say, dom: { el, button, fill } } = desk;
  const title = el("h3", { tabindex: "-1", id: "asked-title" }, "What you fixed and ruled out");
  const box = el("div", {});
  const refused = el("p", { class: "notice", hidden: true });

  function row(list, text) {
    const words = `${list === "pins" ? "Fixed" : "Ruled out"}: ${shortly(text)}`;
    const away = button("Take away", () => {
      const next = box.querySelectorAll("button");
      const at = [...next].indexOf(away);
      state.change(`took away ${shortly(text)}`, (work) => {
        work[list].splice(work[list].indexOf(text), 1);
      });
      say(`${words}: taken away.`);
      // the focus goes to the next of the list, and to its title when that was the last
      const left = box.querySelectorAll("button");
      (left[Math.min(at, left.length - 1)] ?? title).focus();
    }, { class: "quiet", "aria-label": `Take away: ${words}` });
    return el("li", {}, el("span", {}, words), away,
      keptBar(text) ? el("details", {}, el("summary", {}, "its shapes"), el("p", { class: "help" }, text)) : null);
  }

  function show() {
    const { pins, forbids } = state.work;
    const rows = [...pins.map((text) => row("pins", text)), ...forbids.map((text) => row("forbids", text))];
    fill(box, rows.length
      ? el("ul", { class: "asked" }, ...rows)
      : el("p", { class: "help" }, "Nothing yet."));
    refused.hidden = true;
  }

  state.addEventListener("work", show);
  state.addEventListener("taken", show);
  state.addEventListener("refused", () => {
    if (!/^(pin|forbid)/.test(state.refused.field ?? "")) return;
    refused.hidden = false;
    fill(refused, state.refused.sentence, " ", state.undoWords
      ? button("Take it back", () => state.undo()) : null);
  });
  if (state.work) show();
  return el("div", {}, title, refused, box);
}
