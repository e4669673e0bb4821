// Explanations of readings that disagree, weighed against each other at one degree of walls and tools.
//
// Changing the readings by `d` sigmas leaves the square sum |z + M d|², so every way of going wrong follows from the
// whitened residuals `z` and the matrix `M` alone. Each weight is the logarithm of the odds against "none wrong".

import { isLength, kindOf, tables } from "./look_tables.js";
import { dot, times } from "./look_numbers.js";
import { meantBy, shareOf } from "./look_slips.js";

const TWO_PI = 2 * Math.PI;

// The ways of going wrong that a net allows, in one list: [{rows, say, weigh(at)}], some with `put(mm)`,
// the readings as they should be, `amount(at)`, the mm that they are off by, or the `shape` that is odd.
export function waysOf({ places, read, standIns }) {
  const { chance } = tables.slips;
  const ways = [];
  places.forEach((place, i) => {
    const free = Math.log(shareOf(place, "any") * chance);
    ways.push({ rows: [i], say: tables.slips.say.any, weigh: (at) => freely(at, i, free) });
    for (const { mm, share, say } of meantBy(place, read[i])) {
      const log = Math.log(share * chance);
      const [rows, off] = [[i], [mm - read[i]]];
      ways.push({ rows, say, put: () => [mm], weigh: (at) => log + changed(at, rows, off) });
    }
  });
  ways.push(...exchanges(places, read), ...pairs(places), ...alike(places, read), ...calledWrong(places, read));
  ways.push(...shapes(places, standIns));
  return ways;
}

// What changing some readings by so many millimetres does.
function changed({ z, maker, sigmas }, rows, mm) {
  let change = 0;
  for (let n = 0; n < rows.length; n += 1) {
    const i = rows[n];
    const d = mm[n] / sigmas[i];
    change += 2 * d * z[i];
    for (let m = 0; m < rows.length; m += 1) change += d * (mm[m] / sigmas[rows[m]]) * maker[i][rows[m]];
  }
  return -change / 2;
}

// The density of an amount's size, each ratio of sizes as likely as another.
function sizeDensity(mm, least, most) {
  const size = Math.min(Math.max(Math.abs(mm), least), most);
  return -Math.log(2 * size * (1 + Math.log(most / least)));
}
const slipDensity = (mm) => sizeDensity(mm, tables.slips.least_mm, tables.slips.most_mm);

function freely({ z, maker, sigmas }, i, log) {
  const seen = maker[i][i];
  if (seen <= tables.fit.unchecked) return -Infinity;
  const spread = Math.log(sigmas[i] * Math.sqrt(TWO_PI / seen));
  return z[i] ** 2 / seen / 2 + spread + slipDensity((z[i] * sigmas[i]) / seen) + log;
}

const mayExchange = (a, b) =>
  a !== b && (kindOf(a) === kindOf(b) || [kindOf(a), kindOf(b)].sort().join() === "height,width");

const spots = (places) => places.flatMap((_, i) => places.slice(0, i).map((__, j) => [i, j]));

function exchanges(places, read) {
  const may = spots(places).filter(([i, j]) => mayExchange(places[i], places[j]));
  const share = places.reduce((sum, place) => sum + shareOf(place, "exchanged"), 0);
  const log = Math.log(share / may.length) + Math.log(tables.slips.chance);
  return may.filter(([i, j]) => read[i] !== read[j]).map(([i, j]) => ({
    rows: [i, j], say: tables.slips.say.exchanged, put: () => [read[j], read[i]],
    weigh: (at) => log + changed(at, [i, j], [read[j] - read[i], read[i] - read[j]]),
  }));
}

function pairs(places) {
  const log = 2 * Math.log(tables.slips.chance);
  return spots(places).map(([i, j]) => ({ rows: [i, j], say: tables.said.two_wrong, weigh: (at) => together(at, i, j) + log }));
}

// Two readings wrong, each by some amount.
function together({ z, maker, sigmas }, i, j) {
  const [a, b, c] = [maker[i][i], maker[j][j], maker[i][j]];
  const det = a * b - c * c;
  const { unchecked } = tables.fit;
  if (det <= tables.slips.least_apart * a * b || a <= unchecked || b <= unchecked) return -Infinity;
  const [first, second] = [(b * z[i] - c * z[j]) / det, (a * z[j] - c * z[i]) / det];
  const spread = Math.log((TWO_PI * sigmas[i] * sigmas[j]) / Math.sqrt(det));
  return (z[i] * first + z[j] * second) / 2 + spread + slipDensity(first * sigmas[i]) + slipDensity(second * sigmas[j]);
}

// Whole sets of lengths off alike: `amount` says by how much too long.
function alike(places, read) {
  const kinds = [...new Set(places.map(kindOf))].filter((kind) => isLength(kind));
  const rowsOf = (kind) => places.flatMap((place, i) => (kindOf(place) === kind ? [i] : []));
  const sets = kinds.map((kind) => [kind, rowsOf(kind)]).filter(([, rows]) => new Set(rows.map((i) => places[i])).size > 1);
  if (kinds.length > 1) sets.push(["", kinds.flatMap(rowsOf)]);
  return sets.map(([kind, rows]) => {
    const log = Math.log(tables.together.alike[kind]);
    return {
      rows, say: tables.said.alike, put: (off) => rows.map((i) => read[i] - off),
      amount: (at) => amount(at, rows).mm,
      weigh: (at) => {
        const { mm, gain } = amount(at, rows);
        return gain + slipDensity(mm) + log;
      },
    };
  });
}

function calledWrong(places, read) {
  const kinds = [...new Set(places.map(kindOf))].filter((kind) => !isLength(kind));
  return kinds.map((kind) => places.flatMap((place, i) => (kindOf(place) === kind ? [i] : [])))
    .filter((rows) => rows.length > 1 && rows.some((i) => read[i] !== 0))
    .map((rows) => ({
      rows, say: tables.said.turned, put: () => rows.map((i) => -read[i]),
      weigh: (at) => Math.log(tables.together.turned) + changed(at, rows, rows.map((i) => -2 * read[i])),
    }));
}

// The opening is not as straight or level as a stand-in says; one whose edge was read is well, and nothing is doubted.
function shapes(places, standIns) {
  const { odd, shapes: chances, arched, bulged, least_mm: least, most_mm: most } = tables.together;
  return standIns.flatMap((place, n) => {
    if (!(place in odd)) return [];
    const { by, meant } = odd[place];
    const read = places.filter((one) => one === by).length;
    const shape = meant[Math.min(read, meant.length - 1)];
    if (!shape) return [];
    const { kind, edge, read: well } = shape;
    const row = places.length + n;
    return [{
      rows: [], shape: { kind, edge, by, row }, well,
      amount: (at) => amount(at, [row]).mm,
      weigh: (at) => {
        const { mm, gain } = amount(at, [row]);
        // a head that hangs is no arch
        const chance = kind === arched && mm < 0 ? chances[bulged] : chances[kind];
        return gain + sizeDensity(mm, least, most) + Math.log(chance);
      },
    }];
  });
}

// The best amount that some rows are all off by, and what it gains with its own spread counted in.
function amount({ z, maker, sigmas }, rows) {
  const pattern = new Array(z.length).fill(0);
  for (const row of rows) pattern[row] = 1 / sigmas[row];
  const seen = dot(times(maker, pattern), pattern);
  if (seen <= tables.fit.unchecked * dot(pattern, pattern)) return { mm: 0, gain: -Infinity };
  const along = dot(pattern, z);
  return { mm: along / seen, gain: along ** 2 / seen / 2 + Math.log(TWO_PI / seen) / 2 };
}
