// A page loaded afresh once something is kept: whoever works with keys finds the focus where it was.

import { alike, sign } from "./dom.js";

const KEY = "focus";
const page = () => location.pathname + location.search;
let last = null;

document.addEventListener("focusin", (/** @type {any} */ { target }) => {
  last = target.matches(":focus-visible") ? sign(target, document) : null;
});

export function afresh() {
  if (last) sessionStorage.setItem(KEY, JSON.stringify({ at: page(), ...last }));
  location.reload();
}

const kept = JSON.parse(sessionStorage.getItem(KEY) ?? "null");
sessionStorage.removeItem(KEY);
if (kept?.at === page() && document.activeElement === document.body) alike(document, kept)?.focus({ preventScroll: true });
