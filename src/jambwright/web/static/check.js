// The essential arithmetic of an opening, done on the phone: ranges, and sums that must close.
// Every limit comes from limits.json, which the server writes from the engine's own constants.
//
// `taken` maps "width bottom" and the like to a list of the figures read there, in mm.

export const limits = await (await fetch(new URL("./limits.json", import.meta.url))).json();

const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;
export const isLength = (place) => limits.lengths.includes(place.split(" ")[0]);

// Whether a figure can be at all: null, or which text tells why not.
export function impossible(place, mm) {
  if (!Number.isFinite(mm)) return { key: "check.no_figure", values: {} };
  if (!isLength(place)) {
    return Math.abs(mm) > limits.offset_largest_mm
      ? { key: "check.offset_too_big", values: { limit: limits.offset_largest_mm } } : null;
  }
  return mm < limits.shortest_mm || mm > limits.longest_mm
    ? { key: "check.out_of_range", values: { low: limits.shortest_mm, high: limits.longest_mm } } : null;
}

// Readings of the same kind that a figure doesn't go with, worth asking about once before it is kept: [{place, mm}].
export function unlikely(place, mm, taken) {
  const kind = place.split(" ")[0];
  const others = Object.entries(taken).filter(([other]) => other !== place && other.startsWith(`${kind} `));
  const figures = others.map(([other, values]) => ({ place: other, mm: mean(values) }));
  const spread = limits.critical * Math.hypot(limits.length_sigma_mm, limits.length_sigma_mm, limits.bow_prior_mm, limits.bow_prior_mm);
  if (!isLength(place) || kind === "diagonal" || !figures.length) return null;
  const near = Math.min(...figures.map((figure) => Math.abs(mm - figure.mm)));
  return near > 2 * spread ? figures : null;
}

function known(taken) {
  const of = (place) => (taken[place]?.length ? mean(taken[place]) : null);
  const sigma = (place) => {
    const once = isLength(place) ? limits.length_sigma_mm : limits.offset_sigma_mm;
    return once / Math.sqrt(taken[place].length);
  };
  const bow = (at) => {
    const place = `bow ${at}`;
    return taken[place]?.length ? [of(place), sigma(place)] : [0, limits.bow_prior_mm];
  };
  return { of, sigma, bow };
}

// A sum that must close: how far it is off, how far honest readings may be off, and the readings in it.
function sum(off, sigmas, places) {
  return { off, limit: limits.critical * Math.hypot(...sigmas), places };
}

const SUMS = [
  function fourSidesAndDiagonals({ of, sigma }) {
    const places = ["width bottom", "width top", "height left", "height right", "diagonal rising", "diagonal falling"];
    const given = places.map(of);
    if (given.includes(null)) return null;
    const off = topMissed(given);
    if (Number.isNaN(off)) return { off: Infinity, limit: 0, places };
    const sigmas = given.map((value, n) => {
      const moved = topMissed(given.map((v, m) => (m === n ? v + 0.5 : v)));
      return ((moved - off) / 0.5) * sigma(places[n]);
    });
    return sum(off, sigmas, places);
  },
  (r) => middle(r, "width", ["bottom", "middle", "top"], ["left", "right"]),
  (r) => middle(r, "height", ["left", "centre", "right"], ["sill", "head"]),
  (r) => ends(r, ["width bottom", "width top"], ["plumb left", "plumb right"]),
  (r) => ends(r, ["height left", "height right"], ["level sill", "level head"]),
  function diagonalsAgainstLean({ of, sigma }) {
    const all = ["diagonal rising", "diagonal falling", "width bottom", "height left"];
    const leans = ["plumb left", "plumb right"].filter((place) => of(place) !== null);
    const levels = ["level sill", "level head"].filter((place) => of(place) !== null);
    if (all.some((place) => of(place) === null) || !leans.length || !levels.length) return null;
    const [rising, falling, width, height] = all.map(of);
    // the diagonals are the sum and the difference of the two middle lines: rising² - falling² = 4 U·V
    const perLean = (4 * width) / (rising + falling);
    const perLevel = (4 * height) / (rising + falling);
    const off = rising - falling - perLean * mean(leans.map(of)) - perLevel * mean(levels.map(of));
    const sides = (places, otherMissing) => (places.length > 1 ? 0 : otherMissing);
    const sigmas = [
      ...all.slice(0, 2).map(sigma),
      ...leans.map((place) => (perLean * sigma(place)) / leans.length),
      ...levels.map((place) => (perLevel * sigma(place)) / levels.length),
      // with one jamb or one level only, the other may stand otherwise
      sides(leans, perLean * limits.bow_prior_mm), sides(levels, perLevel * limits.bow_prior_mm),
    ];
    return sum(off, sigmas, [...all.slice(0, 2), ...leans, ...levels]);
  },
];

