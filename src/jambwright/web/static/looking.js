// The look at readings, asked of a worker of this page, so that nothing a person does waits for it. No signal is needed.

import { limits } from "./check.js";

const MOST_KEPT = 300;

const said = new Map(); // by what was asked
const waiting = new Map();
let number = 0;

// Made at once: later there may be no signal to fetch it by, and no copy kept on the phone.
const worker = new Worker(new URL("./look_worker.js", import.meta.url), { type: "module" });
let begun = false;
let cannot = false;
worker.postMessage({ limits });
worker.addEventListener("message", ({ data }) => {
  begun = true;
  settle(data.number, data.found);
});
worker.addEventListener("error", () => {
  cannot ||= !begun; // a browser without such workers, or one that was not kept
  [...waiting.keys()].forEach((one) => settle(one, null));
});

function settle(one, found) {
  waiting.get(one)?.(found);
  waiting.delete(one);
}

// One face of an opening as both the worker and the server take it.
export const faceOf = (tree, opening, face, name) =>
  ({ name, outside: opening[face] ?? {}, tools: tree.tools ?? [], tape: tree.defaults?.tape ?? null });

// What is to be said of these readings, as the server would; null where this phone can't tell.
export async function look(given) {
  if (cannot) return null;
  const key = JSON.stringify(given);
  if (!said.has(key)) {
    if (said.size >= MOST_KEPT) said.delete(said.keys().next().value);
    said.set(key, new Promise((resolve) => {
      number += 1;
      waiting.set(number, resolve);
      worker.postMessage({ number, given });
    }));
  }
  return said.get(key);
}
