// Where the figures of a drawing stand: on their lines where there is room, else beside the opening, with a thin
// line to what they belong to. The opening itself keeps its true proportion. All in px of the screen, y down.

const LABEL = { width: 72, height: 34, low: 30 };
const APART = 4;
const LOW_PX = 140; // a drawing this low has lower labels
const AWAY = 8; // from the opening to what stands beside it
const EDGE = { usual: 14, low: 8 }; // left for crookedness, which is drawn large

const mid = ([a, b]) => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
const left = (points) => points.reduce((a, b) => (b[0] < a[0] ? b : a));
const right = (points) => points.reduce((a, b) => (b[0] > a[0] ? b : a));
const low = (points) => points.reduce((a, b) => (b[1] > a[1] ? b : a));
const high = (points) => points.reduce((a, b) => (b[1] < a[1] ? b : a));

// Ways to set the labels of a group, the best first: the room each needs round the opening, the least opening it
// suits, and for each place which side its label stands on (null: on its line) and from where it is led there.
const ON_LINES = { sides: { "*": [null, mid] }, least: [LABEL.width + 40, 3 * LABEL.height + 50] };
const ON_UPRIGHTS = { sides: { "*": [null, mid] }, least: [3.2 * LABEL.width, LABEL.height + 16] };
const ON_DIAGONALS = { sides: { "*": [null, null] }, least: [2 * LABEL.width, 2.4 * LABEL.height] };
const AROUND = {
  sides: { head: ["top", mid], sill: ["bottom", mid], left: ["left", mid], right: ["right", mid] },
  least: [10, 90],
};
const WAYS = {
  widths: [ON_LINES, { sides: { "*": ["right", right] } }],
  heights: [ON_UPRIGHTS, { sides: { "*": ["bottom", low] } }],
  diagonals: [ON_DIAGONALS, { sides: { rising: ["right", high], falling: ["right", low] } }],
  levels: [AROUND, { sides: { head: ["left", left], left: ["left", mid], right: ["right", mid], sill: ["right", right] } }],
};
WAYS.bows = WAYS.levels;
WAYS.quarters = WAYS.widths;

const sideOf = (way, place) => way.sides[place.split(" ")[1]] ?? way.sides["*"];

// What is left free round the opening, [left, right, top, bottom].
function margins(way, places, label, edge) {
  const used = new Set(places.map((place) => sideOf(way, place)[0]));
  const beside = (side, size) => edge + (used.has(side) ? AWAY + size + 2 : 0);
  return [beside("left", label.width), beside("right", label.width), beside("top", label.height), beside("bottom", label.height)];
}

// The opening as large as fits in true proportion: {box: {x, y, width, height}, way, label}.
export function arranged(group, places, wide, tall, proportion) {
  const small = tall < LOW_PX;
  const edge = small ? EDGE.low : EDGE.usual;
  const label = { height: small ? LABEL.low : LABEL.height, width: Math.min(LABEL.width, wide / 3 - APART) };
  const made = WAYS[group].map((way) => {
    const [l, r, t, b] = margins(way, places, label, edge);
    const width = Math.max(8, Math.min(wide - l - r, (tall - t - b) / proportion));
    const height = Math.max(8, Math.min(tall - t - b, width * proportion));
    return { way, label, edge, box: { x: l + (wide - l - r - width) / 2, y: t + (tall - t - b - height) / 2, width, height } };
  });
  return made.find(({ way, box }) => !way.least || (box.width >= way.least[0] && box.height >= way.least[1])) ?? made.at(-1);
}

// The middle of each label, and the point on the opening it is led to (null where it stands on its line).
// `runs` are the lines by place, each [from, to, share at which a label on it stands].
export function labelled({ way, label, edge, box }, runs, wide, tall) {
  const found = {};
  const bySide = {};
  for (const [place, [from, to, share]] of Object.entries(runs)) {
    const [side, leads] = sideOf(way, place);
    if (side) (bySide[side] ??= []).push([place, leads([from, to])]);
    else found[place] = { at: [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share], to: null };
  }
  for (const [side, ones] of Object.entries(bySide)) {
    const axis = side === "left" || side === "right" ? 1 : 0;
    const spread = apart(ones.map(([, at]) => at[axis]), [label.width, label.height][axis] + APART, [label.width, label.height][axis] / 2 + 1, [wide, tall][axis]);
    const across = {
      left: box.x - edge - AWAY - label.width / 2, right: box.x + box.width + edge + AWAY + label.width / 2,
      top: box.y - AWAY - label.height / 2, bottom: box.y + box.height + AWAY + label.height / 2,
    }[side];
    ones.forEach(([place, to], n) => {
      found[place] = { at: axis ? [across, spread[n]] : [spread[n], across], to };
    });
  }
  return found;
}

// Wanted positions moved no more than they must so that no two overlap and none runs off the edge.
function apart(wanted, step, edge, length) {
  const within = wanted.map((at) => Math.min(length - edge, Math.max(edge, at)));
  const order = within.map((_, n) => n).sort((a, b) => within[a] - within[b]);
  if (order.every((n, rank) => !rank || within[n] - within[order[rank - 1]] >= step)) return within;
  const middle = within.reduce((sum, at) => sum + at, 0) / within.length;
  const half = ((order.length - 1) / 2) * step;
  const first = Math.max(edge, Math.min(length - edge - 2 * half, middle - half));
  const found = [];
  order.forEach((n, rank) => { found[n] = first + rank * step; });
  return found;
}
