// What could be ordered instead: the opening as it is and as it would be, side by side; one press orders it.

import { afresh } from "./afresh.js";
import { button, el, onPage, refill } from "./dom.js";
import { ask, NoSignal, Refusal } from "./server.js";
import { say } from "./texts.js";

const AGAINST = ["fails", "worse"];
const place = onPage("#instead");
const { house, mark, may } = place.dataset;

// At the version that was shown, then the page anew.
async function order(number, version, told) {
  try {
    await ask("POST", `/api/houses/${house}/proposals`, { opening: mark, number }, { "If-Match": `"${version}"` });
    history.scrollRestoration = "manual";
    location.hash = "taken"; // where it is told, and taken back
    afresh();
  } catch (error) {
    const problems = error instanceof Refusal ? error.problems.map((problem) => problem.say) : error instanceof NoSignal && [say("sent.no_signal")];
    if (!problems) throw error;
    refill(told, el("ul", { class: "problems" }, problems.map((text) => el("li", {}, text))));
  }
}

function picture(drawn) {
  const root = document.importNode(new DOMParser().parseFromString(drawn.drawing.svg, "image/svg+xml").documentElement, true);
  root.removeAttribute("width");
  root.removeAttribute("height");
  root.setAttribute("role", "img");
  return root;
}

const broken = (drawn) => drawn.verdicts.filter((verdict) => AGAINST.includes(verdict.word));

function side(title, drawn, other) {
  const figures = drawn.figures.map((one, n) => el("div", { class: one.text === other.figures[n]?.text ? "" : "differs" },
    el("dt", {}, say(`figure.${one.key}`)), el("dd", {}, `${one.text} ${one.unit}`)));
  return el("figure", {}, el("figcaption", {}, title), picture(drawn), el("dl", { class: "figures" }, figures),
    el("ul", { class: "verdicts" }, broken(drawn).map((verdict) => el("li", {}, el("span", { class: `verdict ${verdict.word}` }, say(`verdict.${verdict.word}`)), " ", verdict.asks))),
    !broken(drawn).length && el("p", { class: "go" }, say("drawing.none_broken")));
}

function choice(each, before, version) {
  const told = el("div", { role: "alert" });
  const act = () => order(each.number, version, told);
  return el("article", { class: "panel" }, el("h4", {}, each.say),
    el("div", { class: "sides" }, side(say("instead.before"), before, each.after), side(say("instead.after"), each.after, before)),
    may === "yes" && button(say("instead.order"), act, { class: "main", "aria-label": say("instead.order_this", { what: each.say }) }), told);
}

try {
  const { version, before, instead } = await ask("GET", `/api/houses/${house}/openings/${mark}/instead`);
  if (instead.length) refill(place, el("h3", {}, say("instead.title", { n: instead.length })), el("p", { class: "quiet" }, say("instead.how")), instead.map((each) => choice(each, before, version)));
  else refill(place);
} catch (error) {
  if (!(error instanceof Refusal || error instanceof NoSignal)) throw error;
  refill(place, el("p", { class: "state fail", role: "alert" }, error instanceof Refusal ? error.message : say("sent.no_signal")));
}
place.dataset.ready = "";
