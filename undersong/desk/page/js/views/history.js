// The head of the page: the tune's name, how the search stands, steps back and forth.

export function mount(root, { state, dom: { el, button, fill, sentence } }) {
  const title = document.getElementById("title");
  const about = document.getElementById("about");
  const back = button("Undo", () => state.undo(), { id: "undo" });
  const forth = button("Redo", () => state.redo(), { id: "redo" });
  const next = el("p", { class: "next", id: "undo-words" });
  back.setAttribute("aria-describedby", next.id);
  const unkept = el("p", { class: "notice", id: "unkept", hidden: true });
  root.append(back, forth, next);
  root.after(unkept);

  function steps() {
    back.disabled = !state.undoWords;
    forth.disabled = !state.redoWords;
    fill(next, state.undoWords ? `Last: ${state.undoWords}` : "Nothing to undo yet");
    forth.title = state.redoWords ? `Again: ${state.redoWords}` : "";
  }

  function head() {
    if (!state.current) return fill(about); // the tune's own name comes when it is read
    const { summary } = state.current;
    fill(title, summary.title);
    document.title = `${summary.title} · Undersong`;
    return fill(about, `${summary.open.join(" ")} · hardest bar ${summary.hardest} %, ` +
      `middle bar ${summary.median} % of what this hand can do`);
  }

  state.addEventListener("unkept", () => {
    unkept.hidden = !state.unkept;
    fill(unkept, sentence(state.unkept), " Until that is mended it is held in this browser alone: ",
      el("a", { href: "#save" }, "save it as a file"), ".");
  });
  for (const name of ["work", "taken"]) state.addEventListener(name, steps);
  for (const name of ["answer", "work"]) state.addEventListener(name, head);
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.key.toLowerCase() !== "z") return;
    if (event.target.matches("input:not([type=range]), textarea")) return;
    event.preventDefault();
    if (event.shiftKey) state.redo();
    else state.undo();
  });
  steps();
}
