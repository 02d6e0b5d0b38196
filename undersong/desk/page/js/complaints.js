// What is wrong with what was written in a field, told at the field, where the eye is.

import { el, newId } from "./dom.js";

const told = new WeakMap(); // control -> {node, described}

/** Tells at a control why what stands in it is not taken. */
export function complain(control, words) {
  content(control);
  control.id ||= newId("field");
  const node = el("p", { class: "notice", id: `${control.id}-told` }, words);
  const described = control.getAttribute("aria-describedby");
  told.set(control, { node, described });
  control.setAttribute("aria-invalid", "true");
  control.setAttribute("aria-describedby", described ? `${node.id} ${described}` : node.id);
  control.closest(".field, .wish").append(node);
}

/** Nothing is wrong with it any more. */
export function content(control) {
  const { node, described } = told.get(control) ?? {};
  if (!node) return;
  told.delete(control);
  node.remove();
  control.removeAttribute("aria-invalid");
  if (described) control.setAttribute("aria-describedby", described);
  else control.removeAttribute("aria-describedby");
}

/** The whole number in a field, null where it is empty. What is none, or lies beyond, is told there
 *  and aloud, and stays for her to mend: undefined then. */
export function wholeIn(control, low, high, say) {
  const value = Number(control.value);
  const { badInput } = control.validity;
  if (badInput || !Number.isInteger(value) || (control.value !== "" && (value < low || value > high))) {
    const written = badInput ? "That" : control.value;
    const words = `${written} is not taken: write a whole number from ${low} to ${high}.`;
    complain(control, words);
    say(words, true);
    return undefined;
  }
  content(control);
  return control.value === "" ? null : value;
}
