// Five levels: easier and harder versions of the tune, what each teaches, what changes between.

import { drawnPage } from "../drawn.js";
import { words as standingWords } from "../standing.js";
import { sameTune } from "../state.js";
import { atLevel, versionsOf } from "../versions.js";

export function mount(root, desk) {
  const { state, ask, say, dom: { el, button, field, fill, select, sentence, handOver } } = desk;
  const versions = versionsOf(desk);
  const make = button("Make the levels", () => begin(), { id: "make-levels", class: "main" });
  const stop = button("Stop", () => running?.abort(), { hidden: true });
  const told = el("p", { class: "help" });
  const bar = el("progress", { hidden: true, "aria-label": "The levels" });
  const notice = el("p", { class: "notice", hidden: true });
  const old = el("p", { class: "notice", hidden: true });
  const list = el("ol", { class: "levels" });
  const verdict = el("p", { class: "help" });
  const pages = el("div", { class: "level-pages" });
  const paper = select([], null, () => {});
  fill(paper, ...state.choices.papers.map(({ name, words }) => el("option", { value: name }, words)));
  const large = el("input", { type: "checkbox", id: "handout-large" });
  const handout = button("Make the handout (PDF)", () => hand(), { id: "handout" });
  const one = el("select", { id: "levels-one" });
  const other = el("select", { id: "levels-other" });
  const two = el("div", { class: "row short", hidden: true }, field("Set level", one), field("beside level", other),
    button("Set side by side", () => versions.want(`level-${one.value}`, `level-${other.value}`)));
  const found = el("div", {}, list, verdict, pages);
  let running = null;
  let made = null; // the levels that were made last: {work, met}

  root.append(
    el("p", { class: "help" }, "The same tune, easier and harder: in no bar is a level harder than the next."),
    el("div", { class: "row" }, make, stop, bar), told, notice, old, found, two,
    el("h3", {}, "Handout"),
    el("p", { class: "help" }, "One file: a first page that says what each level teaches, then the part for each."),
    el("div", { class: "row short" }, field("Paper", paper),
      el("label", { class: "check" }, large, " large print"), handout));

  async function begin() {
    running?.abort();
    const mine = (running = new AbortController());
    const work = atLevel(state.work, null); // a level that is set already is not asked of each
    busy(true);
    fill(told, "Making the levels…");
    try {
      const last = await ask.stream("/levels", { work }, (standing) => {
        if (mine !== running) return;
        fill(told, standingWords(standing));
        if (standing.total) Object.assign(bar, { max: standing.total, value: standing.done });
        else bar.removeAttribute("value");
      }, mine.signal);
      if (mine !== running) return;
      show(last.levels, work);
      fill(told, "");
      say(`${last.levels.versions.filter(({ answer }) => answer).length} levels are made.`);
    } catch (error) {
      if (mine !== running) return;
      fill(told, error.name === "AbortError" ? "Stopped; nothing is lost." : "");
      if (error.name !== "AbortError") refuse(error.message);
    } finally {
      if (mine === running) {
        running = null;
        busy(false);
      }
    }
  }

  function busy(on) {
    stop.hidden = !on;
    bar.hidden = !on;
    bar.removeAttribute("value");
    make.disabled = on;
    if (on) notice.hidden = true;
    if (on) stop.focus({ preventScroll: true });
    else if (document.activeElement === document.body) make.focus({ preventScroll: true });
  }

  function refuse(words) {
    notice.hidden = false;
    fill(notice, words);
    say(words, true);
  }

  function show({ versions: all, steps, verdict: words }, work) {
    const met = all.filter(({ answer }) => answer);
    made = { work, met: met.map(({ number, answer }) => ({ number, answer, work: atLevel(work, number) })) };
    fill(list, ...all.map((level) => item(level, work,
      steps.find((step) => step.startsWith(`Level ${level.number} to `)))));
    fill(verdict, words);
    fill(pages, ...met.map(({ number, answer }) => drawnPage(desk.dom, answer, `level ${number}`)));
    for (const [control, at] of [[one, 0], [other, 1]]) {
      fill(control, ...met.map(({ number }) => el("option", { value: String(number) }, String(number))));
      control.selectedIndex = at;
    }
    stale();
  }

  function item({ number, teaches, caps, answer, why, open, nearest }, work, step) {
    const name = `level ${number}`;
    const parts = [el("h3", {}, `Level ${number}`), el("p", { class: "teaches" }, teaches)];
    if (answer) {
      const { summary } = answer;
      parts.push(
        el("p", {}, el("strong", {}, `Hardest bar ${summary.hardest} %`),
          summary.hardest_bar ? `, ${summary.hardest_bar}` : "",
          `; middle bar ${summary.median} % of what this hand can do.`),
        el("details", {}, el("summary", {}, `What ${name} asks at most`), el("p", { class: "help" }, sentence(caps))),
        button(`Take ${name}`, () => {
          state.take(atLevel(work, number), answer, `took ${name}`);
          say(`Level ${number} is on the page now.`);
          document.getElementById("sheet").focus();
        }));
    } else {
      parts.push(el("p", { class: "notice" }, `${open ? "It is not met" : "It cannot be met"}: ${why}`),
        nearest.length ? el("ul", {}, ...nearest.map((words) => el("li", {}, words))) : null);
    }
    if (step) parts.push(stepNode(step));
    return el("li", {}, ...parts.filter(Boolean));
  }

  /** "Level 1 to 2: this; that." as a title and a list. */
  function stepNode(step) {
    const [title, rest] = [step.slice(0, step.indexOf(":")), step.slice(step.indexOf(":") + 1)];
    const [, from, to] = /Level (\d+) to (\d+)/.exec(title) ?? [null, "", ""];
    return el("div", { class: "step" },
      el("h4", {}, from ? `From level ${from} to ${to}` : title),
      el("ul", {}, ...rest.replace(/\.$/, "").split("; ").map((words) => el("li", {}, words.trim()))));
  }

  async function hand() {
    handout.disabled = true;
    try {
      if (!made || stale()) await begin();
      if (!made || stale()) return; // it was stopped, or refused
      fill(told, "Making the handout…");
      const { blob, name } = await ask.file("/handout",
        { work: atLevel(state.work, null), paper: paper.value, large: large.checked });
      handOver(blob, name);
      fill(told, `${name} is made.`);
      say(told.textContent);
    } catch (error) {
      fill(told, "");
      refuse(error.message);
    } finally {
      handout.disabled = false;
    }
  }

  /** What the levels are made of: all that is set, but for which level is on the page. */
  const ground = (work) => JSON.stringify(atLevel(work, null));

  /** Says where the levels are not of what is asked now, and gives that. Those of another tune are
   *  put away, since to take one would bring that tune back; they are there again with their tune. */
  function stale() {
    const here = made !== null && sameTune(made.work, state.work);
    const now = here && ground(made.work) === ground(state.work);
    make.textContent = here ? "Make the levels anew" : "Make the levels";
    found.hidden = !here;
    two.hidden = !here || made.met.length < 2;
    old.hidden = !here || now;
    if (here && !now) fill(old, "Something was changed since these levels were made. Make them anew to see it in them.");
    const shown = here ? made.met : [];
    if (versions.levels !== shown && (shown.length || versions.levels.length)) versions.set("levels", shown);
    return made !== null && !now;
  }
  state.addEventListener("work", stale);
  state.addEventListener("taken", stale);
}
