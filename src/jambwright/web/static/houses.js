// A house as the person holding the phone sees it: as last heard from the server, with what is not sent on top.

import * as keep from "./keep.js";
import { put, get, same } from "./tree.js";

export const changed = new EventTarget();
export const tell = (what) => changed.dispatchEvent(new CustomEvent("change", { detail: what }));

const whole = (house) => ({ ...house.survey, fitted: house.fitted ?? {} });

export async function queued(house) {
  const entries = await keep.all("queue");
  return house ? entries.filter((entry) => entry.house === house) : entries;
}

function seen(known, entries) {
  const mine = entries.filter((entry) => entry.house === known.id && entry.path && entry.state === "waiting");
  return { ...known, tree: mine.reduce((tree, entry) => put(tree, entry.path, entry.value), whole(known)) };
}

export async function houseSeen(id) {
  const known = await keep.get("houses", id);
  return known ? seen(known, await queued(id)) : null;
}

export async function housesSeen() {
  const [known, entries] = await Promise.all([keep.all("houses"), queued()]);
  return known.map((house) => seen(house, entries));
}

// Note a change: first on the phone, then whoever listens (the sender among them) is told.
export async function note(house, path, value, more = {}) {
  const seen = await houseSeen(house);
  const was = more.was !== undefined ? more.was : get(seen.tree, path);
  if (same(was, value) && !more.settles) return;
  await keep.put("queue", {
    id: keep.newId(), house, path, was, value, at: new Date().toISOString(), state: "waiting", ...more,
  });
  tell({ house });
}

export async function addHouse(label, practice) {
  const id = keep.newId(8);
  const survey = { jambwright: 1, site: { label }, openings: [] };
  await keep.put("houses", { id, label, practice, version: 0, survey, marks: {}, fitted: {} });
  await keep.put("queue", { id: keep.newId(), house: id, label, practice, state: "waiting" });
  tell({ house: id });
  return id;
}

// Take in what the server says; a house not yet known there is kept.
export async function heard(house) {
  await keep.put("houses", house);
  tell({ house: house.id });
}
