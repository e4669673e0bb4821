// Everything about an opening that is no reading: asked one by one, each answer kept at once.

import { choice, typed } from "./answers.js";
import { SHAPES } from "./common_shapes.js";
import { el, refill } from "./dom.js";
import { houseSeen, note } from "./houses.js";
import * as keep from "./keep.js";
import { itself } from "./itself.js";
import { bareShape, shaped } from "./layout.js";
import { lostWords } from "./layout_form.js";
import { keyOf, QUESTIONS } from "./questions.js";
import { answerStop, gatesSeen, reasonList, stopsLink, stopWords } from "./stops.js";
import { openingTabs } from "./tabs.js";
import { get, same } from "./tree.js";
import { say } from "./texts.js";

const SEVERAL = ["left_fixed", "fixed_right", "left_fixed_right", "top_over_fixed"];

export async function questionsScreen(id, mark) {
  const list = el("div", { class: "questions" });
  let title = mark;
  let stops = null;

  async function refresh() {
    const house = await houseSeen(id);
    const opening = house && get(house.tree, `/openings/${mark}`);
    if (!opening) return refill(list, say("opening.not_here"));
    title = `${mark} ${opening.room}`;
    stops = stopsLink(id, opening, house.tree, (await gatesSeen(house)).gates);
    const readings = await ofTheReadings(id, mark, house.tree, refresh);
    // asked last, with nothing to wait for until the list is filled: what someone types meanwhile would be lost
    const open = document.activeElement?.closest?.("[data-question]")?.dataset.question;
    if (open && document.activeElement.tagName === "INPUT") return null;
    refill(list, readings, QUESTIONS.map((question) => [ask(id, mark, opening, question), caution(question.path, opening, house.tree)]), itself(house, opening));
    return null;
  }

  await refresh();
  return {
    get title() {
      return title;
    },
    get stops() {
      return stops;
    },
    back: { href: `/site/${id}`, text: say("back.house") },
    refresh: (which) => (which && which !== id ? null : refresh()),
    element: el("div", { class: "screen" },
      openingTabs(id, mark, "questions"), list),
  };
}

// Which face the readings are of, and with which tool they are taken: asked here, kept on this phone.
async function ofTheReadings(id, mark, tree, refresh) {
  const remember = (key) => async (value) => {
    await keep.fact(key, value);
    await refresh();
  };
  const face = (await keep.fact(`face ${id}/${mark}`)) ?? "outside";
  const tool = (await keep.fact("tool")) ?? "";
  const faces = ["outside", "inside"].map((name) => [name, say(`face.of.${name}`)]);
  const tools = [["", say("tool.usual")], ...(tree.tools ?? []).map((one) => [one.name, one.name])];
  return [
    choice(say("question.face"), { path: "face" }, face, faces, remember(`face ${id}/${mark}`)),
    tools.length > 1 && choice(say("question.tool"), { path: "tool" }, tool, tools, remember("tool")),
  ];
}

// An answer that stops order or work is answered at once, before there is a plan.
function caution(path, opening, tree) {
  const stop = answerStop(path, opening, tree);
  return stop && el("section", { class: "shut", role: "alert" }, el("h2", {}, stopWords(stop.gates)), reasonList([stop]));
}

function ask(id, mark, opening, question) {
  const value = get(opening, `/${question.path}`);
  const path = `/openings/${mark}/${question.path}`;
  const text = say(`question.${keyOf(question)}`);
  const answer = (given) => note(id, path, given);
  if (question.kind === "yes") return choice(text, question, value, [[true, say("yes")], [false, say("no")]], answer);
  if (question.choices) return choice(text, question, value, question.choices.map((word) => [word, say(`word.${word}`)]), answer);
  if (question.layouts) return layoutQuestion(text, question, value, answer, `/houses/${id}/openings/${mark}/layout#drawing-table`);
  return typed(text, question, value, answer);
}

// One light, or two or three side by side; anything finer is drawn, which needs a signal, and shown here as it is.
function layoutQuestion(text, question, value, answer, drawn) {
  const known = [...question.layouts.map((opens) => [{ opens }, say(`word.${opens}`)]), ...SEVERAL.map((name) => [SHAPES.window[name], say(`shape.${name}`)])];
  const pressed = value && known.find(([shape]) => same(bareShape(shape), bareShape(value)))?.[0];
  const all = value && !pressed ? [...known, [value, say("layout.own")]] : known;
  // what the lights held before goes along; what finds no place is named before it goes
  const take = (shape) => {
    const { layout, lost } = shaped(value ?? {}, shape);
    const what = lostWords(lost, () => "");
    if (what && !confirm(say("layout.lost_sure", { what }))) return null;
    return answer(layout);
  };
  const asked = choice(text, question, pressed ?? value, all, take);
  asked.append(el("p", {}, el("a", { class: "button", href: drawn }, say("drawing.open"))));
  return asked;
}
