// Sending in the background: everything in the queue, again and again until the server has answered for it.

import * as keep from "./keep.js";
import { ask, me, NoSignal, Refusal } from "./server.js";
import { changed, heard, queued, tell } from "./houses.js";
import { gatesKey, LAST_HEARD } from "./stops.js";
import { same } from "./tree.js";

const EVERY_MS = 10000;
const AT_ONCE = 100;
// Refused for what it is (gone, of another house, too large, wrong), not for who sends it or when: the rest goes on.
const SET_ASIDE = [404, 409, 413, 422];

export const state = { signal: null, letIn: true }; // null: nobody has been asked yet
let running = null;
let again = false;

export function send() {
  if (running) {
    again = true;
    return running;
  }
  running = alone(sendAll).finally(() => {
    running = null;
    if (again) {
      again = false;
      send();
    }
  });
  return running;
}

// Two tabs of one phone take turns where the browser can arrange it; the server takes a change once anyway.
function alone(work) {
  return navigator.locks ? navigator.locks.request("jambwright-send", work) : work();
}

async function sendAll() {
  try {
    const unsent = (await queued()).filter((e) => e.label !== undefined && e.state === "waiting");
    for (const entry of unsent) await sendHouse(entry);
    const left = await queued();
    const held = new Set(left.filter((e) => e.label !== undefined).map((e) => e.house)); // refused: nothing of it goes there
    const waiting = left.filter((entry) => entry.path && entry.state === "waiting" && !held.has(entry.house));
    for (const house of new Set(waiting.map((entry) => entry.house))) {
      await sendChanges(house, waiting.filter((entry) => entry.house === house).slice(0, AT_ONCE));
    }
    again ||= waiting.length > AT_ONCE;
    const photos = (await keep.all("photos")).filter((p) => p.state === "waiting" && !held.has(p.house));
    for (const photo of photos) await sendPhoto(photo);
    // where nothing was sent nobody answered, and nothing is known of the signal
    if (unsent.length || waiting.length || photos.length) mark({ signal: true, letIn: true });
  } catch (error) {
    if (error instanceof NoSignal) mark({ signal: false });
    else if (error instanceof Refusal && error.status === 401) mark({ signal: true, letIn: false });
    else if (error instanceof Refusal) mark({ signal: true });
    else throw error;
  }
}

function mark(now) {
  const before = JSON.stringify(state);
  Object.assign(state, now);
  if (JSON.stringify(state) !== before) tell({ state: true });
}

async function sendHouse(entry) {
  const body = { id: entry.house, label: entry.label, practice: entry.practice };
  try {
    await heard(await ask("POST", "/api/houses", body));
    await keep.remove("queue", entry.n);
  } catch (error) {
    if (!(error instanceof Refusal) || !SET_ASIDE.includes(error.status)) throw error;
    await keep.put("queue", { ...entry, state: "refused", problems: error.problems });
    tell({ house: entry.house });
  }
}

async function sendChanges(house, entries) {
  const changes = entries.map(({ id, path, was, value, at, typed, settles }) => ({ id, path, was, value, at, typed, settles }));
  let answer;
  try {
    answer = await ask("POST", `/api/houses/${house}/changes`, { device: await keep.device(), changes });
  } catch (error) {
    // refused as a whole (the house is gone, or it may not be changed): set aside, shown, never dropped
    if (!(error instanceof Refusal) || !SET_ASIDE.includes(error.status)) throw error;
    for (const entry of entries) await keep.put("queue", { ...entry, state: "refused", problems: error.problems });
    tell({ house });
    return;
  }
  for (const outcome of answer.outcomes) {
    const entry = entries.find((one) => one.id === outcome.id);
    if (outcome.outcome === "clash") await keep.put("queue", { ...entry, state: "clash", theirs: outcome.before });
    else if (outcome.outcome === "refused") {
      await keep.put("queue", { ...entry, state: "refused", problems: outcome.problems });
    } else await keep.remove("queue", entry.n);
  }
  await heard(answer.house);
  const { plan } = (await keep.fact(gatesKey(house))) ?? {};
  if (plan) await hearGates({ id: house, plan, version: answer.house.version });
}

// One that the server has already goes no second time: only its new marks do.
async function sendPhoto(photo) {
  const at = `/api/houses/${photo.house}/photos/${photo.id}`;
  const form = new FormData();
  form.set("file", new File([photo.body], "photo.jpg", { type: photo.type }));
  for (const name of ["mark", "caption", "at"]) form.set(name, photo[name]);
  form.set("drawn", JSON.stringify(photo.drawn));
  form.set("shows", JSON.stringify(photo.shows ?? []));
  try {
    if (photo.there) await ask("PATCH", at, { shows: photo.shows });
    else await ask("PUT", at, form);
    const now = (await keep.get("photos", photo.id)) ?? photo; // a mark may have been added meanwhile
    await keep.put("photos", { ...now, state: same(now.shows ?? [], photo.shows ?? []) ? "sent" : "waiting", there: true });
  } catch (error) {
    if (!(error instanceof Refusal) || !SET_ASIDE.includes(error.status)) throw error;
    await keep.put("photos", { ...photo, state: "refused", problems: error.problems });
  }
  tell({ house: photo.house });
}

// Fetch what changed on the server: the list, and the houses that are on this phone.
export async function fetchHouses() {
  try {
    const lines = await ask("GET", "/api/houses");
    const unsent = new Set((await queued()).filter((e) => e.label !== undefined).map((e) => e.house));
    for (const known of await keep.all("houses")) {
      if (!unsent.has(known.id) && !lines.some((line) => line.id === known.id)) await letGo(known.id);
    }
    for (const line of lines) {
      const known = await keep.get("houses", line.id);
      if (!known || known.version < line.version) await heard(await ask("GET", `/api/houses/${line.id}`));
      await hearGates(line);
    }
    await keep.fact(LAST_HEARD, new Date().toISOString());
    mark({ signal: true, letIn: true });
  } catch (error) {
    if (error instanceof NoSignal) mark({ signal: false });
    else if (error instanceof Refusal && error.status === 401) mark({ letIn: false });
    else throw error;
  }
}

// A new plan leaves the house at its version, so it is known by its own name; a new version may leave the plan as it is.
async function hearGates({ id, plan, version }) {
  const known = await keep.fact(gatesKey(id));
  if ((known?.plan ?? null) === plan && (!plan || known.of === version)) return;
  await keep.fact(gatesKey(id), { ...(await ask("GET", `/api/houses/${id}/gates`)), at: new Date().toISOString() });
  tell({ house: id });
}

async function letGo(house) {
  if ((await queued(house)).length) return; // something typed is still to be shown to someone
  await keep.remove("houses", house);
  await keep.remove("facts", gatesKey(house));
  tell({ house });
}

export async function start() {
  changed.addEventListener("change", (/** @type {any} */ { detail }) => detail.house && send());
  addEventListener("online", () => send().then(fetchHouses));
  addEventListener("offline", () => mark({ signal: false }));
  document.addEventListener("visibilitychange", () => document.hidden || send());
  setInterval(() => document.hidden || send().then(fetchHouses), EVERY_MS);
  try {
    await keep.fact("me", await me());
    mark({ signal: true, letIn: true });
  } catch (error) {
    if (error instanceof NoSignal) mark({ signal: false });
    else if (error instanceof Refusal && error.status === 401) mark({ letIn: false });
    else throw error;
  }
  await send();
  await fetchHouses();
}
