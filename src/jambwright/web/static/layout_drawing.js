// The drawing as the engine made it, with what can be touched laid over it: lights, hinge sides and bars.
// A line drawn through a light puts a bar there. True mm in frame coordinates: x from the left, y from the bottom.

import { pressable, refill, svg } from "./dom.js";
import { folds, isSash, isStable, partsOf, samePath, slides, splitWay } from "./layout.js";
import { say } from "./texts.js";

const TOUCH_PX = 44;
const STROKE_PX = 12;
const LEAST_OF_LIGHT = 0.35;
const LEAST_PART_MM = 80;
const STEP_MM = { drag: 5, key: 1, far: 10 };
const SIDES = ["left", "right", "top", "bottom"];

const keyOf = (kind, path, index = "") => `${kind}:${path.join(".")}:${index}`;

// `act` takes what was done: choose, hinge, cut, moving, moved, remove. `tools` is false where nothing may be changed.
// It is put into `holder` first: how large a finger is on the drawing is known only once it is on the screen.
export function layoutDrawing(holder, { shown, chosen, tools, act }) {
  const { left_mm: left, top_mm: top, unit_mm: unit } = shown.drawing;
  /** @type {any} */
  const picture = fromServer(shown.drawing.svg);
  const [, , wide, high] = picture.getAttribute("viewBox").split(" ").map(Number);
  const place = {
    x: (mm) => (mm - left) / unit,
    y: (mm) => (top - mm) / unit,
    size: (mm) => mm / unit,
    box: (rect) => ({ x: (rect.x_mm - left) / unit, y: (top - rect.y_mm - rect.height_mm) / unit, width: rect.width_mm / unit, height: rect.height_mm / unit }),
  };
  const behind = svg("g", { class: "behind", "aria-hidden": "true" }, ...picture.childNodes);
  const over = svg("g", { class: "over" });
  const root = svg("svg", { viewBox: `0 0 ${wide} ${high}`, class: "layout-drawing", role: "group", "aria-label": say("drawing.label") }, behind, over);
  refill(holder, root);
  const screen = { perPx: () => 1 / root.getScreenCTM().a, at: (event) => pointIn(root, event) };
  for (const light of shown.lights) over.append(lightArea(light, { place, chosen, tools, act, screen }));
  if (tools) for (const split of shown.splits) over.append(...barsOf(split, { shown, place, chosen, act, screen }));
  if (tools) strokes(root, over, { shown, place, act, screen });
  return {
    // while a bar is dragged only the picture behind it is made anew
    repaint(next) {
      behind.replaceChildren(...fromServer(next.drawing.svg).childNodes);
    },
  };
}

function fromServer(text) {
  const root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  root.querySelector("title")?.remove();
  return document.importNode(root, true);
}

function pointIn(root, event) {
  const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(root.getScreenCTM().inverse());
  return [point.x, point.y];
}

// Pressed by pointer when it is lifted where it went down; by key or by a screen reader as a button is.
const touched = (act) => ({ ...pressable(act), onpress: act });

function lightArea(light, { place, chosen, tools, act, screen }) {
  const box = place.box(light.sight);
  const here = chosen?.kind === "light" && samePath(chosen.path, light.path);
  const area = svg("rect", {
    ...box, class: here ? "light chosen" : "light", "data-key": keyOf("light", light.path),
    "aria-label": say("drawing.light", { mark: light.mark, way: light.way }), "aria-pressed": String(here),
    ...touched(() => act.choose({ kind: "light", path: light.path })),
  });
  if (!here || !tools) return area;
  return svg("g", {}, area, SIDES.map((side) => hingeSide(side, light, box, act, screen)));
}

