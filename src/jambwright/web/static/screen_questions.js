// Everything about an opening that is no reading: asked one by one, each answer kept at once.

import { choice, today, typed } from "./answers.js";
import { limits } from "./check.js";
import { WORDS } from "./choices.js";
import { SHAPES } from "./common_shapes.js";
import { el, refill } from "./dom.js";
import { houseSeen, note } from "./houses.js";
import * as keep from "./keep.js";
import { itself } from "./itself.js";
import { bareShape, shaped } from "./layout.js";
import { lostWords } from "./layout_form.js";
import { canSpeak, speaks, switchTo } from "./spoken.js";
import { caution, gatesSeen, stopsLink } from "./stops.js";
import { openingTabs } from "./tabs.js";
import { get, join, same } from "./tree.js";
import { say } from "./texts.js";

const SEVERAL = ["left_fixed", "fixed_right", "left_fixed_right", "top_over_fixed"];

export async function questionsScreen(id, mark) {
  const list = el("div", { class: "questions" });
  const drafts = {};
  let title = mark;
  let stops = null;
  let led = !location.hash;

  async function refresh() {
    const house = await houseSeen(id);
    const opening = house && get(house.tree, `/openings/${mark}`);
    if (!opening) return refill(list, say("opening.not_here"));
    title = `${mark} ${opening.room}`;
    stops = stopsLink(id, opening, house.tree, (await gatesSeen(house)).gates);
    const readings = await ofTheReadings(id, mark, house.tree, refresh);
    // asked last, with nothing to wait for until the list is filled: what someone types meanwhile would be lost
    const active = document.activeElement;
    if (active?.closest("[data-question]") && active.tagName === "INPUT") return null;
    const ask = asker(id, mark, opening, house.tree, drafts, refresh);
    const asked = (question) => [ask(question), caution(question.path, opening, house.tree)];
    const unfolded = [...list.querySelectorAll("details[open]")].map((one) => one.dataset.part);
    refill(list, readings, limits.asked.first.map(asked),
      Object.entries(limits.asked.rest).map(([part, questions]) => el("details", { class: "more", "data-part": part, open: unfolded.includes(part) },
        el("summary", {}, say("form.more", { part: say(`form.opening.${part}`) })), questions.filter((one) => isAskedOf(opening, one)).map(asked))),
      itself(house, opening), el("a", { class: "button", href: `/houses/${id}/form?at=/openings/${mark}` }, say("form.whole")));
    if (!led) setTimeout(toAsked); // after the screen was scrolled to its top
    return null;
  }

  // The question that the address names, unfolded and in sight, once.
  function toAsked() {
    led = true;
    const asked = [...list.querySelectorAll("[data-question]")].find((one) => one.dataset.question === decodeURIComponent(location.hash.slice(1)));
    if (!asked) return;
    asked.closest("details")?.setAttribute("open", "");
    asked.scrollIntoView({ block: "center" });
    asked.querySelector("input, button").focus({ preventScroll: true });
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

// What only doors have is asked of a window just where something stands already.
const isAskedOf = (opening, question) =>
  !question.of_doors || opening.wanted?.kind === "door" || get(opening, `/${question.path}`) !== null;

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
    choice({ path: "face", ask: say("question.face") }, face, faces, remember(`face ${id}/${mark}`)),
    tools.length > 1 && choice({ path: "tool", ask: say("question.tool") }, tool, tools, remember("tool")),
    canSpeak() && choice({ path: "speak", ask: say("question.speak") }, speaks(), [[true, say("yes")], [false, say("no")]], async (on) => {
      await switchTo(on);
      await refresh();
    }),
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
    typed({ path: "check/known_mm", kind: "figure", unit: "mm", ask: say("check.known") }, known, remember),
    typed({ path: "check/read_mm", kind: "figure", unit: "mm", ask: say("check.read", { tool: tool.name }) }, read.length === 1 ? read[0] : null, keepCheck),
    check && el("p", {}, say(`check.${way}`, { tool: tool.name, mm: Math.abs(off).toFixed(1), on: check.on })),
    check && choice({ path: "check/correct", ask: say("check.correct") }, check.correct ?? false, [[true, say("yes")], [false, say("no")]],
      (correct) => note(id, path, { ...check, correct })),
  ];
}

