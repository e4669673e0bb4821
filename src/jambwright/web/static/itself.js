// The opening itself: window or door, its mark and room, and taking it away.

import { choice, typed } from "./answers.js";
import { limits } from "./check.js";
import { WORDS } from "./choices.js";
import { button, el } from "./dom.js";
import { heard, note, queued } from "./houses.js";
import * as keep from "./keep.js";
import { places, taken } from "./readings.js";
import { send } from "./send.js";
import { ask, NoSignal, Refusal } from "./server.js";
import { join } from "./tree.js";
import { say } from "./texts.js";

// What is wanted of a window means nothing for a door, and the other way.
const OF_ITS_KIND = ["layout", "profile", "sill", "threshold"];
export const MARK = "[A-Za-z0-9_\\-]{1,16}";

const go = (path) => document.dispatchEvent(new CustomEvent("go", { detail: path }));

// A door that nothing is said of begins as one: a leaf hung at one side, in a profile made for doors.
export function asKind(wanted, kind) {
  const same = (wanted?.kind ?? "window") === kind;
  const kept = Object.entries(wanted ?? {}).filter(([name]) => same || !OF_ITS_KIND.includes(name));
  return { ...(kind === "door" ? limits.new_door : {}), ...Object.fromEntries(kept), kind };
}

export const markTaken = (openings, mark) => openings.find((opening) => opening.id.toLowerCase() === mark.toLowerCase());

export function itself(house, opening) {
  const { id } = house;
  const mark = opening.id;
  const kind = opening.wanted?.kind ?? "window";

  async function turn(to) {
    const lost = OF_ITS_KIND.some((name) => opening.wanted?.[name] !== undefined);
    if (to === kind || (lost && !confirm(say("itself.turn_sure")))) return;
    await note(id, `/openings/${mark}/wanted`, asKind(opening.wanted, to));
  }

  async function room(value) {
    if (!value) return say("itself.needs_room");
    return note(id, `/openings/${mark}/room`, value);
  }

  async function takeAway() {
    const n = places.filter((place) => taken(opening.outside)[place] || taken(opening.inside)[place]).length;
    if (!confirm(say("itself.away_sure", { mark, n }))) return;
    await note(id, join("openings", mark), null);
    go(`/site/${id}`);
  }

  return el("section", { class: "questions", "data-question": "itself" }, el("h2", {}, say("itself.title")),
    choice({ path: "wanted/kind", ask: say("itself.kind") }, kind, WORDS["wanted/kind"], turn),
    typed({ path: "room", ask: say("house.room"), kind: "words", letters: 40 }, opening.room, room),
    typed({ path: "id", ask: say("house.mark"), kind: "words", letters: 16 }, mark, (to) => remark(house, mark, to)),
    button(say("itself.away", { mark }), takeAway, { class: "away" }));
}

// Another mark is given where everything is kept: readings, photos and frame as fitted go along in one step.
async function remark(house, mark, to) {
  const others = house.tree.openings.filter((opening) => opening.id !== mark);
  if (to === mark) return null;
  if (!new RegExp(`^${MARK}$`).test(to ?? "")) return say("itself.no_mark");
  if (markTaken(others, to)) return say("house.mark_taken", { mark: to });
  await send();
  const own = (path) => path?.startsWith(`/openings/${mark}/`) || path === `/openings/${mark}` || path?.startsWith(`/fitted/${mark}/`);
  const photos = (await keep.all("photos")).filter((photo) => photo.house === house.id && photo.mark === mark);
  if ((await queued(house.id)).some((entry) => own(entry.path)) || photos.some((photo) => photo.state !== "sent")) return say("itself.send_first");
  try {
    const after = await ask("POST", `/api/houses/${house.id}/openings/${mark}/rename`, { id: to });
    for (const photo of photos) await keep.put("photos", { ...photo, mark: to });
    await heard(after);
  } catch (error) {
    if (error instanceof NoSignal) return say("itself.send_first");
    if (error instanceof Refusal) return error.message;
    throw error;
  }
  go(`/site/${house.id}/${to}/questions`);
  return null;
}
