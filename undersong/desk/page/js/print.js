// On paper: a title, and the drawing line by line, so that no line of music is cut by a page's end.

import { el } from "./dom.js";

/** root: the section with the drawing; answer: gives what stands there, when it is printed. */
export function printInLines(root, answer) {
  let made = null;

  addEventListener("beforeprint", () => {
    const svg = root.querySelector(".paper svg");
    const now = answer();
    if (!svg || !now) return;
    const { page, summary, settings } = now;
    const rows = [...new Set(page.bars.map(({ y }) => y))].sort((one, other) => one - other);
    const lines = rows.map((y, at) => {
      const line = svg.cloneNode(true);
      const top = at ? y - 4 : 0; // what stands above a line's first bar, such as its section
      const end = at + 1 < rows.length ? rows[at + 1] - 4 : page.height;
      line.setAttribute("viewBox", `0 ${top} ${page.width} ${end - top}`);
      line.removeAttribute("aria-label");
      return line;
    });
    const told = settings.filter(([name]) => ["Key", "Tuning", "Capo", "Hand"].includes(name))
      .map(([name, words]) => `${name}: ${words}`).join(" · ");
    made = el("div", { class: "printed", "aria-hidden": "true" },
      el("p", { class: "printed-title" }, summary.title), el("p", {}, told), ...lines,
      el("p", { class: "caution" }, "Warm up, rest, and stop if anything hurts."));
    root.append(made);
  });
  addEventListener("afterprint", () => {
    made?.remove();
    made = null;
  });
}
