// One opening: what stops its order and its work, why, and what opens the way.

import { el, refill } from "./dom.js";
import { houseSeen } from "./houses.js";
import { state } from "./send.js";
import { gatesSeen, openingGates, planLine, stopsOf } from "./stops.js";
import { openingTabs } from "./tabs.js";
import { get } from "./tree.js";
import { say } from "./texts.js";

export async function stopsScreen(id, mark) {
  const list = el("div", { class: "stops" });
  let title = mark;

  async function refresh() {
    const house = await houseSeen(id);
    const opening = house && get(house.tree, `/openings/${mark}`);
    if (!opening) return refill(list, say("opening.not_here"));
    title = `${mark} ${opening.room}`;
    const seen = await gatesSeen(house);
    const stops = stopsOf(opening, house.tree, seen.gates);
    return refill(list, openingGates(id, stops), seen.gates && !stops.planned && el("p", {}, el("strong", {}, say("plan.left_out", { marks: mark }))),
      planLine(seen, state.signal));
  }

  await refresh();
  return {
    get title() {
      return title;
    },
    back: { href: `/site/${id}`, text: say("back.house") },
    refresh: (which) => (which && which !== id ? null : refresh()),
    signal: refresh,
    element: el("div", { class: "screen" }, openingTabs(id, mark, "stops"), list),
  };
}
