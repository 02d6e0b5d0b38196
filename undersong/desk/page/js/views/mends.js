// It cannot be played so: what clashes, and changes that mend it, each a button with its price.

export function mount(root, desk) {
  const { state, dom: { el, button, fill, number, sentence } } = desk;
  const said = el("p", { class: "notice" });
  const clash = el("p", {});
  const list = el("ul", { class: "mends" });
  const left = el("p", { class: "help" });
  const back = button("", () => {
    state.undo();
    document.getElementById("sheet").focus();
  }, { id: "mend-back" });
  root.append(said, clash, list, left, back);

  function show() {
    const { cannot } = state;
    root.hidden = cannot === null;
    if (!cannot) return;
    fill(said, sentence(cannot.sentence));
    fill(clash, cannot.clash ? `What clashes: ${cannot.clash}.` : "");
    const hard = cannot.mends.findIndex((mend) => mend.more_of_the_hand);
    fill(list, ...cannot.mends.flatMap((mend, at) => [
      at === hard ? el("li", { class: "caution" }, state.choices.caution) : null,
      item(mend)]));
    const tried = cannot.mends.length
      ? "Each was tried and solved; one click puts it to use, and Undo takes it back."
      : "No single change that was tried mends it.";
    back.hidden = !state.undoWords;
    fill(back, `Take back the last change: ${state.undoWords}`);
    fill(left, cannot.untried ? `${tried} ${cannot.untried} more could not be tried in the time.` : tried);
  }

  function item({ words, cost, proven, loses, patch, more_of_the_hand: more }) {
    const price = el("p", {}, `Then the tune costs ${proven ? "" : "at most "}${number(cost)} ms of hand work. `,
      loses === "nothing lost" ? "It takes nothing away." : `What it takes: ${loses}.`,
      more ? " It asks more of your hand." : "");
    const name = sentence(words).replace(/\.$/, "");
    return el("li", {}, patch === null ? el("p", {}, el("strong", {}, name), " (this cannot be done here by one click)")
      : button(name, () => use({ words, patch })), price);
  }

  function use({ words, patch }) {
    state.change(words, (work) => {
      const { settings = {}, ...parts } = patch;
      Object.assign(work.settings, settings);
      Object.assign(work, parts);
    });
    document.getElementById("sheet").focus();
  }

  state.addEventListener("cannot", show);
  state.addEventListener("answer", show);
}