// A strip along one side of the chosen light: touched, the light hangs there.
function hingeSide(side, light, box, act, screen) {
  const deep = Math.min(TOUCH_PX * screen.perPx(), 0.3 * Math.min(box.width, box.height));
  const upright = side === "left" || side === "right";
  const strip = upright
    ? { x: side === "left" ? box.x : box.x + box.width - deep, y: box.y + deep, width: deep, height: box.height - 2 * deep }
    : { x: box.x + deep, y: side === "top" ? box.y : box.y + box.height - deep, width: box.width - 2 * deep, height: deep };
  const [cx, cy] = [strip.x + strip.width / 2, strip.y + strip.height / 2];
  const [long, thick] = [Math.min(0.5 * (upright ? strip.height : strip.width), 2.2 * deep), 0.28 * deep];
  const sign = upright
    ? { x: cx - thick / 2, y: cy - long / 2, width: thick, height: long }
    : { x: cx - long / 2, y: cy - thick / 2, width: long, height: thick };
  return svg("g", {
    class: "side", "data-key": keyOf(side, light.path), "aria-label": say(`drawing.side.${side}`, { mark: light.mark }),
    ...touched(() => act.hinge(light.path, side)),
  }, svg("rect", { ...strip, class: "strip" }), svg("rect", { ...sign, rx: thick / 2, class: "sign" }));
}

function barsOf(split, context) {
  return split.places_mm.map((at, index) => bar(split, index, at, context));
}

function bar(split, index, at, { shown, place, chosen, act, screen }) {
  const upright = split.way === "across";
  const here = chosen?.kind === "bar" && chosen.index === index && samePath(chosen.path, split.path);
  const [least, most] = [at - split.sizes_mm[index] + LEAST_PART_MM, at + split.sizes_mm[index + 1] - LEAST_PART_MM];
  const box = place.box(split.rect);
  const centre = upright ? place.x(at) : place.y(shown.outer.height_mm - at);
  const wide = TOUCH_PX * screen.perPx() * 0.8;
  const area = upright
    ? { x: centre - wide / 2, y: box.y, width: wide, height: box.height }
    : { x: box.x, y: centre - wide / 2, width: box.width, height: wide };
  const line = upright ? `M${centre} ${box.y}V${box.y + box.height}` : `M${box.x} ${centre}H${box.x + box.width}`;
  const pick = { kind: "bar", path: split.path, index };
  const moved = (to) => Math.max(least, Math.min(most, to)) - at;
  const keyed = { pick, at, to: Math.round(at), moved, act };
  const group = svg("g", {
    class: here ? "bar-between chosen" : "bar-between", role: "slider", tabindex: 0, "data-key": keyOf("bar", split.path, index),
    "aria-label": say(`drawing.bar.${split.way}`), "aria-orientation": upright ? "horizontal" : "vertical",
    "aria-valuemin": Math.round(least), "aria-valuemax": Math.round(most), "aria-valuenow": Math.round(at),
    "aria-valuetext": say(`drawing.place.${split.way}`, { mm: Math.round(at) }),
    onkeydown: (event) => barKey(event, keyed),
  }, svg("rect", { ...area, class: "grip" }), svg("path", { d: line, class: "line" }));
  dragging(group, { upright, place, pick, at, moved, act, screen });
  return group;
}

// A key held down is quicker than the drawing: each goes on from where the one before wanted the bar.
function barKey(event, keyed) {
  const { pick, at, to, moved, act } = keyed;
  const far = event.shiftKey ? STEP_MM.far : STEP_MM.key;
  const step = { ArrowLeft: -far, ArrowUp: -far, ArrowRight: far, ArrowDown: far }[event.key];
  if (step) {
    const by = moved(to + step);
    keyed.to = at + by;
    act.moved(pick, by);
  } else if (event.key === "Delete" || event.key === "Backspace") act.remove(pick);
  else if (event.key === "Enter" || event.key === " ") act.choose(pick);
  else return;
  event.preventDefault();
}

function dragging(group, { upright, place, pick, at, moved, act, screen }) {
  let from = null;
  let by = 0;
  group.addEventListener("pointerdown", (event) => {
    group.setPointerCapture(event.pointerId);
    from = screen.at(event);
    by = 0;
    event.stopPropagation();
  });
  group.addEventListener("pointermove", (event) => {
    if (!from) return;
    const [x, y] = screen.at(event);
    const far = upright ? x - from[0] : y - from[1];
    if (Math.abs(far) < 4 * screen.perPx() && !by) return;
    by = moved(Math.round((at + far / place.size(1)) / STEP_MM.drag) * STEP_MM.drag);
    group.setAttribute("transform", upright ? `translate(${place.size(by)} 0)` : `translate(0 ${place.size(by)})`);
    act.moving(pick, by);
  });
  const end = (done) => () => {
    if (!from) return;
    from = null;
    if (by && done) act.moved(pick, by);
    else act.choose(pick);
  };
  group.addEventListener("pointerup", end(true));
  group.addEventListener("pointercancel", end(false));
}

