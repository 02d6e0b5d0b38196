// Asking the desk's server. Every refusal becomes a Refused with its sentence.

const token = document.querySelector('meta[name="undersong-token"]').content;

export class Refused extends Error {
  constructor({ sentence, field = null, line = null, column = null }, status = 400) {
    super(sentence);
    Object.assign(this, { sentence, field, line, column, status });
  }
}

const GONE = "The desk does not answer. It may have been ended: start it again with " +
  "'undersong desk' and load this page anew. Your work is kept.";

async function send(path, body, signal) {
  let answer;
  try {
    answer = await fetch(path, {
      method: "POST",
      headers: { "Content-Type": "application/json", "Undersong-Token": token },
      body: JSON.stringify(body),
      signal,
    });
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Refused({ sentence: GONE }, 0);
  }
  if (!answer.ok) throw await refusal(answer);
  return answer;
}

async function refusal(answer) {
  try {
    return new Refused((await answer.json()).refused, answer.status);
  } catch {
    return new Refused({ sentence: `The desk answered with ${answer.status}.` }, answer.status);
  }
}

export async function get(path) {
  let answer;
  try {
    answer = await fetch(path);
  } catch {
    throw new Refused({ sentence: GONE }, 0);
  }
  if (!answer.ok) throw await refusal(answer);
  return answer.json();
}

export async function post(path, body, signal) {
  return (await send(path, body, signal)).json();
}

/** The file that the desk answers with, and what it is to be called. */
export async function file(path, body, signal) {
  const answer = await send(path, body, signal);
  const name = /filename="([^"]+)"/.exec(answer.headers.get("Content-Disposition") ?? "");
  return { blob: await answer.blob(), name: name ? name[1] : "tune" };
}

export async function bytes(path, body, signal) {
  return (await send(path, body, signal)).arrayBuffer();
}

/** The last line of a stream; onStanding hears of each line before. Aborting ends the search. */
export async function stream(path, body, onStanding, signal) {
  const answer = await send(path, body, signal);
  let last = null;
  try {
    for await (const line of lines(answer.body)) {
      const value = JSON.parse(line);
      if (value.standing) onStanding?.(value.standing);
      else last = value;
    }
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Refused({ sentence: GONE }, 0);
  }
  if (last?.refused) throw new Refused(last.refused);
  if (last?.failed) throw new Refused(last.failed, 500);
  if (last === null) throw new Refused({ sentence: GONE }, 0);
  return last;
}

async function* lines(body) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) break;
    const parts = (rest + value).split("\n");
    rest = parts.pop();
    yield* parts.filter(Boolean);
  }
  if (rest) yield rest;
}
