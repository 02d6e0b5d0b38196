// The page begins here: it asks what can be chosen, takes up the work, and mounts the views.

import * as dom from "./dom.js";
import { keepInOrder } from "./order.js";
import * as ask from "./server.js";
import { solver } from "./solve.js";
import { State } from "./state.js";
import { unsaved } from "./unsaved.js";
import { workFile } from "./work_file.js";

const VIEWS = [
  "tune", "player", "sheet", "history", "mends", "listen", "bar", "wishes", "beside", "levels", "keep",
];

function say(sentence, urgent = false) {
  document.getElementById(urgent ? "urgent" : "said").textContent = sentence;
}

/** What was named when the desk was started, else what no server has kept, else the last kept. */
async function firstWork(choices) {
  if (choices.first && !sessionStorage.getItem("undersong-begun")) return { work: choices.first };
  const lost = unsaved();
  if (lost) return { work: lost };
  const { kept } = await ask.get("/kept");
  for (const { name } of kept.slice(0, 3)) {
    try {
      return await ask.get(`/kept/${name}`);
    } catch { /* one that cannot be read any more; the one before it can */ }
  }
  return { work: choices.first ?? choices.fresh };
}

/** The work first, so that views may look at it when they are mounted; then what answers it. */
async function begin() {
  keepInOrder();
  const loading = VIEWS.map((name) => import(`./views/${name}.js`));
  const choices = await ask.get("/choices");
  const state = new State(choices);
  const desk = { state, ask, dom, say };
  desk.solver = solver(state, ask, say);
  const first = await firstWork(choices);
  sessionStorage.setItem("undersong-begun", "yes");
  state.work = first.work;
  const views = await Promise.all(loading);
  VIEWS.forEach((name, at) => views[at].mount(document.getElementById(name), desk));
  if (!first.answer) return state.begin(first.work);
  try {
    const opened = await ask.post("/open", workFile(first.work, first.answer));
    state.begin(opened.work, opened.answer);
  } catch {
    state.begin(first.work); // an answer of an older version: it is found again
  }
}

begin().catch((error) => {
  say(error.message, true);
  document.querySelector("main").prepend(dom.el("p", { class: "notice" }, error.message));
});

