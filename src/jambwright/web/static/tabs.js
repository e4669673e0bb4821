// The parts of an opening, one tap from each other.

import { el } from "./dom.js";
import { awaitsDelivery } from "./done.js";
import { changed, houseSeen } from "./houses.js";
import { get } from "./tree.js";
import { say } from "./texts.js";

export function openingTabs(house, mark, here) {
  const parts = { readings: "", questions: "/questions", photos: "/photos", delivered: "/delivered", fitted: "/fitted" };
  const links = Object.fromEntries(Object.entries(parts).map(([part, end]) => [part,
    el("a", { href: `/site/${house}/${mark}${end}`, "aria-current": part === here ? "page" : null }, say(`opening.${part}`))]));
  const nav = el("nav", { class: "tabs", "aria-label": say("opening.parts") }, Object.values(links));
  if (here !== "delivered") onceOrdered(nav, links.delivered, house, mark);
  return nav;
}

// Hidden until its unit is on order: a house that is heard of only now may say so a moment later.
function onceOrdered(nav, link, house, mark) {
  let stood = false;
  const look = async () => {
    const seen = await houseSeen(house);
    link.hidden = !awaitsDelivery(seen && get(seen.tree, `/openings/${mark}`));
    stood ||= nav.isConnected;
    if (stood && !nav.isConnected) changed.removeEventListener("change", look);
  };
  link.hidden = true;
  changed.addEventListener("change", look);
  look();
}
