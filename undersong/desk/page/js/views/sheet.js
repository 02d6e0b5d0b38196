// The page: the drawing, its bars to point at, what changed, and the tab read out.

import { changedBars, changedWords } from "../changes.js";
import { footLine } from "../foot.js";
import { printInLines } from "../print.js";
import { verdictLine } from "../verdict.js";
import { keptBar } from "../pins.js";
import { drawingWidth } from "../width.js";

export function mount(root, desk) {
  const { state, dom: { el, button, fill, sentence, settled, start } } = desk;
  const refused = el("p", { class: "notice", hidden: true });
  const paper = el("div", { class: "paper" });
  const help = el("p", { class: "help", id: "bar-help" },
    "Click a bar to see why it is as it is; with Shift, several. The arrow keys go from bar to bar.");
  const changed = el("details", { class: "changes", hidden: true });
  const difficulty = el("p", { class: "help" });
  const shapes = el("details", {}, el("summary", {}, "The shapes that it uses"));
  const settings = el("details", {}, el("summary", {}, "What this answer was asked for"));
  const reading = el("details", { class: "reading" }, el("summary", {}, "The tab in words, bar by bar"));
  const prices = el("div", {});
  const line = verdictLine(desk);
  root.append(line, refused, changed, paper, help, difficulty, prices, shapes, settings, reading);

  let bars = []; // {button, played}

  /** Draws the answer; one that was drawn for another width is drawn anew first. */
  async function show() {
    const { answer } = state;
    const width = drawingWidth();
    if (answer && answer.page.width !== width) {
      try {
        const { page } = await desk.ask.post("/draw", { document: answer.document, width });
        if (answer !== state.answer) return;
        answer.page = page;
      } catch { /* then it stays as wide as it is */ }
    }
    draw();
  }

  function draw() {
    const { answer } = state;
    if (!state.current) return; // an answer to another tune than is asked for by now
    const { page, summary } = answer;
    // the drawing was made by our own server out of numbers and escaped words
    const svg = document.importNode(
      new DOMParser().parseFromString(page.svg, "image/svg+xml").documentElement, true);
    svg.removeAttribute("width");
    svg.removeAttribute("height");
    svg.setAttribute("role", "img");
    svg.setAttribute("aria-label", `${summary.title}: staff and tab; in words below`);
    const new_ = new Set(answer.changes.map(({ played }) => played));
    bars = page.bars.map((bar) => {
      const marked = bar.played.some((played) => new_.has(played));
      const one = button(
        el("span", { class: "unseen" }, barName(bar, answer, marked), isKept(bar) ? ", kept as it was" : ""),
        (event) => pick(bar, event.shiftKey),
        { class: `bar${marked ? " is-changed" : ""}${isKept(bar) ? " is-kept" : ""}`, tabIndex: -1 });
      Object.assign(one.style, {
        left: `${(100 * bar.x) / page.width}%`, top: `${(100 * bar.y) / page.height}%`,
        width: `${(100 * bar.width) / page.width}%`, height: `${(100 * bar.height) / page.height}%`,
      });
      return { button: one, ...bar };
    });
    const had = document.activeElement?.classList.contains("bar")
      ? [...paper.querySelectorAll("button.bar")].indexOf(document.activeElement) : -1;
    fill(paper, svg, ...bars.map((bar) => bar.button));
    reachable(Math.max(0, had >= 0 ? Math.min(had, bars.length - 1) : bars.findIndex(isChosen)));
    if (had >= 0) bars[Math.min(had, bars.length - 1)]?.button.focus({ preventScroll: true });
    fill(difficulty, [summary.difficulty, ...answer.notices.map((words) =>
      `Note: ${words}.`)].join(" "));
    tell(answer);
    mark();
  }

  function tell(answer) {
    const changes = changedBars(answer);
    changed.hidden = !changes.length;
    fill(changed,
      el("summary", {}, changedWords(answer)),
      el("ul", {}, ...changes.map(({ bar, words }) => el("li", {}, `${start(bar)}: ${words}`))));
    fill(shapes, el("summary", {}, `The shapes that it uses: ${answer.shapes.length}`),
      el("ol", { class: "shapes" }, ...answer.shapes.map((shape) => el("li", {}, shape))));
    fill(settings, el("summary", {}, "What this answer was asked for"),
      el("dl", {}, ...answer.settings.flatMap(([name, value]) =>
        [el("dt", {}, name), el("dd", {}, value)])));
    fill(reading, el("summary", {}, "The tab in words, bar by bar"),
      el("ol", { class: "words" }, ...answer.reading.map(({ words }) => el("li", {}, words))));
    showPrices();
  }

  function showPrices() {
    const told = state.answer?.prices ?? [];
    fill(prices, told.length
      ? el("ul", { class: "help" }, ...told.map((price) => el("li", {}, `${price}.`))) : null);
  }

  const isKept = ({ number: bar }) =>
    state.work.pins.some((pin) => keptBar(pin) === (bar === "pickup" ? "0" : bar));
  const isChosen = ({ played }) => played.some((number) => state.selected.has(number));

  /** The Tab key comes to one bar alone, and from there the arrow keys go on. */
  function reachable(index) {
    bars.forEach(({ button: one }, at) => { one.tabIndex = at === index ? 0 : -1; });
  }

  function pick(bar, more) {
    reachable(bars.findIndex((one) => one.played[0] === bar.played[0]));
    const chosen = new Set(more ? state.selected : []);
    if (more && chosen.size) {
      // a passage: from the first chosen to this one, as they stand on the page
      const at = bars.findIndex((one) => one.played[0] === bar.played[0]);
      const first = bars.findIndex((one) => one.played.some((played) => chosen.has(played)));
      const [from, to] = first <= at ? [first, at] : [at, first];
      for (const one of bars.slice(from, to + 1)) one.played.forEach((played) => chosen.add(played));
    } else bar.played.forEach((played) => chosen.add(played));
    state.select(chosen);
  }

  function mark() {
    for (const { button: one, played } of bars) {
      const chosen = played.some((number) => state.selected.has(number));
      one.classList.toggle("is-selected", chosen);
      one.setAttribute("aria-pressed", String(chosen));
      one.classList.toggle("is-sounding", played.includes(state.sounding));
    }
  }

  function follow() {
    mark();
    const now = bars.find(({ played }) => played.includes(state.sounding));
    if (!now) return;
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    now.button.scrollIntoView({ block: "nearest", behavior: calm ? "auto" : "smooth" });
  }

  paper.addEventListener("keydown", (event) => {
    const at = bars.findIndex((bar) => bar.button === document.activeElement);
    const step = { ArrowRight: () => at + 1, ArrowLeft: () => at - 1,
      ArrowDown: () => nearest(bars, at, 1), ArrowUp: () => nearest(bars, at, -1) }[event.key];
    if (at < 0 || !step) return;
    event.preventDefault();
    const next = Math.min(bars.length - 1, Math.max(0, step()));
    reachable(next);
    bars[next].button.focus();
    if (event.shiftKey) pick(bars[next], true);
  });

  printInLines(root, () => state.current);
  footLine(desk, line);
  state.addEventListener("answer", show);
  addEventListener("resize", settled(() => {
    if (state.answer && state.answer.page.width !== drawingWidth()) show();
  }, 200));
  state.addEventListener("prices", showPrices);
  state.addEventListener("select", mark);
  state.addEventListener("sounding", follow);
  state.addEventListener("refused", () => {
    refused.hidden = false;
    fill(refused, sentence(state.refused.sentence), " ", state.refused.status === 403 || state.refused.status === 0
        ? button("Load the page anew", () => location.reload())
        : button("Try again", () => desk.solver.solve()));
  });
  // the page is pale while it answers something else than what is asked, but not during a search,
  // which is mostly over before it would be seen
  for (const name of ["answer", "taken", "cannot", "refused", "solving", "work"]) {
    state.addEventListener(name, () => {
      root.classList.toggle("is-another", Boolean(state.answer && !state.current));
      root.classList.toggle("is-sought", state.solving || name === "work");
      const old = !state.solving && state.answer && !state.own;
      root.classList.toggle("is-old", Boolean(old));
      if (!state.refused) refused.hidden = true;
    });
  }
}

function barName({ number: bar, played }, answer, marked) {
  const row = answer.reading.find((one) => one.played === played[0]);
  const chord = /Chord ([^.]+)\./.exec(row?.words ?? "");
  const name = bar === "pickup" ? "Pickup" : `Bar ${bar}`;
  const times = played.length > 1 ? "" : row?.times ? `, ${row.times}` : "";
  return `${name}${times}${chord ? `, ${chord[1]}` : ""}${marked ? ", changed" : ""}`;
}

/** The bar on the next line, or the one before, that lies nearest. */
function nearest(bars, at, way) {
  const here = bars[at];
  const line = bars.map(({ y }) => y);
  const next = line.filter((y) => Math.sign(y - here.y) === way)
    .sort((one, other) => way * (one - other))[0];
  if (next === undefined) return at;
  const middle = here.x + here.width / 2;
  let best = at;
  let distance = Infinity;
  bars.forEach(({ x, y, width }, index) => {
    const away = Math.abs(x + width / 2 - middle);
    if (y === next && away < distance) [best, distance] = [index, away];
  });
  return best;
}
