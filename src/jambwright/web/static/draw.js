// The opening drawn large: outline with its crookedness exaggerated, and the dimensions of one group to tap.

import { el, pressable, svg } from "./dom.js";
import { arranged, labelled } from "./labels.js";
import { exaggerated } from "./outline.js";
import { GROUPS, isLength, nameOf, shown } from "./readings.js";
import { say } from "./texts.js";

const MOST_HIGH_PX = 420;
const TAP_PX = 48;
const WIDE_EM = 0.68; // a bold figure of the widest usual typeface

// In px of the screen: `widePx` is how wide the drawing is, `roomPx` how high it may be beside all that must be seen with it.
export function drawOpening({ face, outline, taken, group, active, doubted, tap, widePx, roomPx }) {
  const large = exaggerated(outline);
  const [wide, high] = [widePx, Math.min(MOST_HIGH_PX, roomPx)];
  const placed = arranged(group, GROUPS[group], wide, high, (large.box.high - large.box.low) / (large.box.right - large.box.left));
  const onPaper = scale(large.box, placed.box);
  const points = large.points.map(onPaper);
  const runs = Object.fromEntries(GROUPS[group].map((place) => [place, run(place, points)]));
  const labels = labelled(placed, runs, wide, high);
  const dims = GROUPS[group].map((place) => dimension(place, runs[place], labels[place], placed.label, taken, { active, doubted, tap }));
  const picture = svg(
    "svg",
    { viewBox: `0 0 ${wide} ${high}`, width: wide, height: high, class: "opening-drawing", role: "group", "aria-label": say("draw.label") },
    svg("path", { d: closed(straight(large.box).map(onPaper)), class: "true-box" }),
    svg("path", { d: curved(points), class: "outline" }),
    dims,
  );
  const note = large.factor > 1 ? say("draw.exaggerated", { factor: large.factor }) : say("draw.square_so_far");
  return el("figure", { class: "opening" }, el("figcaption", {}, `${say(`draw.${face}`)}; ${note}`), picture);
}

// From the wall, in mm, onto the box that is drawn; both of one proportion.
function scale(box, { x: x0, y: y0, width, height }) {
  return ([x, y]) => [x0 + ((x - box.left) / (box.right - box.left)) * width, y0 + height - ((y - box.low) / (box.high - box.low)) * height];
}

const straight = (box) => [[box.left, box.low], [box.right, box.low], [box.right, box.high], [box.left, box.high]];
const at = (/** @type {number[]} */ [x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`;
const closed = (points) => `M${points.map(at).join("L")}Z`;

/** @typedef {number[][]} Points around, from the lower left corner, mid-points between */

// Corners joined through the mid-points as shallow arcs (quadratic curves through the middle).
/** @param {Points} points */
function curved(points) {
  const [bl, s, br, r, tr, h, tl, l] = points;
  const through = (a, m, b) => `Q${at([2 * m[0] - (a[0] + b[0]) / 2, 2 * m[1] - (a[1] + b[1]) / 2])} ${at(b)}`;
  return `M${at(bl)}${through(bl, s, br)}${through(br, r, tr)}${through(tr, h, tl)}${through(tl, l, bl)}Z`;
}

const between = (a, b, share) => [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];

// Where each dimension runs, and where on it the label sits.
/** @param {string} place @param {Points} points */
function run(place, points) {
  const [bl, s, br, r, tr, h, tl, l] = points;
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

function dimension(place, [from, to], { at: [x, y], to: led }, label, taken, { active, doubted, tap }) {
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
    led && svg("path", { d: `M${at(led)}L${at([x, y])}`, class: "leader" }),
    svg("path", { d: `M${at(from)}L${at(to)}`, class: "line" }),
    arrow(from, to), arrow(to, from),
    svg("rect", { x: x - label.width / 2, y: y - TAP_PX / 2, width: label.width, height: TAP_PX, rx: 8, class: "tap" }),
    svg("rect", { x: x - label.width / 2, y: y - label.height / 2, width: label.width, height: label.height, rx: 6, class: "label" }),
    svg("text", { x, y, class: "figure", "font-size": Math.min(20, (label.width - 8) / (WIDE_EM * text.length)) }, text),
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

// The opening as a small picture in a list, in true proportion.
export function thumbnail(outline) {
  const { box, points } = exaggerated(outline);
  const [width, height] = [box.right - box.left, box.high - box.low];
  const share = 240 / Math.max(width, height);
  const onPaper = scale(box, { x: 150 - (width * share) / 2, y: 150 - (height * share) / 2, width: width * share, height: height * share });
  return svg("svg", { viewBox: "0 0 300 300", class: "thumbnail", "aria-hidden": "true" }, svg("path", { d: curved(points.map(onPaper)), class: "outline" }));
}
