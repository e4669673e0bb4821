// The page on which a layout is drawn: what is drawn, the engine's word on it, steps there and back, and keeping it.

import { el, onPage, refill } from "./dom.js";
import * as layouts from "./layout.js";
import { layoutDrawing, marked } from "./layout_drawing.js";
import { chosenForm, lostWords } from "./layout_form.js";
import { keepOne, takeBackOne } from "./one_change.js";
import { ask, NoSignal, Refusal } from "./server.js";
import { same } from "./tree.js";
import { say } from "./texts.js";

const AGAINST = ["fails", "worse"];
const page = onPage("#drawing-table");
/** @type {(id: string) => any} */
const find = (id) => document.getElementById(id);
const { house, mark } = page.dataset;
const ways = JSON.parse(page.dataset.ways);
let asked = JSON.parse(page.dataset.wanted);
const kind = asked.kind ?? "window";
const may = page.dataset.may === "yes";
const at = `/api/houses/${house}/openings/${mark}`;

const start = () => ({ layout: asked.layout ?? {}, threshold: asked.threshold ?? "standard" });
let steps = new layouts.Steps(start());
let chosen = null;
let shown = null; // the engine's last word on a drawing that can be made
let first = null; // and its word on the layout as it is kept
let wrong = []; // why the present one can't be made
let drawing = null;
let kept = null;

// Shown to who waits for it: how much is under way.
let under = 0;
function busy(more) {
  under += more;
  page.toggleAttribute("data-busy", under > 0);
}

// One question to the engine at a time; of those that come meanwhile only the last is asked.
let asking = false;
let waiting = null;
async function look(layout, show) {
  if (asking) {
    waiting?.drop();
    return new Promise((resolve) => {
      waiting = { go: () => look(layout, show).then(resolve), drop: resolve };
    });
  }
  asking = true;
  busy(1);
  try {
    const found = await ask("POST", `${at}/look`, { wanted: wantedOf(layout).wanted });
    wrong = [];
    shown = found;
    first ??= found;
    show();
  } catch (error) {
    wrong = error instanceof Refusal ? error.problems.map((problem) => problem.say) : [say("drawing.no_signal")];
    if (!(error instanceof Refusal || error instanceof NoSignal)) throw error;
    if (shown) showWords();
    else refill(find("wrong"), wrong.map((text) => el("li", {}, text)));
  } finally {
    asking = false;
    const next = waiting;
    waiting = null;
    next?.go();
    busy(-1);
  }
  return null;
}

const wantedOf = ({ layout, threshold }) => layouts.wantedWith(asked, layout, threshold);
const dirty = () => !same(wantedOf(steps.now).wanted, wantedOf(start()).wanted);

function took(now, lost = [], also = "") {
  const named = lostWords(lost, (path) => (marked(shown, path) ? `${marked(shown, path)}: ` : ""));
  steps.take(now);
  tell([named && say("drawing.lost", { what: named }), also].filter(Boolean).join(" "));
  return look(steps.now, showAll);
}

const tell = (text) => {
  find("said").textContent = text;
};

