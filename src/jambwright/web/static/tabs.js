// The parts of an opening, one tap from each other.

import { el } from "./dom.js";
import { awaitsDelivery } from "./done.js";
import { houseSeen } from "./houses.js";
import { get } from "./tree.js";
import { say } from "./texts.js";

export function openingTabs(house, mark, here) {
  const parts = { readings: "", questions: "/questions", photos: "/photos", delivered: "/delivered", fitted: "/fitted" };
  const links = Object.fromEntries(Object.entries(parts).map(([part, end]) => [part,
    el("a", { href: `/site/${house}/${mark}${end}`, "aria-current": part === here ? "page" : null }, say(`opening.${part}`))]));
  if (here !== "delivered") {
    links.delivered.hidden = true; // until the unit is on order
    houseSeen(house).then((seen) => { links.delivered.hidden = !awaitsDelivery(seen && get(seen.tree, `/openings/${mark}`)); });
  }
  return el("nav", { class: "tabs", "aria-label": say("opening.parts") }, Object.values(links));
}
