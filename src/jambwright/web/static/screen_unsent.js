// What has not been sent yet, what needs a decision, and what was refused.

import { button, el, refill } from "./dom.js";
import { clashCard, spoken, worded } from "./clash.js";
import { queued, tell } from "./houses.js";
import * as keep from "./keep.js";
import { send, state } from "./send.js";
import { say } from "./texts.js";

export async function unsentScreen() {
  const element = el("div", { class: "screen" });

  async function refresh() {
    const entries = await queued();
    const photos = (await keep.all("photos")).filter((photo) => photo.state !== "sent");
    const waiting = [...entries.filter((entry) => entry.state === "waiting"), ...photos.filter((photo) => photo.state === "waiting")];
    refill(element, 
      el("p", {}, say(!state.letIn ? "unsent.not_let_in" : state.signal === null ? "unsent.asking" : state.signal ? "unsent.signal" : "unsent.no_signal")),
      isSecureContext ? null : el("p", { class: "quiet" }, say("unsent.kept_open")),
      entries.filter((entry) => entry.state === "clash").map(clashCard),
      [...entries, ...photos].filter((entry) => entry.state === "refused").map(refusedCard),
      el("ul", { class: "cards" }, waiting.map((entry) => el("li", { class: "card" }, line(entry)))),
      waiting.length ? button(say("unsent.send_now"), () => send(), { class: "main" }) : el("p", { class: "quiet" }, say("unsent.none")));
  }

  await refresh();
  return { title: say("unsent.title"), back: { href: "/site", text: say("back.houses") }, refresh, signal: refresh, element };
}

function line(entry) {
  if (entry.body) return say("unsent.photo", { mark: entry.mark });
  if (entry.label !== undefined) return say("unsent.house", { label: entry.label });
  return `${spoken(entry.path)}: ${worded(entry.path, entry.value)}`;
}

function refusedCard(entry) {
  return el("section", { class: "clash" }, el("h2", {}, line(entry)),
    el("ul", {}, (entry.problems ?? []).map((problem) => el("li", {}, problem.say))),
    el("div", { class: "choices" },
      button(say("unsent.again"), () => again(entry), { class: "main" }), button(say("unsent.drop"), () => drop(entry))));
}

// A house that is not to be sent goes with all that waits for it.
async function dropHouse(house) {
  for (const one of await queued(house)) await keep.remove("queue", one.n);
  for (const photo of await keep.all("photos")) if (photo.house === house) await keep.remove("photos", photo.id);
  await keep.remove("houses", house);
}

async function again(entry) {
  const store = entry.body ? "photos" : "queue";
  // a refused change was answered under its old number; as a new one it is looked at anew
  await keep.put(store, { ...entry, id: entry.body ? entry.id : keep.newId(), state: "waiting" });
  tell({ house: entry.house });
}

async function drop(entry) {
  if (!confirm(say("unsent.sure"))) return;
  if (entry.label !== undefined) await dropHouse(entry.house);
  else await keep.remove(entry.body ? "photos" : "queue", entry.body ? entry.id : entry.n);
  tell({ house: entry.house });
}