// A line drawn through a light, more level or more upright, is a bar in its place; without a line it is a press.
// A browser may keep back the click of a touch that follows a line at once, so presses are told here, and clicks not again.
let told = -1; // outlives the drawing, which a press may make anew before its click comes
function strokes(root, over, { shown, place, act, screen }) {
  let stroke = null;
  root.addEventListener("click", (event) => told >= 0 && event.timeStamp - told < 50 && event.stopPropagation(), true);
  root.addEventListener("pointerdown", (event) => {
    const [x, y] = screen.at(event);
    const light = shown.lights.find(({ sight }) => inside(place.box(sight), x, y));
    if (light && event.isPrimary) stroke = { light, from: [x, y], line: null, id: event.pointerId, on: event.target.closest("[data-key]") };
  });
  root.addEventListener("pointermove", (event) => {
    if (!stroke || event.pointerId !== stroke.id) return;
    const to = screen.at(event);
    const [dx, dy] = [to[0] - stroke.from[0], to[1] - stroke.from[1]];
    if (!stroke.line && Math.hypot(dx, dy) < STROKE_PX * screen.perPx()) return;
    if (!stroke.line) {
      root.setPointerCapture(event.pointerId);
      stroke.line = svg("path", { class: "stroke" });
      over.append(stroke.line);
    }
    const box = place.box(stroke.light.sight);
    stroke.way = Math.abs(dx) > Math.abs(dy) ? "down" : "across";
    const at = stroke.way === "down" ? (stroke.from[1] + to[1]) / 2 : (stroke.from[0] + to[0]) / 2;
    stroke.at = at;
    stroke.long = stroke.way === "down" ? Math.abs(dx) / box.width : Math.abs(dy) / box.height;
    stroke.line.setAttribute("d", stroke.way === "down" ? `M${box.x} ${at}H${box.x + box.width}` : `M${at} ${box.y}V${box.y + box.height}`);
    stroke.line.classList.toggle("enough", stroke.long >= LEAST_OF_LIGHT);
  });
  const end = (event) => {
    if (!stroke) return;
    const { light, line, way, at, long, on } = stroke;
    stroke = null;
    told = event.timeStamp;
    if (!line && event.type === "pointerup") on?.dispatchEvent(new CustomEvent("press"));
    if (!line) return;
    line.remove();
    if (event.type === "pointerup" && long >= LEAST_OF_LIGHT) {
      const unit = place.size(1);
      act.cut(light.path, way, way === "across" ? (at - place.x(0)) / unit : (at - place.y(shown.outer.height_mm)) / unit);
    }
  };
  root.addEventListener("pointerup", end);
  root.addEventListener("pointercancel", end);
}

const inside = (box, x, y) => x >= box.x && x <= box.x + box.width && y >= box.y && y <= box.y + box.height;

// A layout as a small picture, by its shares alone.
export function shapePicture(layout) {
  return svg("svg", { viewBox: "-2 -2 64 52", class: "shape-picture", "aria-hidden": "true" }, pictured(layout, [0, 0, 60, 48]));
}

function pictured(node, [x, y, w, h]) {
  const way = splitWay(node);
  if (!way) return [svg("rect", { x, y, width: w, height: h }), hingeLines(node, x, y, w, h)];
  const parts = partsOf(node);
  const total = parts.reduce((sum, part) => sum + (part.share ?? 1), 0);
  let done = 0;
  return parts.map((part) => {
    const [from, size] = [done, (part.share ?? 1) / total];
    done += size;
    return pictured(part, way === "across" ? [x + from * w, y, size * w, h] : [x, y + from * h, w, size * h]);
  });
}

