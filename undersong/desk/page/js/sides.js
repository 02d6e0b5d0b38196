// Two answers side by side as tables: the bars, what they come to, where the work lies.

/** found: what /compare gave; alike: whether bars without any difference are shown as well. */
export function sidesNodes({ el, number, start }, found, alike) {
  const rows = found.rows.filter((row) => alike || row.differs.length);
  const differing = found.rows.filter((row) => row.differs.length).length;
  const [left, right] = found.names;
  return [
    ...found.warnings.map((words) => el("p", { class: "notice" }, words)),
    el("p", {}, el("strong", {}, differing
      ? `${differing} of ${found.rows.length} bars differ.`
      : "No bar differs: the same frets, fingers and strokes throughout.")),
    totals(),
    rows.length ? bars() : null,
    folded("Where the work lies", terms()),
    found.settings.length ? folded("What was asked differently", settings()) : null,
  ];

  function head(first) {
    return el("thead", {}, el("tr", {}, el("th", { scope: "col" }, first),
      el("th", { scope: "col" }, left), el("th", { scope: "col" }, right)));
  }

  function table(caption, first, body, className = "") {
    return el("div", { class: "wide", role: "region", tabindex: "0", "aria-label": caption },
      el("table", { class: `sides ${className}` }, el("caption", {}, caption), head(first), el("tbody", {}, ...body)));
  }

  /** A row of figures: which of the two is less stands in words, not only in weight. */
  function figures(words, values, unit = "", less = true) {
    const [one, other] = values;
    const told = (value, against) => el("td", {},
      `${typeof value === "number" ? number(value) : value}${unit}`,
      less && typeof value === "number" && value < against ? el("span", { class: "less" }, " less") : null);
    return el("tr", {}, el("th", { scope: "row" }, words), told(one, other), told(other, one));
  }

  function totals() {
    const of = (name) => found.totals.map((total) => total[name]);
    return table("What they come to", "In all", [
      figures("Hand work", of("cost"), " ms"),
      figures("Hardest bar", of("hardest"), " %"),
      figures("Hardest is", of("hardest_bar").map((bar) => (bar || "none")), "", false),
      figures("Middle bar", of("median"), " %"),
      figures("Shifts of the hand", of("shifts")),
      figures("Different shapes", of("shapes")),
      figures("Fingers laid across", of("barred")),
    ]);
  }

  function bars() {
    return table("Bar by bar", "Bar", rows.map((row) =>
      el("tr", { class: row.differs.length ? "differs" : "" },
        el("th", { scope: "row" }, row.number === "0" ? "pickup" : row.number,
          el("span", { class: "in" }, row.differs.length ? `differs: ${row.differs.join(", ")}` : "alike")),
        ...row.sides.map((side, at) => cell(side, row.sides[1 - at], row.differs)))), "bars");
  }

  function cell(side, other, differs) {
    const bass = side.bass.join(" ");
    return el("td", {},
      el("ol", { class: "strokes" }, ...side.shapes.map((shape, at) =>
        el("li", {}, differs.length && shape !== other.shapes[at] ? el("mark", {}, shape) : shape))),
      el("span", { class: "in" }, "bass ", bass === other.bass.join(" ") ? bass : el("mark", {}, bass || "none")),
      side.chords.join() === other.chords.join() ? null
        : el("span", { class: "in" }, "chords ", el("mark", {}, side.chords.join(" ") || "none")),
      el("span", { class: "in" }, `${number(side.cost)} ms, ${side.difficulty} %`),
      side.missing.length ? el("span", { class: "in" }, `without ${side.missing.join(", ")}`) : null);
  }

  function terms() {
    return table("Cost in ms, by wish", "Wish", found.terms.map(({ words, costs }) =>
      figures(start(words), costs)));
  }

  function settings() {
    return table("What was asked", "Setting", found.settings.map(([name, words]) =>
      figures(name, words, "", false)));
  }

  function folded(words, ...inside) {
    return el("details", {}, el("summary", {}, words), ...inside);
  }
}