const act = {
  choose(what) {
    const again = what && chosen && what.kind === chosen.kind && layouts.samePath(what.path, chosen.path) && what.index === chosen.index;
    chosen = again ? null : what;
    showAll();
  },
  hinge(path, side) {
    const light = layouts.nodeAt(steps.now.layout, path);
    act.open(path, layouts.nextAt(light, side, ways));
  },
  open(path, way) {
    const { layout, lost } = layouts.openLight(steps.now.layout, path, way);
    return took({ ...steps.now, layout }, lost);
  },
  async change(path, name, value) {
    const { layout } = layouts.changeLight(steps.now.layout, path, name, value);
    await took({ ...steps.now, layout });
    return wrong.join(" ");
  },
  // In the middle, or at `place` mm from the frame's left or top edge.
  cut: (path, way, place) => sent(async () => {
    const layout = layouts.splitLight(steps.now.layout, path, way);
    const bar = layouts.newBar(path, way);
    chosen = { kind: "bar", ...bar };
    await took({ ...steps.now, layout });
    const split = shown.splits.find((each) => layouts.samePath(each.path, bar.path));
    if (place === undefined || wrong.length || !split || steps.now.layout !== layout) return;
    const by = Math.round(place / 5) * 5 - split.places_mm[bar.index];
    steps.now = { ...steps.now, layout: layouts.moveBar(layout, bar.path, bar.index, split.sizes_mm, by) };
    await look(steps.now, showAll);
  }),
  moving({ path, index }, by) {
    const layout = movedBy(path, index, by);
    look({ ...steps.now, layout }, () => {
      drawing.repaint(shown);
      showWords();
    });
  },
  async moved({ path, index }, by) {
    const layout = movedBy(path, index, by);
    chosen = { kind: "bar", path, index };
    await took({ ...steps.now, layout });
    return wrong.join(" ");
  },
  async even(path, alike) {
    const before = steps.now;
    await sent(async () => {
      const { shares } = await ask("POST", `${at}/even`, { wanted: wantedOf(before).wanted, path, alike });
      // drawn on meanwhile: what was asked for is no more
      if (steps.now === before) await took({ ...before, layout: layouts.evenParts(before.layout, path, shares) });
    });
  },
  remove({ path, index }) {
    const { layout, lost } = layouts.removeBar(steps.now.layout, path, index);
    chosen = null;
    return took({ ...steps.now, layout }, lost);
  },
  shape(shape) {
    const { layout, lost } = layouts.shaped(steps.now.layout, shape);
    chosen = null;
    return took({ ...steps.now, layout }, lost);
  },
  threshold(threshold) {
    return took({ ...steps.now, threshold });
  },
};

// From the places the bars had when they were last drawn whole.
let whole = null;
function movedBy(path, index, by) {
  const split = whole.splits.find((each) => layouts.samePath(each.path, path));
  return layouts.moveBar(steps.now.layout, path, index, split.sizes_mm, by);
}

function showAll() {
  if (!shown) return;
  /** @type {any} */
  const active = document.activeElement;
  const focused = active?.dataset.key ?? active?.id;
  whole = shown;
  if (!stillThere(chosen)) chosen = null;
  drawing = layoutDrawing(find("drawing"), { shown, chosen, tools: may && !shown.ordered, act });
  if (may && !shown.ordered) refill(find("chosen"), chosenForm({ chosen, ...steps.now, kind, shown, act }));
  showWords();
  const again = focused && (document.querySelector(`[data-key="${CSS.escape(focused)}"]`) ?? find(focused));
  if (again && again !== document.activeElement) again.focus({ preventScroll: true });
}

function stillThere(what) {
  if (what?.kind === "light") return shown.lights.some((each) => layouts.samePath(each.path, what.path));
  return what && shown.splits.some((each) => layouts.samePath(each.path, what.path) && what.index in each.places_mm);
}

