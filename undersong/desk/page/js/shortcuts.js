// Keys that do something without a button: only while no field has the focus, all of them listed
// on the page, and she can turn them off (a single key that acts can trip whoever speaks to the
// computer, or types with unsteady hands).

const OFF = "undersong-keys-off";

export function keysAreOn() {
  try {
    return localStorage.getItem(OFF) === null;
  } catch {
    return true;
  }
}

export function turnKeys(on) {
  try {
    if (on) localStorage.removeItem(OFF);
    else localStorage.setItem(OFF, "yes");
  } catch { /* a closed store: they are as they were when the page is loaded anew */ }
}

const FIELDS = "input, select, textarea, [contenteditable]";
const PRESSED_BY_SPACE = "button, a, summary, [role=button]";

/** acts: key in small letters → what it does. */
export function hearKeys(acts) {
  document.addEventListener("keydown", (event) => {
    if (!keysAreOn() || event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
    const key = event.key.toLowerCase();
    const act = acts[key];
    if (!act || event.defaultPrevented) return;
    if (event.target.matches(FIELDS) && !event.target.matches("[type=checkbox], [type=radio], [type=range]")) return;
    if (key === " " && event.target.matches(`${FIELDS}, ${PRESSED_BY_SPACE}`)) return;
    event.preventDefault();
    act();
  });
}
