// This bar: why it is as it is, what other choices would cost, and what to fix or rule out in it.

import { pinForm } from "../pin_form.js";
import { pinList } from "../pin_list.js";
import { barNumber, beatsOf, keep, nameOf, runsSelected, stringsOf, typed } from "../pins.js";
import { words as standingWords } from "../standing.js";
import { whyNodes } from "../why.js";

const WAIT = 200; // ms: who goes through bars by the arrow keys does not want each explained

export function mount(root, desk) {
  const { state, ask, say, dom: { el, button, field, fill, settled, start } } = desk;
  const choose = el("select", { id: "which-bar", on: { change: () => pick(Number(choose.value)) } });
  const told = el("p", { class: "help" });
  const why = el("div", { class: "why" });
  const keepIt = button("Keep this bar as it is", () => keepBar(), { id: "keep-bar" });
  const form = el("details", { class: "ask-more" }, el("summary", {}, "Fix or rule out something"));
  const formBox = el("div", {});
  form.append(formBox);
  let running = null;
  let shown = null;   // the explanation on the page
  let offered = "";   // what the form is about
  let about = 0;      // the played bar that the words and the form are about
  root.append(field("Bar", choose), told, keepIt, why, form, pinList(desk));

  const played = () => Math.min(...state.selected);
  const row = () => state.current?.reading.find((one) => one.played === played());

  /** One of the played bars, chosen from the list. */
  function pick(number) {
    state.select(number ? [number] : []);
  }

  function list() {
    const rows = state.current?.reading ?? [];
    fill(choose, el("option", { value: "" }, "choose one here, or on the page"), ...rows.map((one) =>
      el("option", { value: String(one.played) },
        `${one.number}${one.times ? ` (${one.times})` : ""}`)));
    choose.value = row() ? String(played()) : "";
  }

  function begin() {
    list();
    running?.abort();
    running = null;
    shown = null;
    keepIt.hidden = true;
    const now = row();
    form.hidden = !now;
    if (!now) {
      fill(why);
      fill(told, state.current ? "Choose a bar to see why it is as it is." : "There is no answer yet.");
      return;
    }
    if (state.cannot || state.solving) {
      fill(told, state.cannot ? "What is asked now cannot be played; the bar is told when it can." : "Waiting for the answer…");
      return;
    }
    fill(told, "Looking at this bar…");
    why.classList.add("is-old");
    if (now.played !== about) { // what is done now must not be done to the bar before
      about = now.played;
      offered = "";
      fill(why);
      fill(formBox);
    }
    explain(now);
  }

  const explain = settled(async (now) => {
    if (now !== row() || state.solving) return;
    const mine = (running = new AbortController());
    try {
      const last = await ask.stream("/why",
        { document: state.current.document, played: now.played },
        (standing) => mine === running && fill(told, `${standingWords(standing)}…`), mine.signal);
      if (mine !== running) return;
      show(now, last.why);
    } catch (error) {
      if (mine !== running || error.name === "AbortError") return;
      fill(why);
      fill(told, error.message, " ", button("Try again", begin));
      say(error.message, true);
    }
  }, WAIT);

  function show(now, found) {
    shown = found;
    why.classList.remove("is-old");
    fill(told, "");
    const at = nameOf(now);
    fill(why, ...whyNodes(desk.dom, found, now, {
      take: (other) => {
        state.change(`${at}: ${other.shapes.join("; ")}`, (work) => keep(work, other.pins));
        say(`Taken: ${other.shapes.join("; ")}`);
        choose.focus(); // the button goes with the choice that it took
      },
      forbid: (moment) => {
        const beat = beatsOf([moment])[0];
        const text = `${barNumber(now)}${beat ? ` beat ${beat}` : ""}: ${typed(moment.shape)}`;
        state.change(`ruled out ${text}`, (work) => work.forbids.push(text));
        say(`Ruled out: ${text}`);
        choose.focus();
      },
    }));
    keepIt.hidden = !found.pin_here.length;
    offer(now, found);
    say(`${start(at)} costs ${found.cost} ms; it is told under This bar.`);
  }

  /** The form stays as she left it while it is about the same bars. */
  function offer(now, { moments }) {
    const about = JSON.stringify([now.played, runsSelected(state), beatsOf(moments),
      state.work.settings.texture, stringsOf(state.current)]);
    if (about === offered) return;
    offered = about;
    fill(formBox, pinForm(desk, now, moments));
  }

  function keepBar() {
    const { pin_here: pins } = shown;
    const name = nameOf(row());
    state.change(`kept ${name} as it is`, (work) => keep(work, pins));
    say(`${start(name)} is kept as it is.`);
    choose.focus();
  }

  state.addEventListener("work", () => state.current || begin());
  state.addEventListener("select", begin);
  state.addEventListener("answer", begin);
  state.addEventListener("cannot", begin);
  state.addEventListener("refused", () => {
    running?.abort();
    fill(told, "What is asked now is refused; the bar is told when there is an answer again.");
  });
  state.addEventListener("solving", () => state.solving && running?.abort());
  begin();
}
