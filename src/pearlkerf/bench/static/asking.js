// What a page asks of the bench, and what comes back.

export class CannotBe extends Error {
  constructor(words, status) {
    super(words);
    this.status = status;
  }
}

const SILENT = "The bench does not answer: it was closed, or this machine sleeps. Start it again with pearlkerf bench.";

const asked = async (address, options) => {
  let answer;
  try {
    answer = await fetch(address, { credentials: "same-origin", ...options });
  } catch {
    throw new CannotBe(SILENT, 0);
  }
  const kind = answer.headers.get("content-type") ?? "";
  const held = kind.startsWith("application/json") ? await answer.json() : { wrong: (await answer.text()).trim() };
  if (!answer.ok) throw new CannotBe(held.wrong ?? answer.statusText, answer.status);
  return held;
};

export const ask = (address) => asked(address, {});

export const tell = (address, held, options = {}) =>
  asked(address, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(held), ...options });

// A file as a page sends it.
export const base64 = async (file) => {
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text = "";
  for (let at = 0; at < bytes.length; at += 0x8000) text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  return btoa(text);
};
