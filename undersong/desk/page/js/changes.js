// What changed on the page, told of an answer.

/** The rows of bars that changed; in another tune none did, though all are new. */
export function changedBars({ changes }) {
  return changes.filter(({ played }) => played);
}

/** "2 bars changed"; nothing where none did. */
export function changedWords(answer) {
  const many = changedBars(answer).length;
  return many ? `${many} ${many === 1 ? "bar" : "bars"} changed` : "";
}
