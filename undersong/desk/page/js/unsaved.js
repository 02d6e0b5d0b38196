// Her last work, held in the browser until the desk has kept it: nothing is lost when the desk is
// gone for a while.

const NAME = "undersong-unsaved";

/** Holds that work; throws where the browser's store is full or closed. */
export function note(work) {
  localStorage.setItem(NAME, JSON.stringify(work));
}

/** The work that no desk has kept yet, from when it was gone; null for none. */
export function unsaved() {
  try {
    return JSON.parse(localStorage.getItem(NAME));
  } catch {
    return null;
  }
}

/** The desk has kept that work now. */
export function saved(work) {
  try {
    if (localStorage.getItem(NAME) === JSON.stringify(work)) localStorage.removeItem(NAME);
  } catch { /* a closed store holds nothing */ }
}
