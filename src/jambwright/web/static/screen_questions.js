// Everything about an opening that is no reading: asked one by one, each answer kept at once.

import { choice, today, typed } from "./answers.js";
import { limits } from "./check.js";
import { el, refill } from "./dom.js";
import { houseSeen, note } from "./houses.js";
import * as keep from "./keep.js";
import { itself } from "./itself.js";
import { keyOf, QUESTIONS } from "./questions.js";
import { answerStop, gatesSeen, reasonList, stopsLink, stopWords } from "./stops.js";
import { openingTabs } from "./tabs.js";
import { get, join, same } from "./tree.js";
import { say } from "./texts.js";

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
    await ofTheCheck(id, (tree.tools ?? []).find((one) => one.name === (tool || tree.defaults?.tape)), refresh),
  ];
}

// The tape against a length that is known, at the day's start; its readings are corrected only once that is accepted.
async function ofTheCheck(id, tool, refresh) {
  if (!tool || limits.no_lengths.includes(tool.kind)) return null;
  const path = join("tools", tool.name, "check");
  const check = tool.check ?? null;
  const known = (await keep.fact(`known ${id}/${tool.name}`)) ?? check?.known_mm ?? 1000;
  const me = await keep.fact("me");
  const read = [check?.read_mm ?? []].flat();
  const off = read.length ? read.reduce((sum, mm) => sum + mm, 0) / read.length - check.known_mm : 0;
  const way = off < 0 ? "short" : "long";
  const remember = async (mm) => {
    await keep.fact(`known ${id}/${tool.name}`, mm);
    await refresh();
  };
  const keepCheck = (mm) => {
    if (mm !== null && Math.abs(mm - known) > limits.check_farthest_mm) return say("check.far", { known, most: limits.check_farthest_mm });
    return note(id, path, mm === null ? null : { known_mm: known, read_mm: mm, on: today(), ...(me?.name ? { by: me.name } : {}) });
  };
  return [
    typed(say("check.known"), { path: "check/known_mm", kind: "mm" }, known, remember),
    typed(say("check.read", { tool: tool.name }), { path: "check/read_mm", kind: "mm" }, read.length === 1 ? read[0] : null, keepCheck),
    check && el("p", {}, say(`check.${way}`, { tool: tool.name, mm: Math.abs(off).toFixed(1), on: check.on })),
    check && choice(say("check.correct"), { path: "check/correct" }, check.correct ?? false, [[true, say("yes")], [false, say("no")]],
      (correct) => note(id, path, { ...check, correct })),
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
  if (question.layouts) return choice(text, question, value, layouts(question.layouts, value), answer);
  return typed(text, question, value, answer);
}

// One light, or two or three side by side; anything finer is drawn up at the desk and shown here as it is.
function layouts(words, value) {
  const single = words.map((opens) => [{ opens }, say(`word.${opens}`)]);
  const several = [
    [{ across: [{ opens: "side_hung_left" }, { opens: "fixed" }] }, say("layout.left_fixed")],
    [{ across: [{ opens: "fixed" }, { opens: "side_hung_right" }] }, say("layout.fixed_right")],
    [{ across: [{ opens: "side_hung_left" }, { opens: "fixed" }, { opens: "side_hung_right" }] }, say("layout.left_fixed_right")],
    [{ down: [{ opens: "top_hung", share: 1 }, { opens: "fixed", share: 2 }] }, say("layout.top_over_fixed")],
  ];
  const known = [...single, ...several];
  return value && !known.some(([layout]) => same(layout, value)) ? [...known, [value, say("layout.own")]] : known;
}
