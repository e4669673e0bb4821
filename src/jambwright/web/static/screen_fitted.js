// A frame as it was left: read, counted and signed at the opening, with or without signal.

import { choice, today, typed } from "./answers.js";
import { impossible, limits } from "./check.js";
import { button, el, picture, refill } from "./dom.js";
import { houseSeen, note } from "./houses.js";
import * as keep from "./keep.js";
import { figuresOf, nameOf, shown } from "./readings.js";
import { openingTabs } from "./tabs.js";
import { get } from "./tree.js";
import { say } from "./texts.js";

const OFFSETS = ["level sill", "level head", "plumb left", "plumb right"];
const DIAGONALS = ["diagonal rising", "diagonal falling"];
const GAPS = {
  left: ["top", "middle", "bottom"], right: ["top", "middle", "bottom"],
  head: ["left", "centre", "right"], bottom: ["left", "centre", "right"],
};
const USED = [
  { path: "fixings", kind: "count" }, { path: "fixing_used", kind: "words" }, { path: "foam_used", kind: "words" },
  { path: "sealant_used", kind: "words" }, { path: "glass_marks", kind: "words" },
];
const SIGNED = [{ path: "on", kind: "day" }, { path: "by", kind: "words" }, { path: "note", kind: "note", letters: 2000 }];

const MM = { kind: "figure", unit: "mm" };
const PRESSING_MS = 250;

export async function fittedScreen(id, mark) {
  const list = el("div", { class: "questions" });
  const ways = {}; // which way an offset goes that was chosen before its figure was typed
  const unkept = {}; // figures that wait for which way they go
  let title = mark;
  let last = Promise.resolve();
  const inTurn = (work) => (last = last.then(work, work)); // a way pressed right after a figure finds that figure kept

  async function refresh() {
    const house = await houseSeen(id);
    const opening = house && get(house.tree, `/openings/${mark}`);
    if (!opening) return refill(list, say("opening.not_here"));
    title = `${mark} ${opening.room}`;
    if (list.contains(document.activeElement) && document.activeElement?.tagName === "INPUT") return null; // typing
    if (list.matches(":active")) return setTimeout(refresh, PRESSING_MS); // a press that began is to end where it began
    const kept = get(house.tree, `/fitted/${mark}`) ?? {};
    const answer = (path) => (value) => note(id, `/fitted/${mark}/${path}`, value);
    const plain = (question) => typed({ ...question, ask: say(`fitted.${question.path}`) }, get(kept, `/${question.path}`), answer(question.path));
    return refill(list,
      el("p", { class: "quiet" }, say("fitted.how")),
      part("levels", [pictured("level"), pictured("plumb"), OFFSETS.map((place) => offset(place, kept))]),
      part("diagonals", [pictured("diagonal"), DIAGONALS.map((place) => typed({ ...MM, path: place, ask: capital(nameOf(place)) }, figureOf(kept, place), (mm) => read(place, mm)))]),
      part("gaps", Object.entries(GAPS).map(([side, stations]) =>
        el("fieldset", {}, el("legend", {}, say("fitted.gap_mm", { gap: say(`fitted.gap.${side}`) })), el("div", { class: "three" }, stations.map((at) =>
          typed({ ...MM, range: "fitted_gap_mm", path: `gaps_mm/${side}/${at}`, ask: capital(at) }, get(kept, `/gaps_mm/${side}/${at}`), answer(`gaps_mm/${side}/${at}`))))))),
      part("used", USED.map(plain)),
      part("signed", [button(say("fitted.today_by_me"), sign, { class: "main" }), ...SIGNED.map(plain)]));
  }

  const pictured = (kind) => picture(limits.asked.of_readings[kind], limits.asked.pictures[limits.asked.of_readings[kind]]);
  const part = (name, children) => el("section", { class: "questions" }, el("h2", {}, say(`fitted.part.${name}`)), children);

  function offset(place, kept) {
    const mm = figureOf(kept, place);
    const way = ways[place] ?? (mm ? Math.sign(mm) : null);
    const size = (given) => inTurn(() => {
      const known = ways[place] ?? way;
      delete unkept[place];
      const waits = given && !known && !impossible(place, given);
      ask.textContent = waits ? wayFirst : "";
      if (!waits) return read(place, given && given * (known ?? 1)); // without a way it can't be, and is refused
      unkept[place] = given;
      return null;
    });
    const turn = (sign) => {
      ways[place] = sign;
      return inTurn(async () => {
        const now = unkept[place] ?? figureOf(get((await houseSeen(id)).tree, `/fitted/${mark}`), place);
        delete unkept[place];
        if (now) await read(place, Math.abs(now) * sign);
        await refresh();
      });
    };
    const kind = place.split(" ")[0];
    const wayFirst = say("pad.way_first", { plus: say(`pad.${kind}.plus`), minus: say(`pad.${kind}.minus`) });
    // below the two ways: above them it would push them from under the finger
    const ask = el("p", { class: "problem", role: "alert" }, unkept[place] ? wayFirst : null);
    const shownSize = unkept[place] ?? (mm === null ? null : Math.abs(mm));
    return el("div", { class: "offset" },
      typed({ ...MM, path: place, ask: capital(nameOf(place)) }, shownSize, size),
      choice({ path: `${place} way`, ask: say("pad.which_way") }, way, [[1, say(`pad.${kind}.plus`)], [-1, say(`pad.${kind}.minus`)]], turn), ask);
  }

  async function read(place, mm) {
    const why = mm === null ? null : impossible(place, mm);
    if (why) return say(why.key, { ...why.values, read: shown([mm]), reading: nameOf(place) });
    const me = await keep.fact("me");
    const reading = mm === null ? null : { mm, who: me?.name ?? say("me.unknown"), when: new Date().toISOString() };
    await note(id, `/fitted/${mark}/outside/${place.replace(" ", "/")}`, reading, { typed: mm === null ? null : shown([mm]) });
    return null;
  }

  async function sign() {
    const me = await keep.fact("me");
    await note(id, `/fitted/${mark}/on`, today());
    await note(id, `/fitted/${mark}/by`, me?.name ?? say("me.unknown"));
  }

  await refresh();
  return {
    get title() {
      return title;
    },
    back: { href: `/site/${id}`, text: say("back.house") },
    refresh: (which) => (which && which !== id ? null : refresh()),
    element: el("div", { class: "screen" }, openingTabs(id, mark, "fitted"), list),
  };
}

const capital = (text) => text[0].toUpperCase() + text.slice(1);

function figureOf(kept, place) {
  const [figure] = figuresOf(get(kept, `/outside/${place.replace(" ", "/")}`));
  return figure ?? null;
}
