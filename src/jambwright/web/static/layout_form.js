// What is chosen on the drawing as a form: every act of the drawing with a key or a button, and what has no picture.

import { choice, typed } from "./answers.js";
import { WORDS } from "./choices.js";
import { SHAPES } from "./common_shapes.js";
import { button, el } from "./dom.js";
import { folds, isSash, isSlab, isStable, nodeAt, samePath, slides } from "./layout.js";
import { shapePicture } from "./layout_drawing.js";
import { say } from "./texts.js";

const YES_NO = () => [[true, say("yes")], [false, say("no")]];
const words = (field, ...values) => values.map((value) => [value, say(`light.${field}.${value}`)]);

// Fields of a light in the order they are asked; `opener` are those of one that opens, `hung` of one with hinges,
// `single` of one that hangs alone, `only` of one kind.
export const LIGHT_FIELDS = [
  { name: "handle_height_mm", kind: "figure", unit: "mm", opener: true, handle: true },
  { name: "open_angle_deg", kind: "figure", unit: "°", hung: true, single: true },
  { name: "fold_left", kind: "count", only: folds },
  { name: "fold_right", kind: "count", only: folds },
  { name: "lower_leaf_mm", kind: "figure", unit: "mm", only: isStable },
  { name: "lower_infill", only: isStable, choices: () => words("infill", "panel", "glass"), usual: "panel" },
  { name: "slab_glass_width_mm", kind: "figure", unit: "mm", only: isSlab },
  { name: "slab_glass_height_mm", kind: "figure", unit: "mm", only: isSlab },
  { name: "lower_sash_mm", kind: "figure", unit: "mm", only: isSash },
  { name: "horns", only: isSash, choices: () => words("horns", "none", "planted", "run_through"), usual: "none" },
  { name: "balance", only: isSash, choices: () => [[null, say("light.balance.usual")], ...words("balance", "spiral", "spiral_tilt", "cords")], usual: null },
  { name: "restrictor", opener: true, choices: () => [[false, say("no")], [true, say("light.restrictor.free")], ...words("restrictor", "key", "fixed")], usual: false },
  { name: "swing", hung: true, choices: () => words("swing", "out", "in"), usual: "out" },
  { name: "vent_mm2", kind: "figure", unit: "mm²" },
  { name: "obscure", choices: YES_NO, usual: false },
  { name: "infill", choices: () => words("infill", "glass", "panel"), usual: "glass" },
  { name: "glass", kind: "words", letters: 60 },
  { name: "leaf", hung: true, single: true, door: true, choices: () => [[null, say("light.leaf.usual")], ...words("leaf", "door", "sash")], usual: null },
  { name: "hinge", kind: "words", letters: 100, opener: true },
  { name: "obstruction_mm", kind: "figure", unit: "mm", opener: true },
];

// `act` does what is asked; `shown` is the engine's last word on the drawing.
export function chosenForm({ chosen, layout, threshold, kind, shown, act }) {
  if (chosen?.kind === "light") return lightForm(chosen.path, { layout, kind, shown, act });
  if (chosen?.kind === "bar") return barForm(chosen, { shown, act });
  return wholeForm({ kind, threshold, act });
}

function lightForm(path, { layout, kind, shown, act }) {
  const light = nodeAt(layout, path);
  const made = shown.lights.find((each) => samePath(each.path, path));
  const opens = light.opens ?? "fixed";
  const size = made?.size ? say("drawing.glass", { ...made, make: made.make_up || say("light.infill.panel") }) : "";
  return el("section", { class: "panel", "aria-label": say("drawing.chosen") },
    el("h3", {}, say("drawing.light", { mark: made?.mark ?? "", way: made?.way ?? "" })), size && el("p", { class: "quiet" }, size),
    el("div", { class: "choices" },
      button(say("drawing.cut.across"), () => act.cut(path, "across"), { "data-key": "cut across" }),
      button(say("drawing.cut.down"), () => act.cut(path, "down"), { "data-key": "cut down" })),
    el("div", {}, el("label", { for: "opens" }, say("drawing.opens")),
      el("select", { id: "opens", "data-key": "opens", onchange: (event) => act.open(path, event.target.value) },
        WORDS["wanted/layout"].map(([way, name]) => el("option", { value: way, selected: way === opens }, name)))),
    LIGHT_FIELDS.filter((field) => has(field, opens, kind)).map((field) => lightField(field, light, (value) => act.change(path, field.name, value))),
    button(say("drawing.done"), () => act.choose(null), { "data-key": "done" }));
}

// Whether a light that opens so, in a window or door, has that field.
function has(field, opens, kind) {
  if (field.only) return field.only(opens);
  if (field.single && folds(opens)) return false;
  if (field.handle && isSash(opens)) return false;
  if (field.hung && (opens === "fixed" || slides(opens))) return false;
  return (!field.opener || opens !== "fixed") && (!field.door || kind === "door");
}

function lightField(field, light, answer) {
  const text = say(`light.${field.name}`);
  const question = { path: field.name, kind: field.kind, ask: text, unit: field.unit, letters: field.letters };
  if (field.choices) return choice(question, light[field.name] ?? field.usual, field.choices(), answer);
  return typed(question, light[field.name] ?? null, answer);
}

function barForm({ path, index }, { shown, act }) {
  const split = shown.splits.find((each) => samePath(each.path, path));
  const at = Math.round(split.places_mm[index] * 10) / 10;
  const place = { path: "bar_place", kind: "figure", unit: "mm", ask: say(`drawing.at.${split.way}`) };
  return el("section", { class: "panel", "aria-label": say("drawing.chosen") },
    el("h3", {}, say(`drawing.bar.${split.way}`)),
    typed(place, at, (mm) => (mm === null ? say("drawing.at.needed") : act.moved({ path, index }, mm - split.places_mm[index]))),
    el("div", { class: "choices" },
      button(say("drawing.even.sight"), () => act.even(path, "sight"), { "data-key": "even sight" }),
      button(say("drawing.even.glass"), () => act.even(path, "glass"), { "data-key": "even glass" }),
      button(say("drawing.remove"), () => act.remove({ path, index }), { "data-key": "remove" })),
    button(say("drawing.done"), () => act.choose(null), { "data-key": "done" }));
}

function wholeForm({ kind, threshold, act }) {
  const thresholds = WORDS["wanted/threshold"].map(([word]) => [word, say(`drawing.threshold.${word}`)]);
  return el("section", { class: "panel", "aria-label": say("drawing.whole") },
    el("p", {}, say("drawing.how")),
    kind === "door" && choice({ path: "threshold", ask: say("drawing.threshold") }, threshold, thresholds, act.threshold),
    el("h3", {}, say("drawing.start")),
    el("div", { class: "shapes" }, Object.entries(SHAPES[kind]).map(([name, shape]) =>
      el("button", { type: "button", class: "shape", "data-key": `shape ${name}`, onclick: () => act.shape(shape) }, shapePicture(shape), el("span", {}, say(`shape.${name}`))))));
}

// Fields that found no place, in words: `A: handle height 900; B: ventilator 4000`.
export function lostWords(lost, markOf) {
  return lost.filter((each) => each.fields.length).map(({ path, fields }) =>
    `${markOf(path)}${fields.map(([name, value]) => lostField(name, value)).join(", ")}`).join("; ");
}

function lostField(name, value) {
  const field = LIGHT_FIELDS.find((each) => each.name === name);
  const word = field?.choices?.().find(([each]) => each === value)?.[1] ?? value;
  return say(`light.held.${name}`, { value: word });
}
