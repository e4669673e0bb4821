// The parts of an opening, one tap from each other.

import { el } from "./dom.js";
import { say } from "./texts.js";

export function openingTabs(house, mark, here) {
  const parts = { readings: "", questions: "/questions", photos: "/photos", fitted: "/fitted" };
  return el("nav", { class: "tabs", "aria-label": say("opening.parts") }, Object.entries(parts).map(([part, end]) =>
    el("a", { href: `/site/${house}/${mark}${end}`, "aria-current": part === here ? "page" : null }, say(`opening.${part}`))));
}
