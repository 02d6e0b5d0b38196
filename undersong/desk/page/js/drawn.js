// A drawn page that is not the one on the desk: made a picture only when somebody looks at it.

/** A folding part with the page of an answer, and the same in words. */
export function drawnPage({ el, start }, answer, title) {
  const part = el("details", { class: "seen" }, el("summary", {}, `See the page of ${title}`));
  part.addEventListener("toggle", () => {
    if (!part.open || part.querySelector("img")) return;
    const address = URL.createObjectURL(new Blob([answer.page.svg], { type: "image/svg+xml" }));
    const picture = el("img", { src: address, alt: `Staff and tab of ${title}; the same is told in words below` });
    picture.addEventListener("load", () => URL.revokeObjectURL(address));
    part.append(el("div", { class: "drawn" }, picture),
      el("details", {}, el("summary", {}, `${start(title)} in words`),
        el("ol", { class: "words" }, ...answer.reading.map(({ words }) => el("li", {}, words)))));
  });
  return part;
}
