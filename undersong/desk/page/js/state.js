// What the page knows: her work, the answer to it, and the steps that led there.
//
// Events: work (it changed; solve it), taken (work and answer came together; there is nothing to
// solve), answer, prices (of the answer), standing, solving, cannot, refused, unkept, select, sounding.

import * as unsaved from "./unsaved.js";

const STEPS = 100;
const GOES_ON = 1000; // ms after which moving a slider again is another step
const HISTORY = "undersong-steps";

/** Whether two works are of one tune, whatever else is set. */
export function sameTune(one, other) {
  const tune = ({ tune: source, choose }) => JSON.stringify([source, choose]);
  return tune(one) === tune(other);
}

export class State extends EventTarget {
  constructor(choices) {
    super();
    this.choices = choices;
    this.work = null;
    this.answer = null;
    this.answered = null;    // the work that the answer answers; another than work while none does
    this.from = null;        // the answer that the last step began from: what changed is told of it
    this.selected = new Set(); // numbers of played bars
    this.sounding = 0;       // the played bar that sounds
    this.standing = null;
    this.solving = false;
    this.cannot = null;
    this.refused = null;
    this.unkept = "";        // why her work is not kept, as long as it is not
    this.going = null;       // the name of a change that may still go on, and when it last did
    this.since = 0;
    this.past = [];
    this.future = [];
  }

  tell(name) {
    this.dispatchEvent(new Event(name));
  }

  /** Changes the work: edit gets a copy. The change can be taken back; words say what it was. */
  change(words, edit) {
    const work = structuredClone(this.work);
    edit(work);
    if (JSON.stringify(work) === JSON.stringify(this.work)) return;
    this.#step(words);
    this.work = work;
    this.#changed();
  }

  /** Another answer becomes hers, with the work that it answers. */
  take(work, answer, words) {
    this.#step(words);
    this.work = structuredClone(work);
    this.#remember();
    this.setAnswer(answer);
    this.tell("taken");
  }

  /** A work with nothing set but its tune. */
  fresh(tune) {
    return { ...structuredClone(this.choices.fresh), tune };
  }

  /** Begins with a work; nothing can be taken back. */
  begin(work, answer = null) {
    this.work = work;
    this.#recall();
    if (answer === null) this.#changed();
    else {
      this.setAnswer(answer);
      this.tell("taken");
    }
  }

  /** A change that goes on from the one a moment before, such as a slider's, is no step of its
   *  own. */
  merge(name, work) {
    const now = Date.now();
    const held = this.going === name && now - this.since < GOES_ON;
    const { from, past: { length: many } } = this;
    work();
    if (held && this.past.length > many) {
      const last = this.past.pop();
      this.past.at(-1).words = last.words;
      this.from = from;
    }
    this.going = name;
    this.since = now;
  }

  #step(words) {
    this.past.push({ words, work: this.work, answer: this.own });
    if (this.past.length > STEPS) this.past.shift();
    this.future = [];
    this.from = this.answer;
  }

  /** The answer on the page, if it is one to the tune that is asked for now; null where it is one
   *  to another tune, which is neither shown nor used under this one's name. */
  get current() {
    return this.answer && sameTune(this.answered, this.work) ? this.answer : null;
  }

  /** The answer to the work as it is now; null where it has none, or none yet. */
  get own() {
    return this.answered === this.work ? this.answer : null;
  }

  get undoWords() { return this.past.at(-1)?.words ?? ""; }
  get redoWords() { return this.future.at(-1)?.words ?? ""; }

  undo() { this.#move(this.past, this.future); }
  redo() { this.#move(this.future, this.past); }

  #move(from, to) {
    const step = from.pop();
    if (step === undefined) return;
    to.push({ words: step.words, work: this.work, answer: this.own });
    this.from = this.answer;
    this.work = step.work;
    if (step.answer) {
      this.#remember();
      this.setAnswer(step.answer);
      this.tell("taken");
    } else this.#changed();
  }

  #changed() {
    this.#remember();
    this.tell("work");
  }

  /** The answer to the work as it is now. */
  setAnswer(answer) {
    this.answer = answer;
    this.answered = this.work;
    this.cannot = null;
    this.refused = null;
    this.tell("answer");
  }

  setCannot(cannot) {
    this.cannot = cannot;
    this.refused = null;
    this.tell("cannot");
  }

  setRefused(refused) {
    this.refused = refused;
    this.tell("refused");
  }

  /** Why the desk cannot keep her work; nothing where it does. */
  setUnkept(words) {
    this.unkept = words;
    this.tell("unkept");
  }

  setStanding(standing) {
    this.standing = standing;
    this.tell("standing");
  }

  setSolving(solving) {
    this.solving = solving;
    this.refused = null;
    this.standing = null;
    this.tell("solving");
  }

  select(bars) {
    this.selected = new Set(bars);
    this.tell("select");
  }

  setSounding(played) {
    if (played === this.sounding) return;
    this.sounding = played;
    this.tell("sounding");
  }

  // Steps live as long as the browser's tab does, so that loading the page anew loses none of
  // them; answers are left out there, since they can be had again.
  #remember() {
    const bare = (steps) => steps.slice(-30).map(({ words, work }) => ({ words, work }));
    try {
      unsaved.note(this.work); // first: it is the smaller, and there may not be room for both
      const kept = { past: bare(this.past), future: bare(this.future), work: this.work };
      sessionStorage.setItem(HISTORY, JSON.stringify(kept));
    } catch { /* a full or closed store: the server keeps the work all the same */ }
  }

  #recall() {
    try {
      const kept = JSON.parse(sessionStorage.getItem(HISTORY));
      if (JSON.stringify(kept?.work) === JSON.stringify(this.work)) {
        this.past = kept.past;
        this.future = kept.future;
      }
    } catch { /* nothing was kept, or not by us */ }
  }
}
