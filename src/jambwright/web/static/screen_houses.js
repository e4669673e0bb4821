// All houses on this phone.

import { el, refill } from "./dom.js";
import { addHouse, housesSeen } from "./houses.js";
import { missing } from "./readings.js";
import { say } from "./texts.js";

export async function housesScreen() {
  const list = el("ul", { class: "cards" });
  const label = el("input", { id: "label", name: "label", required: true, maxlength: 60, autocomplete: "off" });

  async function refresh() {
    const houses = await housesSeen();
    houses.sort((a, b) => a.label.localeCompare(b.label));
    refill(list, ...houses.map(card));
    if (!houses.length) refill(list, el("li", { class: "empty" }, say("houses.none")));
  }

  async function add(event) {
    event.preventDefault();
    const practice = event.submitter?.value === "practice";
    const house = await addHouse(label.value.trim() || say("houses.practice_label"), practice);
    document.dispatchEvent(new CustomEvent("go", { detail: `/site/${house}` }));
  }

  await refresh();
  return {
    title: say("houses.title"),
    refresh,
    element: el("div", { class: "screen" }, list,
      el("form", { class: "add", onsubmit: add },
        el("h2", {}, say("houses.new")),
        el("label", { for: "label" }, say("houses.label")), label,
        el("button", { type: "submit", class: "main" }, say("houses.add")),
        el("button", { type: "submit", value: "practice", formnovalidate: true }, say("houses.practice"))),
      el("a", { href: "/", class: "button" }, say("nav.desk")),
    ),
  };
}

function card(house) {
  const openings = house.tree.openings ?? [];
  const open = openings.filter((opening) => missing(opening).length).length;
  const what = [say("houses.openings", { n: openings.length })];
  if (openings.length) what.push(open ? say("houses.open", { n: open }) : say("houses.all_read"));
  return el("li", {}, el("a", { href: `/site/${house.id}`, class: "card" },
    el("strong", {}, house.tree.site.label), house.practice && el("span", { class: "tag" }, say("houses.practice_tag")),
    el("span", { class: "quiet" }, what.join(" · "))));
}
