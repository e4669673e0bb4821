// Two people changed the same thing: both are shown, a person says which holds, nothing is thrown away.

import { button, el } from "./dom.js";
import * as keep from "./keep.js";
import { note, tell } from "./houses.js";
import { figuresOf, nameOf, taken } from "./readings.js";
import { split } from "./tree.js";
import { say } from "./texts.js";

const isReading = (path) => /^\/(openings|fitted)\/[^/]+\/(outside|inside)\/\w+\/\w+$/.test(path);

export function spoken(path) {
  const keys = split(path);
  if (keys[0] === "fitted" && keys.length > 2) return `${keys[1]} ${say("opening.fitted")}: ${spokenPart(keys)}`;
  if (isReading(path) && keys[0] === "openings") return `${keys[1]} ${nameOf(`${keys[3]} ${keys[4]}`)}`;
  return keys.join(" › ");
}

function spokenPart(keys) {
  if (keys[2] === "outside" && keys.length === 5) return nameOf(`${keys[3]} ${keys[4]}`);
  if (keys[2] === "gaps_mm" && keys.length === 5) return `${say(`fitted.gap.${keys[3]}`)}, ${keys[4]}`;
  return keys.length === 3 ? say(`fitted.${keys[2]}`) : keys.slice(2).join(" › ");
}

export function worded(path, value) {
  if (value === null || value === undefined) return say("clash.nothing");
  if (isReading(path)) {
    const who = value.who ? ` (${value.who})` : "";
    return `${figuresOf(value).join(", ")} mm${who}`;
  }
  if (/^\/openings\/[^/]+$/.test(path)) return say("clash.opening", { n: Object.keys(taken(value.outside)).length });
  return typeof value === "object" ? JSON.stringify(value) : String(value);
}

export function clashCard(entry) {
  const both = () => {
    const mine = typeof entry.value === "object" ? entry.value : {};
    return { ...mine, mm: [...figuresOf(entry.theirs), ...figuresOf(entry.value)] };
  };
  const choices = [
    button(say("clash.theirs", { value: worded(entry.path, entry.theirs) }), () => settle(entry, entry.theirs)),
    button(say("clash.mine", { value: worded(entry.path, entry.value) }), () => settle(entry, entry.value)),
  ];
  if (isReading(entry.path) && entry.theirs !== null && entry.value !== null) {
    choices.push(button(say("clash.both"), () => settle(entry, both())));
  }
  return el("section", { class: "clash", role: "alert" }, el("h2", {}, say("clash.title", { what: spoken(entry.path) })),
    el("p", {}, say("clash.why")), el("div", { class: "choices" }, choices));
}

async function settle(entry, value) {
  await keep.remove("queue", entry.n);
  await note(entry.house, entry.path, value, { was: entry.theirs, settles: entry.id });
  tell({ house: entry.house });
}
