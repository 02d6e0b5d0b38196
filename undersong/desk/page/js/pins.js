// Pins and forbidden things, as the texts that a work holds.

/** The bars selected as a pin says them: runs of printed numbers, or "all" where none is. */
export function places(state) {
  const rows = state.answer?.reading ?? [];
  const numbers = [...new Set(rows.filter(({ played }) => state.selected.has(played))
    .map((row) => Number(row.number)).filter(Number.isInteger))].sort((a, b) => a - b);
  const runs = [];
  for (const bar of numbers) {
    const last = runs.at(-1);
    if (last && last[1] === bar - 1) last[1] = bar;
    else runs.push([bar, bar]);
  }
  return runs.map(([first, last]) => (first === last ? `${first}` : `${first}-${last}`));
}

/** Adds texts to the work's pins or forbids; what stands there already is not added twice. */
export function add(state, part, texts, words) {
  state.change(words, (work) => {
    for (const text of texts) if (!work[part].includes(text)) work[part].push(text);
  });
}

/** Takes away every pin that begins with one of those bars' numbers, then adds. */
export function replaceKept(state, texts, words) {
  const heads = texts.map((text) => text.slice(0, text.indexOf(": keep")));
  state.change(words, (work) => {
    work.pins = work.pins.filter((pin) => !heads.some((head) => pin.startsWith(`${head}: keep`)));
    work.pins.push(...texts);
  });
}

export function drop(state, part, text) {
  state.change(`${part === "pins" ? "pin" : "ban"} taken away`, (work) => {
    work[part] = work[part].filter((one) => one !== text);
  });
}
