// One house: its openings room by room, and a new one that carries over everything but sizes.

import { el, refill } from "./dom.js";
import { houseSeen, note } from "./houses.js";
import { roughOutline } from "./outline.js";
import { thumbnail } from "./draw.js";
import { status, taken, unanswered } from "./readings.js";
import { asKind, MARK, markTaken } from "./itself.js";
import * as keep from "./keep.js";
import { faceOf, look } from "./looking.js";
import { state } from "./send.js";
import { gatesSeen, houseGates, planLine, stopLine, stopsOf } from "./stops.js";
import { join } from "./tree.js";
import { say } from "./texts.js";

const CARRIED = ["wall", "lintel", "set_back_mm", "old_sill"];
const LETTERS = { window: "W", door: "D" };
const CARRIED_WANTED = ["kind", "profile", "colour", "glass", "sill", "layout"];

export async function houseScreen(id) {
  const list = el("div", { class: "rooms" });
  const stops = el("div", { class: "stops" });
  const rooms = el("datalist", { id: "rooms" });
  const mark = el("input", { id: "mark", maxlength: 16, pattern: MARK, autocomplete: "off", oninput: () => nameAdds() });
  const room = el("input", { id: "room", required: true, maxlength: 40, list: "rooms", autocomplete: "off" });
  const problem = el("p", { class: "problem", role: "alert" });
  const adds = Object.keys(LETTERS).map((kind) => el("button", { type: "submit", value: kind, class: kind === "window" ? "main" : null }));
  let house = null;
  let used = [];

  async function refresh() {
    house = await houseSeen(id);
    form.hidden = !house;
    if (!house) {
      refill(list, el("p", {}, say("house.not_here")));
      refill(stops);
      return;
    }
    const openings = house.tree.openings ?? [];
    const seen = await gatesSeen(house);
    const unfolded = [...stops.querySelectorAll("details[open]")].map((one) => one.dataset.gate);
    refill(stops, houseGates(house, seen.gates), planLine(seen, state.signal));
    for (const name of unfolded) stops.querySelector(`[data-gate="${name}"]`)?.setAttribute("open", "");
    refill(list, ...byRoom(openings).map(([name, ones]) => section(house, name, ones, seen.gates)));
    if (!openings.length) list.append(el("p", { class: "empty" }, say("house.none")));
    list.append(...nextStep(id, openings, seen.gates));
    const names = new Set([...(house.tree.house?.rooms ?? []).map((one) => one.name), ...openings.map((one) => one.room)]);
    refill(rooms, ...[...names].map((name) => el("option", { value: name })));
    const photos = (await keep.all("photos")).filter((photo) => photo.house === id);
    // a mark that was used before is not proposed again: plans and photos still speak of it
    used = [...openings.map((opening) => opening.id), ...Object.keys(seen.gates?.openings ?? {}), ...photos.map((photo) => photo.mark)];
    nameAdds();
  }

  const markFor = (kind) => mark.value.trim() || nextMark(LETTERS[kind], used);

  function nameAdds() {
    for (const one of adds) one.textContent = say(`house.add.${one.value}`, { mark: markFor(one.value) });
  }

  async function add(event) {
    event.preventDefault();
    const openings = house.tree.openings ?? [];
    problem.textContent = "";
    const kind = event.submitter?.value === "door" ? "door" : "window";
    const chosen = markFor(kind);
    if (markTaken(openings, chosen)) {
      problem.textContent = say("house.mark_taken", { mark: chosen });
      return;
    }
    await note(id, join("openings", chosen), carriedOver(openings.at(-1), chosen, room.value.trim(), kind));
    document.dispatchEvent(new CustomEvent("go", { detail: `/site/${id}/${chosen}` }));
  }

  const form = el("form", { class: "add", onsubmit: add }, el("h2", {}, say("house.new")), problem,
      el("div", { class: "two" },
        el("div", {}, el("label", { for: "room" }, say("house.room")), room),
        el("div", {}, el("label", { for: "mark" }, say("house.other_mark")), mark)), rooms,
      adds);
  await refresh();
  return {
    get title() {
      return house?.tree.site.label ?? say("houses.title");
    },
    back: { href: "/site", text: say("back.houses") },
    refresh: (which) => (which === id || !which ? refresh() : null),
    signal: refresh,
    element: el("div", { class: "screen" }, stops, list, form),
  };
}

function byRoom(openings) {
  const rooms = new Map();
  for (const opening of openings) rooms.set(opening.room, [...(rooms.get(opening.room) ?? []), opening]);
  return [...rooms];
}

const section = (house, name, openings, gates) =>
  el("section", {}, el("h2", {}, name), el("ul", { class: "cards" }, openings.map((opening) => row(house, opening, gates))));

// What comes next once all is read, until there is a plan to tell it.
function nextStep(id, openings, gates) {
  if (gates || !openings.length || openings.some((opening) => status(opening).key !== "done")) return [];
  const asked = openings.find(unanswered);
  const [text, href, label] = asked
    ? [say("next.questions"), `/site/${id}/${asked.id}/questions`, say("next.questions_of", { mark: asked.id })]
    : [say("next.desk"), `/houses/${id}`, say("next.desk_do")];
  return [el("section", { class: "add next-step" }, el("p", {}, text), el("a", { class: "button main", href }, label))];
}

function row(house, opening, gates) {
  const stopped = stopLine(stopsOf(opening, house.tree, gates));
  const figures = taken(opening.outside);
  const now = status(opening);
  const told = el("span", { class: `status ${now.key}` }, now.text);
  look(faceOf(house.tree, opening, "outside", opening.id)).then((found) => {
    if (found?.verdict !== "measure again") return;
    told.className = "status again";
    told.textContent = say("status.again");
  });
  return el("li", {}, el("a", { href: `/site/${house.id}/${opening.id}`, class: "card opening-card" },
    thumbnail(roughOutline(figures, opening.wanted?.kind)), el("strong", {}, opening.id),
    told, now.key === "done" && unanswered(opening) > 0 && el("span", { class: "quiet" }, say("house.questions", { n: unanswered(opening) })), stopped && el("span", { class: "stopped" }, stopped), opening.note && el("span", { class: "quiet" }, opening.note)));
}

function nextMark(letter, used) {
  const numbers = used.map((mark) => Number(new RegExp(`^${letter}(\\d+)$`, "i").exec(mark)?.[1] ?? 0));
  return `${letter}${Math.max(0, ...numbers) + 1}`;
}

// The dull parts of the last opening; never its sizes, never who it matches.
function carriedOver(last, id, room, kind) {
  const opening = { id, room, outside: {} };
  for (const name of CARRIED) if (last?.[name] !== undefined) opening[name] = last[name];
  const wanted = {};
  for (const name of CARRIED_WANTED) if (last?.wanted?.[name] !== undefined) wanted[name] = last.wanted[name];
  return { ...opening, wanted: asKind(wanted, kind) };
}
