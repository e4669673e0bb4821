// One question, one answer: something to press, or something to type.

import { limits } from "./check.js";
import { button, el, picture } from "./dom.js";
import { same } from "./tree.js";
import { say } from "./texts.js";

const FIGURES = ["figure", "count"];
const helped = (question) => [
  question.help && el("p", { class: "quiet help", id: `h-${question.path}` }, question.help),
  question.picture && picture(question.picture, limits.asked.pictures[question.picture]),
];

// The day by this phone's clock, as the survey writes it.
export function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, "0")).join("-");
}

export function choice(question, value, choices, answer) {
  const wrong = el("p", { class: "problem", role: "alert" });
  const chosen = async (word) => { wrong.textContent = (await answer(word)) ?? ""; };
  return el("fieldset", { "data-question": question.path }, el("legend", {}, question.ask), helped(question),
    el("div", { class: "choices" }, choices.map(([word, name]) =>
      button(name, () => chosen(word), { "aria-pressed": String(same(word, value)) }))), wrong);
}

// Why a figure can't be, by the engine's own range for its field; empty where it can.
function beyond(question, figure) {
  const named = limits.ranges[question.range ?? question.path.split("/").at(-1)];
  const [least, most, why] = named ?? [question.least ?? -Infinity, question.most ?? Infinity, ""];
  if (figure >= least && figure <= most) return "";
  if (why) return say("question.beyond", { given: figure, least, most, why });
  if (least === -Infinity) return say("question.over", { given: figure, most });
  return most === Infinity ? say("question.under", { given: figure, least }) : say("question.outside", { given: figure, least, most });
}

// Why a text can't be, as far as a phone can tell; the server looks at it in full.
function unlike(question, text) {
  const known = limits.texts[question.path.split("/").at(-1)];
  if (known && !new RegExp(`^(?:${known.pattern})$`, "i").test(text)) return say("question.unlike", { given: text, how: known.say });
  return question.pattern && !new RegExp(question.pattern).test(text) ? say("question.unlike", { given: text, how: question.help ?? "" }) : "";
}

// `answer(value)` is called with what was typed, null when it was taken away; what it returns is a fault to show.
export function typed(question, value, answer) {
  const number = FIGURES.includes(question.kind);
  const input = el("input", {
    id: `q-${question.path}`, value: value ?? "", autocomplete: "off", maxlength: number ? 15 : question.letters ?? 120,
    type: question.kind === "day" ? "date" : "text", inputmode: question.kind === "count" ? "numeric" : number ? "decimal" : "text",
    onchange: take, "aria-describedby": `e-${question.path}`,
  });
  const wrong = el("p", { class: "problem", id: `e-${question.path}`, role: "alert" });
  async function take() {
    const given = input.value.trim().replace(number ? "," : "", number ? "." : "");
    const fits = question.kind === "count" ? /^\d+$/ : /^\d+(\.\d+)?$/;
    wrong.textContent = whyNot() || ((await answer(!given ? null : number ? Number(given) : given)) ?? "");
    function whyNot() {
      if (!given) return "";
      if (!number) return unlike(question, given);
      return fits.test(given) ? beyond(question, Number(given)) : say("question.no_number", { given });
    }
  }
  return el("div", { class: "question", "data-question": question.path }, el("label", { for: `q-${question.path}` }, question.ask), helped(question),
    el("div", { class: "with-unit" }, input, question.unit && el("span", { class: "unit" }, question.unit)), wrong);
}