// What stands before an opening's group can be kept: /flue needs to know which appliance first.
const groupOf = (path) => Object.keys(limits.asked.needs).find((group) => path.startsWith(`${group}/`));

function asker(id, mark, opening, tree, drafts, refresh) {
  return function ask(question) {
    const group = groupOf(question.path);
    const begun = group && !get(opening, `/${group}`);
    const key = question.path.split("/").at(-1);
    const value = begun ? drafts[group]?.[key] ?? null : get(opening, `/${question.path}`);
    const answer = async (given) => {
      if (given !== null && question.names === "openings" && !(tree.openings ?? []).some((one) => one.id === given)) return say("question.no_opening", { mark: given });
      if (!begun) return note(id, `/openings/${mark}/${startOf(question.path, opening)}`, startedWith(question.path, opening, tree, given));
      const draft = { ...drafts[group], [key]: given };
      drafts[group] = Object.fromEntries(Object.entries(draft).filter(([, one]) => one !== null));
      if (!lacks(group, drafts).length) return note(id, `/openings/${mark}/${group}`, drafts[group]);
      await refresh();
      return heldBack(group, drafts);
    };
    const waits = begun && value !== null && el("p", { class: "problem", role: "status" }, heldBack(group, drafts));
    const drawn = `/houses/${id}/openings/${mark}/layout#drawing-table`;
    return [control(question, value, answer, drawn), waits];
  };
}

const lacks = (group, drafts) => limits.asked.needs[group].filter((name) => !(name in drafts[group]));
const heldBack = (group, drafts) => say("form.held", { needs: lacks(group, drafts).map((name) => labelOf(`${group}/${name}`)).join(", ") });

function control(question, value, answer, drawn) {
  if (question.kind === "yes") return choice(question, value, [[true, say("yes")], [false, say("no")]], answer);
  if (question.kind === "layout") return layoutQuestion(question, value, answer, drawn);
  if (question.choices.length) return choice(question, value, question.choices, answer);
  return typed(question, value, answer);
}

const labelOf = (path) => Object.values(limits.asked.rest).flat().find((one) => one.path === path)?.ask ?? path;

// A group of its own starts as the house's usual one: what was not answered stays as usual there.
const copied = (path, opening) => Object.keys(limits.asked.copies).find((group) => path.startsWith(`${group}/`) && !get(opening, `/${group}`));
const startOf = (path, opening) => copied(path, opening) ?? path;
function startedWith(path, opening, tree, given) {
  const group = copied(path, opening);
  return group ? { ...get(tree, limits.asked.copies[group]), [path.split("/").at(-1)]: given } : given;
}

// One light, or two or three side by side; anything finer is drawn, which needs a signal, and shown here as it is.
function layoutQuestion(question, value, answer, drawn) {
  const known = [...WORDS[question.path].map(([opens, name]) => [{ opens }, name]), ...SEVERAL.map((name) => [SHAPES.window[name], say(`shape.${name}`)])];
  const pressed = value && known.find(([shape]) => same(bareShape(shape), bareShape(value)))?.[0];
  const all = value && !pressed ? [...known, [value, say("layout.own")]] : known;
  // what the lights held before goes along; what finds no place is named before it goes
  const take = (shape) => {
    const { layout, lost } = shaped(value ?? {}, shape);
    const what = lostWords(lost, () => "");
    if (what && !confirm(say("layout.lost_sure", { what }))) return null;
    return answer(layout);
  };
  const asked = choice(question, pressed ?? value, all, take);
  asked.append(el("p", {}, el("a", { class: "button", href: drawn }, say("drawing.open"))));
  return asked;
}