// Width at the head as read, less as it follows from the other five lengths.
/** @param {number[]} lengths */
function topMissed([bottom, top, left, right, rising, falling]) {
  const xl = (left ** 2 - falling ** 2 + bottom ** 2) / (2 * bottom);
  const xr = (rising ** 2 - right ** 2 + bottom ** 2) / (2 * bottom);
  return top - Math.hypot(xr - xl, Math.sqrt(rising ** 2 - xr ** 2) - Math.sqrt(left ** 2 - xl ** 2));
}

function middle({ of, sigma, bow }, kind, [low, mid, high], edges) {
  const places = [low, mid, high].map((at) => `${kind} ${at}`);
  if (places.some((place) => of(place) === null)) return null;
  const [a, m, b] = places.map(of);
  const bows = edges.map(bow);
  const off = m - ((a + b) / 2 - bows[0][0] - bows[1][0]);
  const sigmas = [sigma(places[0]) / 2, sigma(places[1]), sigma(places[2]) / 2, bows[0][1], bows[1][1]];
  return sum(off, sigmas, places);
}

function ends({ of, sigma }, lengths, offsets) {
  const places = [...lengths, ...offsets];
  if (places.some((place) => of(place) === null)) return null;
  const [one, other, first, second] = places.map(of);
  return sum(other - one - (second - first), places.map(sigma), places);
}

const sumsOf = (taken) => SUMS.map((test) => test(known(taken))).filter((found) => found !== null);
const closes = (found) => Math.abs(found.off) <= found.limit;

// Looks at the readings: {state: "few" | "good" | "doubt", suspects: [{place, read, likely?}]}.
export function look(taken) {
  const sums = sumsOf(taken);
  if (!sums.length) return { state: "few", suspects: [] };
  const open = sums.filter((found) => !closes(found));
  if (!open.length) return { state: "good", suspects: [] };
  const named = slips(taken, new Set(open.flatMap((found) => found.places)));
  const shared = open[0].places.filter((place) => open.every((found) => found.places.includes(place)));
  const places = shared.length ? shared : open[0].places;
  return { state: "doubt", suspects: named.length ? named : places.map((place) => ({ place, read: mean(taken[place]) })) };
}

// Slips of the eye that would close every sum: two digits swapped, ten, fifty or a hundred off.
function slips(taken, places) {
  const found = [];
  for (const place of places) {
    if (!isLength(place)) continue;
    const read = mean(taken[place]);
    for (const likely of likelyFigures(read)) {
      const without = { ...taken, [place]: taken[place].map((value) => value + likely - read) };
      if (sumsOf(without).every(closes)) {
        found.push({ place, read, likely });
        break;
      }
    }
  }
  return found;
}

function likelyFigures(read) {
  const digits = String(Math.round(read)).split("");
  const swapped = digits.slice(1).map((_, n) => {
    const other = [...digits];
    [other[n], other[n + 1]] = [other[n + 1], other[n]];
    return Number(other.join("")) + read - Math.round(read);
  });
  const off = [10, -10, 50, -50, 100, -100].map((slip) => read + slip);
  return [...swapped.filter((value) => value !== read), ...off];
}
