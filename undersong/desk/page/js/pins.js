// What may be asked of bars, as the texts that the desk reads: "5 beat 3: bass note D".
//
// A row is one kind of wish: what it is called, the fields that it wants, the text that it makes
// of them, and whether it can be fixed (pin), ruled out (forbid) or both.

export const KINDS = [
  { name: "shape", words: "these frets, with or without fingers", wants: ["shape"],
    text: ({ shape }) => shape, pin: true, forbid: true },
  { name: "finger-on", words: "a finger on a string", wants: ["string", "finger"],
    text: ({ string, finger }) => `${string} ${finger}`, pin: true, forbid: true },
  { name: "fret-on", words: "a fret on a string", wants: ["string", "fret"],
    text: ({ string, fret }) => `${string} ${fret}`, pin: true, forbid: true },
  { name: "note", words: "a bass note", wants: ["note"],
    text: ({ note }) => `bass note ${note}`, pin: true, forbid: true },
  { name: "role", words: "what the bass note is to the chord", wants: ["role"],
    text: ({ role }) => `bass role ${role}`, pin: true, forbid: true },
  { name: "manner", words: "how the bass goes", wants: ["manner"],
    text: ({ manner }) => `manner ${manner}`, pin: true, forbid: false },
  { name: "finger", words: "a finger, on any string", wants: ["finger"],
    text: ({ finger }) => `finger ${finger}`, pin: false, forbid: true },
  { name: "barred", words: "a finger laid across strings", wants: [],
    text: () => "barred", pin: false, forbid: true },
];

export const NOTES = ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B"];

export const ROLES = ["root", "slash bass", "third", "fifth", "sixth", "seventh", "passing"];

/** The strings' names, bass first. */
export function stringsOf(answer) {
  return answer.summary.open.length === 4
    ? ["bass", "middle", "inner melody", "melody"] : ["bass", "middle", "melody"];
}

/** "bar 5 (1st time)", out of its row of the reading. */
export function nameOf({ number, times }) {
  const name = number === "pickup" ? "the pickup" : `bar ${number}`;
  return times ? `${name} (${times})` : name;
}

/** The number that names a printed bar in a wish. */
export function barNumber(row) {
  return row.number === "pickup" ? "0" : row.number;
}

/** The bars selected as wishes name them: runs of printed numbers, "5-8", "12". */
export function runsSelected({ answer, selected }) {
  const rows = answer?.reading ?? [];
  const numbers = [...new Set(rows.filter(({ played }) => selected.has(played))
    .map((row) => Number(barNumber(row))))].sort((one, other) => one - other);
  const runs = [];
  for (const bar of numbers) {
    if (runs.at(-1)?.[1] === bar - 1) runs.at(-1)[1] = bar;
    else runs.push([bar, bar]);
  }
  return runs.map(([first, last]) => (first === last ? `${first}` : `${first}-${last}`));
}

/** The felt beats in which a bar's moments begin, out of "beat 2 + 2/3". */
export function beatsOf(moments) {
  const beats = moments.map(({ where }) => /^beat (\d+)/.exec(where)?.[1]).filter(Boolean);
  return [...new Set(beats)];
}

/** A shape as it is shown, "4-(0)-x TM", as it is typed: without the brackets of what rings on. */
export function typed(shape) {
  return shape.replaceAll(/[()]/g, "");
}

/** One that keeps a whole bar: "bar 5: keep …". Its bar, or null. */
export function keptBar(text) {
  const found = /^(?:bars?\s+)?(\S+):\s*keep\b/i.exec(text);
  return found ? found[1] : null;
}

/** Puts such pins into a work; a bar that was kept another way is kept this way. */
export function keep(work, pins) {
  const bars = new Set(pins.map(keptBar));
  work.pins = [...work.pins.filter((text) => !bars.has(keptBar(text)) || keptBar(text) === null), ...pins];
}

/** A pin or a forbidden thing in words short enough for a list. */
export function shortly(text) {
  const bar = keptBar(text);
  return bar ? `bar ${bar} kept as it was` : text;
}
