// Versions of the tune that can be set side by side: each has a name, and gives its answer and the
// work that it answers, at once or after a search.

import { keep } from "./pins.js";
import { drawingWidth } from "./width.js";

export class Versions extends EventTarget {
  #desk;

  constructor(desk) {
    super();
    this.#desk = desk;
    this.others = [];  // other good ways: {name, words, work, answer}
    this.levels = [];  // of the Five levels: {number, work, answer}
    this.opened = [];  // files: {name, work, answer}
    this.wanted = null; // two keys that another part of the page wants side by side
  }

  set(kind, found) {
    this[kind] = found;
    this.dispatchEvent(new Event("change"));
  }

  want(left, right) {
    this.wanted = [left, right];
    this.dispatchEvent(new Event("wanted"));
  }

  /** What there is to choose from: {key, words}. */
  rows() {
    const { state } = this.#desk;
    const { texture } = state.work.settings;
    const made = new Map(this.levels.map((level) => [level.number, level]));
    return [
      ...(state.current ? [{ key: "now", words: "now, as on the page" }] : []),
      ...(state.past.length ? [{ key: "before", words: `before “${state.undoWords}”` }] : []),
      ...this.others.map(({ words }, at) => ({ key: `other-${at}`, words })),
      ...(state.choices.levels[texture] ?? []).filter(({ number }) => !made.size || made.get(number))
        .map(({ number }) => ({ key: `level-${number}`, words: `level ${number}` })),
      ...this.opened.map(({ name }, at) => ({ key: `opened-${at}`, words: `the file ${name}` })),
    ];
  }

  /** The version: {words, work, answer}; searched for where that is needed. */
  async get(key, onStanding, signal) {
    const { state } = this.#desk;
    const words = this.rows().find((row) => row.key === key)?.words ?? key;
    const [kind, at] = key.split("-");
    if (kind === "now") return { words: "now", work: state.work, answer: state.answer };
    if (kind === "other") return { words, ...this.others[at] };
    if (kind === "opened") return { words, ...this.opened[at] };
    if (kind === "before") {
      const { work, answer } = state.past.at(-1);
      return { words: "before", work, answer: answer ?? await this.#solve(work, onStanding, signal) };
    }
    const made = this.levels.find(({ number }) => number === Number(at));
    if (made) return { words, work: made.work, answer: made.answer };
    const work = atLevel(state.work, Number(at));
    return { words, work, answer: await this.#solve(work, onStanding, signal) };
  }

  async #solve(work, onStanding, signal) {
    const last = await this.#desk.ask.stream(
      "/arrange", { work, before: null, seconds: 60, width: drawingWidth() }, onStanding, signal);
    if (last.cannot) throw Object.assign(new Error(last.cannot.sentence), { sentence: true });
    return last.answer;
  }
}

/** Another good way costs more than the best, so it stays only where its bars are fixed. */
export function fixedTo(work, pins) {
  const fixed = structuredClone(work);
  if (pins?.length) keep(fixed, pins);
  return fixed;
}

/** The same work at a level. */
export function atLevel(work, number) {
  return { ...work, settings: { ...work.settings, level: number } };
}

/** The versions of this desk, made when first asked for. */
export function versionsOf(desk) {
  desk.versions ??= new Versions(desk);
  return desk.versions;
}
