// A wanted layout as a tree: split, moved, changed and put into another shape. Plain values in, plain values out.
// A path leads to a part: ["across", 1, "down", 0]. Sizes are worked out where the frame is decided, never here.

import { same } from "./tree.js";

const WAYS = ["across", "down"];
const OF_HUNG = ["swing", "leaf", "open_angle_deg"];
const OF_SASHES = ["horns", "balance", "lower_sash_mm"];
const OF_STABLE = ["lower_leaf_mm", "lower_infill"];
const OF_FOLDS = ["fold_left", "fold_right"];
const OF_SLABS = ["slab_glass_width_mm", "slab_glass_height_mm"];
const OF_ONE_KIND = [...OF_SASHES, ...OF_STABLE, ...OF_FOLDS, ...OF_SLABS];
const OF_OPENERS = [...OF_HUNG, "hinge", "handle_height_mm", "obstruction_mm", "restrictor", ...OF_ONE_KIND];
const OF_STAYS = ["open_angle_deg", "hinge", "obstruction_mm"];
const OF_GLASS = ["infill", "glass", "obscure"];
const CARRIED = [...OF_OPENERS, ...OF_GLASS, "vent_mm2"];
export const carried = () => CARRIED;
const NONE = { infill: "glass", obscure: false, vent_mm2: 0, swing: "out", restrictor: false };

/** @type {(node: any) => any} none of a light */
export const splitWay = (node) => WAYS.find((way) => node[way]);
export const partsOf = (node) => node[splitWay(node)];
export const samePath = (one, other) => one.length === other.length && one.every((key, n) => key === other[n]);

export const nodeAt = (layout, path) => path.reduce((node, key) => node?.[key], layout);

export function withNode(layout, path, node) {
  if (!path.length) return node;
  const [way, index, ...rest] = path;
  const parts = layout[way].map((part, n) => (n === index ? withNode(part, rest, node) : part));
  return { ...layout, [way]: parts };
}

export function lightsOf(node, path = []) {
  const way = splitWay(node);
  if (!way) return [{ path, light: node }];
  return node[way].flatMap((part, n) => lightsOf(part, [...path, way, n]));
}

const without = (light, names) => Object.fromEntries(Object.entries(light).filter(([name]) => !names.includes(name)));
const only = (light, names) => Object.fromEntries(Object.entries(light).filter(([name]) => names.includes(name)));
const opens = (light) => (light.opens ?? "fixed") !== "fixed";
const family = (kind) => (kind ?? "fixed").replace(/_(left|right)$/, "");
export const isSash = (kind) => kind === "vertical_slider";
export const slides = (kind) => isSash(kind) || (kind ?? "").startsWith("slider_");
export const folds = (kind) => kind === "bi_fold";
export const isStable = (kind) => family(kind) === "stable";
export const isSlab = (kind) => family(kind) === "slab";
const hungUpOrDown = (kind) => ["top_hung", "bottom_hung", "reversible"].includes(kind);

// The fields that only lights of its kind have.
function ownOf(kind) {
  if (isSash(kind)) return OF_SASHES;
  if (folds(kind)) return OF_FOLDS;
  return isStable(kind) ? OF_STABLE : isSlab(kind) ? OF_SLABS : [];
}

// What a light holds beside how it opens and how large it is: the fields that a new layout must carry or name.
const held = (light) => Object.entries(only(light, CARRIED)).filter(([name, value]) => value !== null && value !== NONE[name]);

// A light in two; the second is fixed, with the same glass. `way` is how they stand: "across" or "down".
export function splitLight(layout, path, way) {
  const light = nodeAt(layout, path);
  const [size, rest] = [only(light, ["share", "mm"]), without(light, ["share", "mm"])];
  const second = only(rest, OF_GLASS);
  const [row, index] = [path.slice(0, -2), path.at(-1)];
  if (path.at(-2) !== way) return withNode(layout, path, { ...size, [way]: [rest, second] });
  const half = size.mm ? { mm: size.mm / 2 } : { share: (size.share ?? 1) / 2 };
  const parent = nodeAt(layout, row);
  const parts = parent[way].flatMap((part, n) => (n === index ? [{ ...half, ...rest }, { ...half, ...second }] : [part]));
  return withNode(layout, row, { ...parent, [way]: parts });
}

// Where the two halves of a light that was split are: the path of what is split, and the bar between them.
export function newBar(path, way) {
  return path.at(-2) === way ? { path: path.slice(0, -2), index: path.at(-1) } : { path, index: 0 };
}

