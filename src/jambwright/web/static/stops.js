// What stops the order and the work: by the latest plan as last heard, and at once by an answer that stops them.
// Words and reasons are the plan's own; those of an answer come with the limits, from the same tables.

import { limits } from "./check.js";
import { el } from "./dom.js";
import { queued } from "./houses.js";
import * as keep from "./keep.js";
import { get, split } from "./tree.js";
import { say } from "./texts.js";

export const GATES = ["ordering", "work"];
export const LAST_HEARD = "last heard";
export const gatesKey = (house) => `gates ${house}`;

// What a frame was read as once it was fitted is in no plan.
const inPlan = ({ path }) => !path?.startsWith("/fitted/");

// The gates of a house as this phone knows them; `changed` when its readings are no longer those of the plan, or that
// has not been heard yet.
export async function gatesSeen(house) {
  const known = await keep.fact(gatesKey(house.id));
  const gates = known?.version ? known : null;
  const waiting = (await queued(house.id)).some(inPlan);
  const heard = [known?.at, await keep.fact(LAST_HEARD)].filter(Boolean).sort().at(-1);
  return {
    gates, unreadable: known?.latest === false, heard,
    changed: gates !== null && (gates.changed || gates.of !== house.version || waiting),
  };
}

// What an answer to a question stops by itself, unless a named person or paper has settled it.
export function answerStop(path, opening, tree) {
  const stop = limits.stopping[path]?.[get(opening, `/${path}`)];
  const cleared = [...(opening.cleared ?? []), ...(tree.cleared ?? [])];
  const settles = ({ what }) => what === stop.name || what === stop.rule || stop.rule.startsWith(`${what}.`);
  return stop && !cleared.some(settles) ? stop : null;
}

// Both gates of an opening: {reasons: {ordering, work}, ordered, instead, planned}.
export function stopsOf(opening, tree, gates) {
  const planned = gates?.openings[opening.id];
  const reasons = Object.fromEntries(GATES.map((name) => [name, [...(planned?.stops[name] ?? [])]]));
  for (const path of Object.keys(limits.stopping)) {
    const stop = answerStop(path, opening, tree);
    for (const name of stop?.gates ?? []) {
      if (!reasons[name].some((reason) => reason.say === stop.say)) reasons[name].unshift(stop);
    }
  }
  return { reasons, ordered: planned?.ordered ?? false, instead: planned?.instead ?? [], planned: Boolean(planned) };
}

const capital = (text) => text && text[0].toUpperCase() + text.slice(1);

export const stopWords = (shut) => capital(shut.map((name) => limits.shut[name]).join("; "));

// "Do not order yet; do not start yet", empty where nothing is shut.
export function stopLine({ reasons, ordered }) {
  return stopWords(GATES.filter((name) => reasons[name].length && !(name === "ordering" && ordered)));
}

// The same as a link for the top of an opening's screens.
export function stopsLink(house, opening, tree, gates) {
  const text = stopLine(stopsOf(opening, tree, gates));
  return text ? { text, href: `/site/${house}/${opening.id}/stops` } : null;
}

// Where a field is filled in: an opening's on this phone, all else on the form at the desk.
export function placeHref(house, path) {
  const [root, mark, ...rest] = split(path);
  const at = rest.join("/");
  if (root !== "openings") return `/houses/${house}/form#f${encodeURI(path)}`;
  if (at.startsWith("outside") || at.startsWith("inside")) return `/site/${house}/${mark}`;
  if (at.split("/")[0] === "delivered") return `/site/${house}/${mark}/delivered`;
  const asked = [...limits.asked.first, ...Object.values(limits.asked.rest).flat()].some((question) => question.path === at);
  return asked ? `/site/${house}/${mark}/questions#${at}` : `/houses/${house}/form?at=/openings/${mark}#f${encodeURI(path)}`;
}

const reasonLine = (house) => ({ word, say: found, opens, whose, places = [] }) =>
  el("li", {}, whose && `${whose}: `, el("span", { class: "tag" }, say(`verdict.${word}`)), " ", found, " ", el("strong", {}, opens),
    places.map((place) => [" ", el("a", { class: "fill", href: placeHref(house, place.path) }, `${say("form.settle")}: ${place.words}`)]));

export const reasonList = (house, reasons) => el("ul", { class: "reasons" }, reasons.map(reasonLine(house)));

// An answer that stops order or work is answered at once, before there is a plan.
export function caution(path, opening, tree) {
  const stop = answerStop(path, opening, tree);
  return stop && el("section", { class: "shut", role: "alert" }, el("h2", {}, stopWords(stop.gates)), reasonList("", [stop]));
}

// Which plan this is by, whether it still holds, and how old the news is when there is no signal.
export function planLine({ gates, changed, unreadable, heard }, signal) {
  const lines = [
    gates ? say("plan.made", { when: gates.made.slice(0, 16).replace("T", " "), who: gates.who, version: gates.version }) : !unreadable && say("plan.none"),
    unreadable && el("strong", {}, say("plan.unreadable")),
    changed && el("strong", {}, say("plan.outdated")),
    signal === false && heard && el("strong", {}, say("stops.heard", { ago: ago(heard) })),
  ].filter(Boolean);
  return el("p", { class: "plan-line" }, lines.flatMap((line) => [line, " "]));
}

function ago(when) {
  const minutes = Math.max(0, Math.round((Date.now() - Date.parse(when)) / 60000));
  if (minutes < 1) return say("ago.now");
  if (minutes < 60) return say("ago.minutes", { n: minutes });
  const hours = Math.round(minutes / 60);
  return hours < 48 ? say("ago.hours", { n: hours }) : say("ago.days", { n: Math.round(hours / 24) });
}

// The gates of one opening, each with all its reasons.
export function openingGates(house, stops) {
  const words = (name) => (name === "ordering" && stops.ordered ? say("stops.ordered") : capital(limits.shut[name]));
  return GATES.map((name) =>
    stops.reasons[name].length
      ? el("section", { class: "shut" }, el("h2", {}, words(name)), reasonList(house, stops.reasons[name]), name === "ordering" && stops.instead.map((line) => el("p", {}, line)))
      : stops.planned && el("p", { class: "go" }, name === "ordering" && stops.ordered ? say("stops.ordered") : say(`stops.none.${name}`)));
}

// The gates of a house: how many stop the order and the work, and under a press which and why.
export function houseGates(house, gates) {
  const openings = house.tree.openings ?? [];
  return GATES.map((name) => {
    const own = openings.map((opening) => ({ opening, reasons: stopsOf(opening, house.tree, gates).reasons[name].filter((reason) => !reason.whose) }));
    const gone = Object.entries(gates?.openings ?? {}).filter(([mark]) => !openings.some((opening) => opening.id === mark))
      .map(([mark, { stops }]) => ({ mark, reasons: stops[name].filter((reason) => !reason.whose) }));
    const list = [{ reasons: gates?.house[name] ?? [] }, ...own, ...gone].filter(({ reasons }) => reasons.length);
    if (!list.length) return gates && el("p", { class: "go" }, say(`stops.none.${name}`));
    return el("details", { class: "shut", "data-gate": name }, el("summary", {}, say(`stops.${name}`, { n: list.length })), list.map((each) => [
      each.opening ? el("a", { class: "whose", href: `/site/${house.id}/${each.opening.id}/stops` }, `${each.opening.id} ${each.opening.room}`)
        : el("p", { class: "whose" }, each.mark ? `${each.mark}: ${say("plan.gone_tag")}` : null),
      reasonList(house.id, each.reasons)]));
  });
}
