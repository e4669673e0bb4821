// The opening drawn large: outline with its crookedness exaggerated, and the dimensions of one group to tap.

import { el, pressable, svg } from "./dom.js";
import { exaggerated } from "./outline.js";
import { GROUPS, isLength, nameOf, shown } from "./readings.js";
import { say } from "./texts.js";

const WIDE = 360;
const MARGIN = { side: 52, ends: 20 };
const HIGH = { least: 178, most: 300 };
const TAP = { width: 84, height: 58 };
const FLATTEST = 0.6;
const TALLEST = 1.05;

// `roomPx` is how high the drawing may be on the screen beside everything that must be seen with it.
export function drawOpening({ face, outline, taken, group, active, doubted, tap, roomPx }) {
  const large = exaggerated(outline);
  const high = highFor(roomPx);
  const onPaper = scale(large.box, high);
  const points = large.points.map(onPaper);
  const dims = GROUPS[group].map((place) => dimension(place, points, taken, { active, doubted, tap }));
  const picture = svg(
    "svg",
    { viewBox: `0 0 ${WIDE} ${high}`, class: "opening-drawing", role: "group", "aria-label": say("draw.label") },
    svg("path", { d: closed(straight(large.box).map(onPaper)), class: "true-box" }),
    svg("path", { d: curved(points), class: "outline" }),
    dims,
  );
  const note = large.factor > 1 ? say("draw.exaggerated", { factor: large.factor }) : say("draw.square_so_far");
  return el("figure", { class: "opening" }, el("figcaption", {}, `${say(`draw.${face}`)}; ${note}`), picture);
}

// In the drawing's own units.
function highFor(roomPx) {
  const fits = (roomPx / (innerWidth - 24)) * WIDE;
  return innerWidth >= 800 ? HIGH.most : Math.max(HIGH.least, Math.min(HIGH.most, fits));
}

function scale(box, high) {
  const [width, height] = [box.right - box.left, box.high - box.low];
  const tall = Math.min(TALLEST, Math.max(FLATTEST, height / width));
  const room = [WIDE - 2 * MARGIN.side, high - 2 * MARGIN.ends];
  const w = Math.min(room[0], room[1] / tall);
  const h = w * tall;
  const [x0, y0] = [(WIDE - w) / 2, (high - h) / 2];
  return ([x, y]) => [x0 + ((x - box.left) / width) * w, y0 + h - ((y - box.low) / height) * h];
}

const straight = (box) => [[box.left, box.low], [box.right, box.low], [box.right, box.high], [box.left, box.high]];
const at = ([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`;
const closed = (points) => `M${points.map(at).join("L")}Z`;

// Corners joined through the mid-points as shallow arcs (quadratic curves through the middle).
function curved([bl, s, br, r, tr, h, tl, l]) {
  const through = (a, m, b) => `Q${at([2 * m[0] - (a[0] + b[0]) / 2, 2 * m[1] - (a[1] + b[1]) / 2])} ${at(b)}`;
  return `M${at(bl)}${through(bl, s, br)}${through(br, r, tr)}${through(tr, h, tl)}${through(tl, l, bl)}Z`;
}

const between = (a, b, share) => [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];

// Where each dimension runs, and where on it the label sits.
function run(place, [bl, s, br, r, tr, h, tl, l]) {
  const low = 0.12;
  const rows = {
    "width bottom": [between(bl, tl, low), between(br, tr, low), 0.5],
    "width middle": [l, r, 0.5],
    "width lower_quarter": [between(bl, tl, 0.25), between(br, tr, 0.25), 0.5],
    "width upper_quarter": [between(tl, bl, 0.25), between(tr, br, 0.25), 0.5],
    "width top": [between(tl, bl, low), between(tr, br, low), 0.5],
    "height left": [between(bl, br, low), between(tl, tr, low), 0.5],
    "height centre": [s, h, 0.5],
    "height right": [between(br, bl, low), between(tr, tl, low), 0.5],
    "diagonal rising": [bl, tr, 0.76],
    "diagonal falling": [tl, br, 0.76],
    "level sill": [bl, br, 0.5], "bow sill": [bl, br, 0.5],
    "level head": [tl, tr, 0.5], "bow head": [tl, tr, 0.5],
    "plumb left": [bl, tl, 0.5], "bow left": [bl, tl, 0.5],
    "plumb right": [br, tr, 0.5], "bow right": [br, tr, 0.5],
  };
  return rows[place];
}

function dimension(place, points, taken, { active, doubted, tap }) {
  const [from, to, share] = run(place, points);
  const [x, y] = between(from, to, share);
  const state = [
    "dim", taken[place] ? "read" : "unread", place === active && "active", doubted.includes(place) && "doubt",
  ].filter(Boolean).join(" ");
  const text = `${doubted.includes(place) ? "! " : ""}${signed(place, taken[place])}`;
  return svg(
    "g",
    {
      class: state, "data-place": place, "aria-pressed": place === active ? "true" : "false",
      "aria-label": `${nameOf(place)}: ${taken[place] ? say("draw.mm", { mm: shown(taken[place]) }) : say("draw.not_read")}`,
      ...pressable(() => tap(place)),
    },
    svg("path", { d: `M${at(from)}L${at(to)}`, class: "line" }),
    arrow(from, to), arrow(to, from),
    svg("rect", { x: x - TAP.width / 2, y: y - TAP.height / 2, width: TAP.width, height: TAP.height, rx: 8, class: "tap" }),
    svg("rect", { x: x - 42, y: y - 19, width: 84, height: 38, rx: 6, class: "label" }),
    svg("text", { x, y, class: text.length > 5 ? "figure long" : "figure" }, text),
  );
}

function signed(place, figures) {
  const text = shown(figures);
  return figures?.length && !isLength(place) && !text.startsWith("-") && text !== "0" ? `+${text}` : text;
}

function arrow(tip, from) {
  const long = Math.hypot(tip[0] - from[0], tip[1] - from[1]) || 1;
  const [ux, uy] = [(from[0] - tip[0]) / long, (from[1] - tip[1]) / long];
  const wing = (side) => at([tip[0] + 9 * ux - side * 4 * uy, tip[1] + 9 * uy + side * 4 * ux]);
  return svg("path", { d: `M${at(tip)}L${wing(1)}L${wing(-1)}Z`, class: "arrow" });
}

// The opening as a small picture in a list.
export function thumbnail(outline) {
  const points = exaggerated(outline).points.map(scale(exaggerated(outline).box, 300));
  return svg("svg", { viewBox: "40 10 280 280", class: "thumbnail", "aria-hidden": "true" }, svg("path", { d: curved(points), class: "outline" }));
}
