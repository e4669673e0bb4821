// One house: its openings room by room, and a new one that carries over everything but sizes.

import { el, refill } from "./dom.js";
import { look } from "./check.js";
import { houseSeen, note } from "./houses.js";
import { roughOutline } from "./outline.js";
import { thumbnail } from "./draw.js";
import { status, taken } from "./readings.js";
import { join } from "./tree.js";
import { say } from "./texts.js";

const CARRIED = ["wall", "lintel", "set_back_mm", "old_sill"];
const CARRIED_WANTED = ["kind", "profile", "colour", "glass", "sill", "layout"];

export async function houseScreen(id) {
  const list = el("div", { class: "rooms" });
  const rooms = el("datalist", { id: "rooms" });
  const mark = el("input", { id: "mark", required: true, maxlength: 16, pattern: "[A-Za-z0-9_\\-]+", autocomplete: "off" });
  const room = el("input", { id: "room", required: true, maxlength: 40, list: "rooms", autocomplete: "off" });
  const problem = el("p", { class: "problem", role: "alert" });
  let house = null;

  async function refresh() {
    house = await houseSeen(id);
    form.hidden = !house;
    if (!house) {
      refill(list, el("p", {}, say("house.not_here")));
      return;
    }
    const openings = house.tree.openings ?? [];
    refill(list, ...byRoom(openings).map(([name, ones]) => section(id, name, ones)));
    if (!openings.length) list.append(el("p", { class: "empty" }, say("house.none")));
    const names = new Set([...(house.tree.house?.rooms ?? []).map((one) => one.name), ...openings.map((one) => one.room)]);
    refill(rooms, ...[...names].map((name) => el("option", { value: name })));
    if (!mark.value) mark.value = nextMark(openings);
  }

  async function add(event) {
    event.preventDefault();
    const openings = house.tree.openings ?? [];
    problem.textContent = "";
    if (openings.some((opening) => opening.id === mark.value)) {
      problem.textContent = say("house.mark_taken", { mark: mark.value });
      return;
    }
    const kind = event.submitter?.value === "door" ? "door" : "window";
    await note(id, join("openings", mark.value), carriedOver(openings.at(-1), mark.value, room.value.trim(), kind));
    document.dispatchEvent(new CustomEvent("go", { detail: `/site/${id}/${mark.value}` }));
  }

  const form = el("form", { class: "add", onsubmit: add }, el("h2", {}, say("house.new")), problem,
      el("div", { class: "two" },
        el("div", {}, el("label", { for: "mark" }, say("house.mark")), mark),
        el("div", {}, el("label", { for: "room" }, say("house.room")), room)), rooms,
      el("button", { type: "submit", value: "window", class: "main" }, say("house.add_window")),
      el("button", { type: "submit", value: "door" }, say("house.add_door")));
  await refresh();
  return {
    get title() {
      return house?.tree.site.label ?? say("houses.title");
    },
    back: { href: "/site", text: say("back.houses") },
    refresh: (which) => (which === id || !which ? refresh() : null),
    element: el("div", { class: "screen" }, list,
      form,
    ),
  };
}

function byRoom(openings) {
  const rooms = new Map();
  for (const opening of openings) rooms.set(opening.room, [...(rooms.get(opening.room) ?? []), opening]);
  return [...rooms];
}

const section = (house, name, openings) =>
  el("section", {}, el("h2", {}, name), el("ul", { class: "cards" }, openings.map((opening) => row(house, opening))));

function row(house, opening) {
  const figures = taken(opening.outside);
  const now = status(opening, look(taken(opening.outside, { measured: true })));
  return el("li", {}, el("a", { href: `/site/${house}/${opening.id}`, class: "card opening-card" },
    thumbnail(roughOutline(figures)), el("strong", {}, opening.id),
    el("span", { class: `status ${now.key}` }, now.text), opening.note && el("span", { class: "quiet" }, opening.note)));
}

function nextMark(openings) {
  const numbers = openings.map((opening) => Number(/(\d+)$/.exec(opening.id)?.[1] ?? 0));
  return `W${Math.max(0, ...numbers) + 1}`;
}

// The dull parts of the last opening; never its sizes, never who it matches.
function carriedOver(last, id, room, kind) {
  const opening = { id, room, outside: {} };
  for (const name of CARRIED) if (last?.[name] !== undefined) opening[name] = last[name];
  const wanted = {};
  const same = (last?.wanted?.kind ?? "window") === kind;
  for (const name of CARRIED_WANTED) {
    if (last?.wanted?.[name] !== undefined && (same || name !== "layout")) wanted[name] = last.wanted[name];
  }
  return { ...opening, wanted: { ...wanted, kind } };
}
