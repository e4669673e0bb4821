// An ordered unit as it came: gone through before anybody signs for it, with what was ordered beside every question.
// What was ordered and what is allowed are the plan's own, as last heard; what is wrong is told at once.

import { choice, today, typed } from "./answers.js";
import { limits } from "./check.js";
import { button, el, fixed, refill } from "./dom.js";
import { awaitsDelivery } from "./done.js";
import { houseSeen, note } from "./houses.js";
import * as keep from "./keep.js";
import { gatesSeen, stopsLink } from "./stops.js";
import { openingTabs } from "./tabs.js";
import { get } from "./tree.js";
import { say } from "./texts.js";

const ALWAYS = ["on", "by", "damage", "remake/reason", "remake/promised_on"];
const LOOSE = "glass_";
const PRESSING_MS = 250;

export async function deliveredScreen(id, mark) {
  const list = el("div", { class: "questions" });
  let title = mark;
  let stops = null;

  async function refresh() {
    const house = await houseSeen(id);
    const opening = house && get(house.tree, `/openings/${mark}`);
    if (!opening) return refill(list, say("opening.not_here"));
    title = `${mark} ${opening.room}`;
    const { gates } = await gatesSeen(house);
    stops = stopsLink(id, opening, house.tree, gates);
    if (!awaitsDelivery(opening)) return refill(list, el("p", { class: "quiet" }, say("delivered.not_ordered")));
    if (list.contains(document.activeElement) && document.activeElement?.tagName === "INPUT") return null; // typing
    if (list.matches(":active")) return setTimeout(refresh, PRESSING_MS); // a press that began is to end where it began
    const unfolded = [...list.querySelectorAll("details[open]")].map((one) => one.dataset.part);
    const listed = gates?.openings[mark]?.delivery ?? null;
    const kept = opening.delivered ?? {};
    const ask = asker(id, mark, kept, listed);
    const named = (light, name) => ({ ...light, path: `lights/${name}/${light.path}` });
    const wrong = listed ? listed.looks.filter((look) => wrongWords(look, kept, listed)).length : 0;
    return refill(list,
      el("p", {}, el("strong", {}, say("delivered.before_signing")), " ", say("delivered.how")),
      !listed && el("p", { class: "problem" }, say("delivered.no_limits")),
      wrong ? el("section", { class: "shut", role: "status" }, el("h2", {}, say("delivered.wrong_so_far", { n: wrong })), el("p", {}, say("delivered.do_not_sign"))) : null,
      part("frame", limits.asked.delivered.frame.map(ask)),
      part("parts", limits.asked.delivered.parts.map(ask)),
      (listed?.lights ?? []).map((light) => {
        const asked = limits.asked.delivered.light.map((one) => named(one, light.mark));
        const loose = asked.filter((one) => one.path.split("/").at(-1).startsWith(LOOSE)).map(ask).filter(Boolean);
        return el("section", { class: "questions" }, el("h2", {}, say("delivered.part.glass", { mark: light.mark })), el("p", { class: "quiet" }, light.make_up),
          asked.filter((one) => !one.path.split("/").at(-1).startsWith(LOOSE)).map(ask),
          loose.length ? el("details", { class: "more", "data-part": light.mark, open: unfolded.includes(light.mark) }, el("summary", {}, say("delivered.loose")), loose) : null);
      }),
      part("damage", limits.asked.delivered.damage.map(ask)),
      el("a", { class: "button", href: `/site/${id}/${mark}/photos` }, say("delivered.photo")),
      part("signed", [button(say("delivered.today_by_me"), sign, { class: "main" }), limits.asked.delivered.signed.map(ask)]),
      part("remake", [el("p", { class: "quiet" }, say("delivered.remake_how")), limits.asked.delivered.remake.map(ask),
        kept.remake ? button(say("delivered.new_one"), beginAgain) : null]));
  }

  const part = (name, children) => el("section", { class: "questions" }, el("h2", {}, say(`delivered.part.${name}`)), children);

  async function sign() {
    const me = await keep.fact("me");
    await note(id, `/openings/${mark}/delivered/on`, today());
    await note(id, `/openings/${mark}/delivered/by`, me?.name ?? say("me.unknown"));
  }

  // What was found of the first one stays in the history of the house.
  async function beginAgain() {
    if (confirm(say("delivered.new_one_sure"))) await note(id, `/openings/${mark}/delivered`, null);
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
    element: el("div", { class: "screen" }, openingTabs(id, mark, "delivered"), list),
  };
}

// One question with what was ordered; nothing where this unit has no such thing.
function asker(id, mark, kept, listed) {
  return (question) => {
    const look = listed?.looks.find((one) => one.path === question.path);
    if (listed && !look && !ALWAYS.includes(question.path)) return null;
    const value = get(kept, `/${question.path}`);
    const told = { ...question, help: [look && say("delivered.ordered", { what: look.allowed }), question.help].filter(Boolean).join(" ") };
    const answer = (given) => note(id, `/openings/${mark}/delivered/${question.path}`, given);
    const words = look && wrongWords(look, kept, listed);
    return [control(told, value, answer), words && el("p", { class: "problem", role: "alert", "data-wrong": question.path }, words)];
  };
}

function control(question, value, answer) {
  if (question.kind === "yes") return choice(question, value, [[true, say("yes")], [false, say("no")]], answer);
  if (question.choices.length) return choice(question, value, question.choices, answer);
  return typed(question, value, answer);
}

// Why an answer is not as ordered, by the plan's limits; empty where it is, or nobody looked.
function wrongWords(look, kept, listed) {
  const value = get(kept, `/${look.path}`);
  if (value === null || value === "not_looked") return "";
  if (look.right !== null) return value === look.right ? "" : say("delivered.not_as_ordered", { what: look.allowed });
  if (look.least_mm !== null) {
    if (value >= look.least_mm && value <= look.most_mm) return "";
    return exchanged(kept, listed) && ["width_mm", "height_mm"].includes(look.path) ? say("delivered.exchanged") : say("delivered.out", { read: fixed(value), what: look.allowed });
  }
  const apart = Math.abs((kept.rising_mm ?? NaN) - (kept.falling_mm ?? NaN));
  return apart > listed.diagonals_mm ? say("delivered.apart", { apart: fixed(apart), most: fixed(listed.diagonals_mm) }) : "";
}

function exchanged(kept, listed) {
  const of = (path) => listed.looks.find((look) => look.path === path);
  const fits = (value, look) => value >= look.least_mm && value <= look.most_mm;
  return fits(kept.width_mm ?? NaN, of("height_mm")) && fits(kept.height_mm ?? NaN, of("width_mm"));
}
