// The order of the columns: where the page is narrow, the music stands first. The Tab key and a
// screen reader go by the order in the document, so it is that which changes, not only the look.

const NARROW = matchMedia("(max-width: 1100px)");

export function keepInOrder() {
  const main = document.querySelector("main");
  const nav = document.querySelector(".jumps");
  const [left, middle] = ["left", "middle"].map((name) => main.querySelector(`.${name}`));
  const links = [...nav.children];

  function order() {
    const focused = document.activeElement;
    if (NARROW.matches) main.prepend(middle);
    else left.after(middle);
    // the links go as the parts do
    const parts = [...main.querySelectorAll("section")].map(({ id }) => `#${id}`);
    const at = (link) => parts.indexOf(link.getAttribute("href"));
    nav.append(...links.toSorted((one, other) => at(one) - at(other)));
    if (focused !== document.activeElement) focused.focus({ preventScroll: true });
  }

  NARROW.addEventListener("change", order);
  order();
}