// The bar after part `index` of a split moved by so many mm; `sizes` are its parts as they are made now.
// Only the two beside it change; one part without a size is left to take what a frame measured again brings.
export function moveBar(layout, path, index, sizes, by) {
  const node = nodeAt(layout, path);
  const way = splitWay(node);
  const [first, second] = [node[way][index], node[way][index + 1]];
  const others = node[way].some((part, n) => n !== index && n !== index + 1 && !part.mm);
  const keepsSecond = !others && second.mm && !first.mm;
  const mm = (value) => Math.round(value * 10) / 10;
  const sized = (part, size) => ({ ...without(part, ["share"]), mm: mm(size) });
  const parts = node[way].map((part, n) => {
    if (n === index) return keepsSecond ? part : sized(first, sizes[n] + by);
    if (n === index + 1) return keepsSecond || others ? sized(second, sizes[n] - by) : without(second, ["mm"]);
    return part;
  });
  return withNode(layout, path, { ...node, [way]: parts });
}

export function evenParts(layout, path, shares) {
  const node = nodeAt(layout, path);
  const way = splitWay(node);
  const parts = node[way].map((part, n) => ({ ...without(part, ["mm"]), share: shares[n] }));
  return withNode(layout, path, { ...node, [way]: parts });
}

// The bar after part `index` taken away: the part before it takes the room of both. What went is told.
export function removeBar(layout, path, index) {
  const node = nodeAt(layout, path);
  const way = splitWay(node);
  const [stays, goes] = [node[way][index], node[way][index + 1]];
  const lost = lightsOf(goes, [...path, way, index + 1]).map(({ path: at, light }) => ({ path: at, fields: held(light) }));
  const left = node[way].filter((_, n) => n !== index + 1);
  if (left.length === 1) {
    const alone = { ...without(stays, ["share", "mm"]), ...only(node, ["share", "mm"]) };
    return { layout: withNode(layout, path, alone), lost };
  }
  const size = stays.mm && goes.mm ? { mm: stays.mm + goes.mm } : !stays.mm && !goes.mm ? { share: (stays.share ?? 1) + (goes.share ?? 1) } : {};
  left[index] = { ...without(stays, ["share", "mm"]), ...size };
  return { layout: withNode(layout, path, { ...node, [way]: left }), lost };
}

// One field of a light; empty takes it away. A light that opens otherwise leaves behind what has no place, and it is told.
export function changeLight(layout, path, name, value) {
  const light = nodeAt(layout, path);
  const empty = value === null || value === "" || value === NONE[name];
  const changed = empty ? without(light, [name]) : { ...light, [name]: value };
  return { layout: withNode(layout, path, changed), lost: [] };
}

export function openLight(layout, path, kind) {
  const light = nodeAt(layout, path);
  const { light: changed, gone } = opened(light, kind);
  return { layout: withNode(layout, path, changed), lost: gone.length ? [{ path, fields: gone }] : [] };
}

function opened(light, kind) {
  const was = light.opens ?? "fixed";
  const turnsIn = family(kind) === "tilt_turn";
  const drops = kind === "fixed" ? OF_OPENERS
    : [...(hungUpOrDown(was) !== hungUpOrDown(kind) ? ["handle_height_mm"] : []), ...(family(was) !== family(kind) ? OF_STAYS : []),
      ...(turnsIn || family(was) === "tilt_turn" ? ["swing"] : []), ...(slides(kind) ? OF_HUNG : []), ...(folds(kind) ? ["leaf", "open_angle_deg"] : []),
      ...(isSash(kind) ? ["handle_height_mm"] : []), ...OF_ONE_KIND.filter((name) => !ownOf(kind).includes(name))];
  const gone = held(light).filter(([name]) => drops.includes(name) && !(name === "swing" && turnsIn));
  const changed = { ...without(light, [...drops, "opens"]), ...(kind === "fixed" ? {} : { opens: kind }), ...(turnsIn ? { swing: "in" } : {}) };
  return { light: changed, gone };
}

// Touched at a side again and again, a light opens about that side in every way it can, then is fixed again.
export function nextAt(light, side, ways) {
  const there = [...ways.filter((way) => way.hangs === side).map((way) => way.kind), "fixed"];
  const now = there.indexOf(light.opens ?? "fixed");
  return there[now === there.length - 1 ? 0 : now + 1] ?? there[0];
}