function hingeLines(node, x, y, w, h) {
  const opens = node.opens ?? "fixed";
  if (opens.startsWith("pair_")) {
    const meets = x + w / 2;
    return [hingeLines({ opens: "side_hung_left" }, x, y, w / 2, h), hingeLines({ opens: "side_hung_right" }, meets, y, w / 2, h),
      svg("path", { d: `M${meets} ${y}V${y + h}` })];
  }
  if (slides(opens)) return sliding(opens, x, y, w, h);
  if (folds(opens)) return folding(node, x, y, w, h);
  if (isStable(opens)) {
    const side = opens.replace("stable", "side_hung");
    return [0, 1].flatMap((n) => [hingeLines({ opens: side }, x, y + (n * h) / 2, w, h / 2), svg("path", { d: `M${x} ${y + h / 2}H${x + w}` })]);
  }
  if (opens === "reversible") return [hingeLines({ opens: "top_hung" }, x, y, w, h), hingeLines({ opens: "bottom_hung" }, x, y, w, h)];
  const middle = [x + w / 2, y + h / 2];
  const lines = {
    left: `M${x + w} ${y}L${x} ${middle[1]}L${x + w} ${y + h}`,
    right: `M${x} ${y}L${x + w} ${middle[1]}L${x} ${y + h}`,
    top: `M${x} ${y + h}L${middle[0]} ${y}L${x + w} ${y + h}`,
    bottom: `M${x} ${y}L${middle[0]} ${y + h}L${x + w} ${y}`,
  };
  const side = { top_hung: "top", bottom_hung: "bottom" }[opens] ?? opens.match(/_(left|right)$/)?.[1];
  return side && svg("path", { d: lines[side] });
}

// Sashes or panes side by side, each that slides with an arrow; panes of which two stand apart part from each other.
function sliding(opens, x, y, w, h) {
  const panes = isSash(opens) ? ["down", "up"] : panesOf(opens);
  return panes.map((to, n) => {
    const [px, py, pw, ph] = isSash(opens) ? [x, y + (n * h) / 2, w, h / 2] : [x + (n * w) / panes.length, y, w / panes.length, h];
    return [svg("path", { d: `M${px} ${py}h${pw}v${ph}h${-pw}z` }), to && svg("path", { d: slideArrow(to, px + pw / 2, py + ph / 2, 0.3 * Math.min(pw, ph)) })];
  }).flat();
}

// Leaves side by side, hung by turns at one side and the other, with an arrow to the jamb they fold against.
function folding(node, x, y, w, h) {
  const [left, right] = node.fold_left || node.fold_right ? [node.fold_left ?? 0, node.fold_right ?? 0] : [3, 0];
  const wide = w / (left + right);
  return Array.from({ length: left + right }, (_, n) => {
    const to = n < left ? "left" : "right";
    const from = to === "left" ? n : left + right - 1 - n;
    const hung = (to === "left") === (from % 2 === 0) ? "side_hung_left" : "side_hung_right";
    const at = x + n * wide;
    return [svg("path", { d: `M${at} ${y}h${wide}v${h}h${-wide}z` }), hingeLines({ opens: hung }, at, y, wide, h),
      svg("path", { d: slideArrow(to, at + wide / 2, y + 0.85 * h, 0.3 * wide) })];
  }).flat();
}

function panesOf(opens) {
  const [, panes, side] = opens.split("_");
  const whole = [...panes];
  const stays = whole.indexOf("o");
  return whole.map((pane, n) => pane === "x" && (side ?? (panes === "oxxo" ? ["left", "right"][n - 1] : n > stays ? "left" : "right")));
}

function slideArrow(to, x, y, half) {
  const [dx, dy] = { up: [0, -1], down: [0, 1], left: [-1, 0], right: [1, 0] }[to];
  const [tx, ty] = [x + dx * half, y + dy * half];
  const back = (side) => `M${tx} ${ty}l${(-dx + side * dy) * half * 0.5} ${(-dy + side * dx) * half * 0.5}`;
  return `M${x - dx * half} ${y - dy * half}L${tx} ${ty}${back(1)}${back(-1)}`;
}

export const marked = (shown, path) => shown.lights.find((light) => samePath(light.path, path))?.mark ?? "";
