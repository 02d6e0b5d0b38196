// Wishes: a slider for each weight, in ms of hand work. Moving one solves anew.

import { content, wholeIn } from "../complaints.js";

export function mount(root, { state, say, dom: { el, button, newId, number, start } }) {
  const { wishes, helps } = state.choices;
  const rows = new Map();

  root.append(
    el("p", { class: "help" }, helps.weights),
    el("p", {}, button("All wishes as usual", () =>
      state.change("all wishes as usual", (work) => { work.weights = {}; }), { id: "usual-wishes" })),
    ...wishes.map(({ group, weights }, at) => {
      const changed = el("span", { class: "changed-count" });
      const part = el("details", { class: "wishes", open: at === 3 },
        el("summary", {}, group, " ", changed),
        ...weights.map((weight) => row(weight, () => count(part, weights, changed))));
      return part;
    }));

  function row(weight, counted) {
    const id = newId("wish");
    const help = el("p", { class: "help", id: `${id}-help` },
      `for each ${weight.unit}; usual ${number(weight.default)}`);
    const slider = el("input", {
      type: "range", id, min: "0", max: String(weight.most), step: String(step(weight)),
      "aria-describedby": help.id,
    });
    const exact = el("input", {
      type: "number", min: "0", max: String(weight.limit), step: "1",
      "aria-label": `${weight.words}, in ms`,
    });
    const usual = button("as usual", () => set(weight.default), { class: "quiet" });
    usual.setAttribute("aria-label", `${weight.words}: as usual`);

    function set(value) {
      const within = Math.min(weight.limit, Math.max(0, Math.round(value)));
      state.change(`${weight.words}: ${number(within)} ms`, (work) => {
        if (within === weight.default) delete work.weights[weight.name];
        else work.weights[weight.name] = within;
      });
    }

    // while it moves, one step back takes back the whole move
    slider.addEventListener("input", () => state.merge(weight.name, () => set(Number(slider.value))));
    exact.addEventListener("change", () => {
      const value = wholeIn(exact, 0, weight.limit, say);
      if (value === null) show();
      else if (value !== undefined) set(value);
    });
    const node = el("div", { class: "wish" },
      el("label", { for: id }, start(weight.words)), slider,
      el("span", { class: "exact" }, exact, " ms"), usual, help);

    function show() {
      const value = state.work.weights[weight.name] ?? weight.default;
      content(exact);
      slider.value = String(value);
      slider.setAttribute("aria-valuetext", `${number(value)} ms for each ${weight.unit}`);
      if (document.activeElement !== exact) exact.value = String(value);
      const changed = value !== weight.default;
      usual.disabled = !changed;
      node.classList.toggle("is-changed", changed);
      counted();
    }
    rows.set(weight.name, show);
    return node;
  }

  function count(part, weights, told) {
    const many = weights.filter(({ name }) => name in state.work.weights).length;
    told.textContent = many ? `(${many} changed)` : "";
  }

  const show = () => rows.forEach((one) => one());
  state.addEventListener("work", show);
  state.addEventListener("taken", show);
}

function step({ most }) {
  return most > 1000 ? 20 : most > 300 ? 5 : 1;
}
