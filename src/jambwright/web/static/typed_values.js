// What stands in a control of a form, as the readings file holds it.

import { say } from "./texts.js";

export class NoValue extends Error {
  /** @type {Element | undefined} where it was typed */
  control;
}

const FIGURE = /^[-+]?(\d+(\.\d*)?|\.\d+)(e[-+]?\d+)?$/i;

function figure(text, whole) {
  const plain = text.trim().replace(",", ".");
  if (!FIGURE.test(plain) || (whole && !/^[-+]?\d+$/.test(plain))) throw new NoValue(say(whole ? "form.no_count" : "question.no_number", { given: text }));
  return Number(plain);
}

// Null where nothing is typed; throws NoValue with the sentence where it can't be read.
export function valueOf(control) {
  const { kind } = control.dataset;
  if (kind === "several") {
    const chosen = [...control.querySelectorAll("input:checked")].map((box) => JSON.parse(box.value));
    return chosen.length ? chosen : null;
  }
  const text = control.value.trim();
  if (!text) return null;
  if ("listed" in control.dataset) return JSON.parse(text);
  if (kind === "figure" || kind === "count") return figure(text, kind === "count");
  if (kind === "lines") return text.split("\n").map((line) => line.trim()).filter(Boolean);
  if (kind !== "figures") return text;
  const repeated = "repeated" in control.dataset;
  const figures = text.split(repeated ? /[\s/]+/ : /[\s;,]+/).filter(Boolean).map((one) => figure(one, false));
  return repeated && figures.length === 1 ? figures[0] : figures;
}
