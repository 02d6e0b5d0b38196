// Solving: a changed work is asked for after a short while, the search before it is stopped, and
// what came of it is kept.

import { changedWords } from "./changes.js";
import { sentence, settled } from "./dom.js";
import { saved } from "./unsaved.js";
import { drawingWidth } from "./width.js";
import { workFile } from "./work_file.js";

const WAIT = 100;     // ms of quiet before a search begins: a slider sends many changes
const SECONDS = 60;

export function solver(state, ask, say) {
  let running = null;

  async function solve() {
    running?.abort();
    const mine = (running = new AbortController());
    state.setSolving(true);
    const work = state.work;
    try {
      const last = await ask.stream(
        "/arrange",
        { work, before: (state.from ?? state.answer)?.document ?? null, seconds: SECONDS, width: drawingWidth() },
        (standing) => mine === running && state.setStanding(standing),
        mine.signal,
      );
      if (mine !== running) return;
      state.setSolving(false);
      if (last.answer) {
        state.setAnswer(last.answer);
        say(told(last.answer));
        keep(work, last.answer.document);
        prices(last.answer);
      } else {
        state.setCannot(last.cannot);
        say(last.cannot.sentence, true);
      }
    } catch (error) {
      if (mine !== running || error.name === "AbortError") return;
      state.setSolving(false);
      state.setRefused(error);
      say(error.message, true);
    }
  }

  /** What pins and conditions cost comes after the answer, since each price is a search. */
  async function prices(answer) {
    const { pins, forbids, at_most, at_least, settings } = state.work;
    const asked = [...pins, ...forbids, ...at_most, ...at_least, settings.alike, settings.shapes];
    if (!asked.some(Boolean)) return;
    const mine = running;
    try {
      const last = await ask.stream("/prices", { document: answer.document }, null, mine.signal);
      if (state.answer !== answer) return;
      answer.prices = last.prices;
      state.tell("prices");
    } catch { /* a price that cannot be had is not shown */ }
  }

  async function keep(work, answer) {
    try {
      await ask.post("/kept", workFile(work, answer));
      saved(work);
      state.setUnkept("");
    } catch (error) {
      if (error.status === 0) return; // the desk is gone; the browser holds it until it is back
      if (error.message !== state.unkept) say(error.message, true);
      state.setUnkept(error.message);
    }
  }

  // a step back within the wait may have brought an answer with it already
  const unanswered = () => state.own === null;
  const soon = settled(() => unanswered() && solve(), WAIT);
  const keepSoon = settled(() => unanswered() && keep(state.work, null), WAIT);
  state.addEventListener("work", () => {
    running?.abort();
    running = null; // an answer that is on its way already is none to this work
    keepSoon();
    soon();
  });
  state.addEventListener("taken", () => {
    running?.abort();
    running = new AbortController();
    state.setSolving(false);
    keep(state.work, state.answer.document);
  });
  return {
    solve,
    /** Stops the search; the page keeps the answer that it has. */
    stop() {
      running?.abort();
      running = null;
      state.setSolving(false);
      if (state.cannot) state.setCannot(null); // it was said of a work before this one
      say(state.current ? "The search was stopped; the page shows the answer from before."
        : "The search was stopped; there is no answer to this tune yet.");
    },
  };
}

function told(answer) {
  return [changedWords(answer), answer.summary.searched].filter(Boolean).map(sentence).join(" ");
}
