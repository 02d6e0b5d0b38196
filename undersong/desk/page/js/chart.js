// A chord chart that is typed: read while she types, what is wrong told at its line.

/** use: is called with the text when she asks for it. */
export function chartField({ ask, dom: { el, button, newId, settled, fill, sentence } }, { name, id, help, use }) {
  const text = el("textarea", { id, rows: 8, spellcheck: false, autocapitalize: "off" });
  text.setAttribute("wrap", "off");
  const told = el("p", { class: "chart-told", id: newId("told"), role: "status" });
  const numbers = el("pre", { class: "line-numbers", "aria-hidden": "true" });
  const ready = button("Use these chords", () => use(text.value));
  const helped = el("p", { class: "help", id: newId("help") }, help);
  text.setAttribute("aria-describedby", `${helped.id} ${told.id}`);
  const node = el("div", { class: "chart" },
    el("label", { for: id }, name), helped,
    el("div", { class: "chart-text" }, numbers, text), told, ready);

  function lines(wrong = 0) {
    const count = Math.max(text.rows, text.value.split("\n").length);
    fill(numbers, ...Array.from({ length: count }, (_, at) =>
      el("span", at + 1 === wrong ? { class: "wrong" } : {}, `${at + 1}\n`)));
  }

  const look = settled(async () => {
    if (!text.value.trim()) {
      text.removeAttribute("aria-invalid");
      ready.disabled = true;
      return fill(told);
    }
    const asked = text.value;
    try {
      const found = await ask.post("/read", { tune: { chart: asked }, choose: null });
      if (asked !== text.value) return;
      text.removeAttribute("aria-invalid");
      ready.disabled = false;
      lines();
      fill(told, `${found.bars} bars in ${found.key}, ${found.metre}.`);
    } catch (error) {
      if (asked !== text.value) return;
      text.setAttribute("aria-invalid", "true");
      ready.disabled = true;
      lines(error.line ?? 0);
      fill(told, sentence(error.message));
    }
  }, 250);

  text.addEventListener("input", () => { lines(); look(); });
  text.addEventListener("scroll", () => { numbers.scrollTop = text.scrollTop; });
  ready.disabled = true;
  lines();
  return {
    node,
    /** Shows that text, unless she is typing. */
    show(words) {
      if (document.activeElement === text || text.value === words) return;
      text.value = words;
      lines();
      look();
    },
  };
}