// Another shape with all that the old lights held: each new light takes after the old one most like it. What finds no
// place is told, light by light.
export function shaped(old, shape) {
  const from = lightsOf(old).map((each, n) => ({ ...each, n, left: new Map(held(each.light)) }));
  const to = lightsOf(shape);
  const free = new Set(from);
  const pairs = new Map();
  const likeness = [
    (light, mine) => (light.opens ?? "fixed") === (mine.light.opens ?? "fixed"),
    (light, mine) => family(light.opens) === family(mine.light.opens),
    (light, mine) => opens(light) === opens(mine.light),
  ];
  for (const alike of likeness) {
    for (const each of to) {
      const mine = !pairs.has(each) && [...free].find((one) => alike(each.light, one));
      if (!mine) continue;
      pairs.set(each, mine);
      free.delete(mine);
    }
  }
  let layout = shape;
  const put = (path, fields) => {
    layout = withNode(layout, path, { ...nodeAt(layout, path), ...fields });
  };
  for (const [each, mine] of pairs) {
    const { light, gone } = opened({ ...only(mine.light, [...CARRIED, "opens"]) }, each.light.opens ?? "fixed");
    const kept = only(light, CARRIED);
    put(each.path, kept);
    const lost = gone.map(([name]) => name);
    mine.left = new Map([...mine.left].filter(([name]) => lost.includes(name)));
  }
  // glass that all lights had alike is every new light's too
  const common = OF_GLASS.filter((name) => from.every(({ light }) => light[name] !== undefined && light[name] === from[0].light[name]));
  for (const each of to) if (!pairs.has(each)) put(each.path, only(from[0].light, common));
  for (const mine of free) for (const name of common) mine.left.delete(name);
  // a ventilator sits in any head: one whose light went moves to a light without
  for (const mine of from) {
    const vent = mine.left.get("vent_mm2");
    const room = vent && lightsOf(layout).find(({ light }) => !light.vent_mm2);
    if (!room) continue;
    put(room.path, { vent_mm2: vent });
    mine.left.delete("vent_mm2");
  }
  layout = { ...layout, ...only(old, ["share", "mm"]) };
  const lost = from.filter((mine) => mine.left.size).map((mine) => ({ path: mine.path, fields: [...mine.left] }));
  return { layout: sameSplit(old, layout) ? sizedAs(layout, old) : layout, lost };
}

// How it is divided and opens, without what its lights hold beside that.
export function bareShape(node) {
  const way = splitWay(node);
  const size = only(node, ["mm"]);
  if (node.share !== undefined && node.share !== 1) size.share = node.share;
  return way ? { ...size, [way]: node[way].map(bareShape) } : { ...size, opens: node.opens ?? "fixed" };
}

const sameSplit = (one, other) => splitWay(one) && splitWay(one) === splitWay(other) && partsOf(one).length === partsOf(other).length;

function sizedAs(layout, old) {
  const way = splitWay(layout);
  const parts = layout[way].map((part, n) => ({ ...without(part, ["share", "mm"]), ...only(old[way][n], ["share", "mm"]) }));
  return { ...layout, [way]: parts };
}

// What the maker declared of lights and panes is of the lights and panes there were.
export function wantedWith(wanted, layout, threshold) {
  const changed = { ...wanted, layout };
  if (threshold && threshold !== "standard") changed.threshold = threshold;
  else delete changed.threshold;
  if (!wanted?.declared || same(wanted.layout ?? {}, layout)) return { wanted: changed, gone: [] };
  const gone = ["lights", "glass_wind_pa", "en12600_class"].filter((name) => wanted.declared[name] !== undefined);
  return { wanted: { ...changed, declared: without(wanted.declared, gone) }, gone };
}

// Steps there and back. `now` is what is drawn.
export class Steps {
  constructor(now) {
    this.now = now;
    /** @type {any[]} */
    this.before = [];
    /** @type {any[]} */
    this.after = [];
  }

  take(next) {
    Object.assign(this, { before: [...this.before, this.now], after: [], now: next });
  }

  back() {
    if (!this.before.length) return;
    Object.assign(this, { after: [this.now, ...this.after], now: this.before.at(-1), before: this.before.slice(0, -1) });
  }

  again() {
    if (!this.after.length) return;
    const [next, ...after] = this.after;
    Object.assign(this, { before: [...this.before, this.now], now: next, after });
  }
}
