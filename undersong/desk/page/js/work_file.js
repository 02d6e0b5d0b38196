// The file of her work: what the desk keeps, and what she saves and opens again.

/** answer: the document of the answer to that work, null where it has none. */
export function workFile(work, answer = null) {
  return { format: "undersong desk", version: 1, work, answer };
}

/** What is in a file that she chose; an Error, one sentence, for what is no such file. */
export async function readWorkFile(file) {
  try {
    return JSON.parse(await file.text());
  } catch {
    throw new Error(`${file.name}: this is no file of your work; choose one that was saved here.`);
  }
}
