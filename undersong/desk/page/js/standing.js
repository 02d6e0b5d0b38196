// How a search stands, in words.

import { number, start } from "./dom.js";

export function words({ stage, done, total, bound, best, gap }) {
  const told = [start(stage)];
  if (bound !== null) told.push(`no answer costs less than ${number(bound)} ms`);
  else if (total) told.push(`bar ${done} of ${total}`);
  if (best !== null) told.push(`the best so far costs ${number(best)} ms`);
  if (gap) told.push(`at most ${number(gap)} ms too much`);
  return `${told.join("; ")}.`;
}