function showWords() {
  const gone = wantedOf(steps.now).gone;
  find("back-step").disabled = !steps.before.length;
  find("again-step").disabled = !steps.after.length;
  find("keep-layout").disabled = !may || shown.ordered || wrong.length > 0 || !dirty();
  refill(find("wrong"), [...wrong, ...(gone.length ? [say("drawing.declared_gone")] : []), ...(shown.ordered ? [say("drawing.ordered", { mark })] : []),
    ...(shown.missing.length ? [say("drawing.not_read", { what: shown.missing.join(", ") })] : [])].map((text) => el("li", {}, text)));
  refill(find("sizes"), shown.figures.map((one) => el("div", {}, el("dt", {}, say(`figure.${one.key}`)), el("dd", {}, `${one.text} ${one.unit}`))));
  refill(find("lights"), shown.lights.filter((light) => light.size).map((light) => el("tr", {}, el("th", { scope: "row" }, light.mark), el("td", {}, light.way),
    el("td", { class: "number" }, light.size), el("td", {}, light.make_up), el("td", { class: "number" }, light.kg))));
  find("glasses").hidden = !shown.figures.length;
  find("limits").hidden = !shown.figures.length;
  const before = new Set((first?.verdicts ?? []).map(({ rule, word, why }) => `${rule} ${word} ${AGAINST.includes(word) ? "" : why}`));
  const line = (verdict) => el("li", {}, el("span", { class: `verdict ${verdict.word}` }, say(`verdict.${verdict.word}`)), " ", el("strong", {}, verdict.asks), " ", verdict.why,
    !before.has(`${verdict.rule} ${verdict.word} ${AGAINST.includes(verdict.word) ? "" : verdict.why}`) && el("span", { class: "tag" }, say("drawing.new")));
  const broken = shown.verdicts.filter((verdict) => AGAINST.includes(verdict.word));
  const rest = shown.verdicts.filter((verdict) => !AGAINST.includes(verdict.word));
  find("broken-word").textContent = broken.length ? say("drawing.broken", { n: broken.length }) : say("drawing.none_broken");
  find("broken-word").className = broken.length ? "problems" : "go";
  refill(find("broken"), broken.map(line));
  find("rest-word").textContent = say("drawing.rest", { n: rest.length });
  refill(find("rest"), rest.map(line));
  refill(find("kept"), kept && !dirty() && [say("drawing.kept"), " ", el("button", { type: "button", onclick: takeBack }, say("drawing.take_back"))]);
}

function step(way) {
  steps[way]();
  tell("");
  return look(steps.now, showAll);
}

find("back-step").addEventListener("click", () => step("back"));
find("again-step").addEventListener("click", () => step("again"));
find("keep-layout").addEventListener("click", () => keep());
document.addEventListener("keydown", (/** @type {any} */ event) => {
  if (!(event.ctrlKey || event.metaKey) || event.target.matches?.("input, textarea")) return;
  const way = { z: event.shiftKey ? "again" : "back", y: "again" }[event.key.toLowerCase()];
  if (!way) return;
  event.preventDefault();
  step(way);
});

// Kept as one change of the readings, so that one undo takes all of it back; never before it is known that it can be made.
async function keep() {
  await look(steps.now, showAll);
  if (wrong.length) return;
  const { wanted } = wantedOf(steps.now);
  const differ = [...new Set([...Object.keys(wanted), ...Object.keys(asked)])].filter((name) => !same(wanted[name], asked[name]));
  const one = differ.length === 1 && Object.keys(asked).length;
  const [was, value] = one ? [asked[differ[0]] ?? null, wanted[differ[0]] ?? null] : [Object.keys(asked).length ? asked : null, wanted];
  await sent(async () => {
    const done = await keepOne(house, `/openings/${mark}/wanted${one ? `/${differ[0]}` : ""}`, was, value);
    kept = done.id;
    await restart(done.house);
  });
}

function takeBack() {
  return sent(async () => {
    const back = await takeBackOne(house, kept);
    kept = null;
    await restart(back);
    tell(say("drawing.taken_back"));
  });
}

async function sent(work) {
  busy(1);
  try {
    await work();
  } catch (error) {
    if (error instanceof Refusal) wrong = error.problems.map((problem) => problem.say);
    else if (error instanceof NoSignal) wrong = [say("drawing.no_signal")];
    else throw error;
    showWords();
  } finally {
    busy(-1);
  }
}

// From what is kept now; the change was this page's own, so nobody need be told of it.
function restart(found) {
  onPage("main").dataset.version = found.version;
  asked = found.survey.openings.find((opening) => opening.id === mark)?.wanted ?? {};
  steps = new layouts.Steps(start());
  chosen = null;
  first = null;
  return look(steps.now, showAll);
}

addEventListener("resize", showAll);
addEventListener("beforeunload", (event) => dirty() && event.preventDefault());
await look(steps.now, showAll);
if (location.hash) page.scrollIntoView();
page.dataset.ready = "";
