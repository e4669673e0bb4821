// The net of readings over an opening: a row for each reading, and rows of 0 that stand in for what was not read.

import { kindOf, tables } from "./look_tables.js";
import { logSum } from "./look_numbers.js";
import { madeLinear, solve } from "./look_fit.js";
import { edges, observe, roughly } from "./look_shape.js";
import { mean, onceMm, unmeasuredMm } from "./look_trust.js";

const bowPlaces = () => Object.keys(tables.shape.bows);
const upright = () => Object.keys(tables.shape.offsets);
const nothing = (rows) => rows.map(() => 0);

// `singly` takes repeats one by one, else their mean. The net holds the figures that were read too.
export function netOf(readings, { singly = false } = {}) {
  const rows = readings.flatMap((one) => (singly ? one.values : [mean(one.values)]).map((mm) => ({ ...one, mm })));
  const places = rows.map(({ place }) => place);
  const read = rows.map(({ mm }) => mm);
  const start = roughly(places, read);
  const [along, up] = edges(start);
  const sigmas = rows.map((row) => {
    const once = onceMm({ ...row, mm: mean(row.values) }, kindOf(row.place) === "plumb" ? up : along);
    return singly ? once : once / Math.sqrt(row.values.length);
  });
  const standIns = bowPlaces().filter((place) => !places.includes(place));
  const bow = tables.trust.bow_mm;
  return {
    places, read, start, standIns,
    sigmas: [...sigmas, ...standIns.map(() => bow)],
    upright: upright().map((place) => unmeasuredMm(place, [along, up])),
    bow,
  };
}

const rowsOf = (net) => [...net.places, ...net.standIns];

// The adjustment; `read` and `sigmas` where they are other than the net's own.
export function fit(net, { read = net.read, sigmas = net.sigmas, start = net.start } = {}) {
  const likely = [...upright(), ...bowPlaces()];
  const prior = {
    observe: (p) => observe(likely, p),
    sigmas: [...net.upright, ...bowPlaces().map(() => Math.max(net.bow, tables.fit.least_bow_mm))],
  };
  return solve((p) => observe(rowsOf(net), p), [...read, ...nothing(net.standIns)], sigmas, start, prior);
}

// The same net with what is known of any opening: near upright, edges near straight. Explanations are weighed with it.
export function expecting(net) {
  const read = bowPlaces().filter((place) => net.places.includes(place));
  const lean = net.upright.map((sigma) => sigma * tables.search.crooked);
  return {
    ...net,
    standIns: [...net.standIns, ...read, ...upright()],
    sigmas: [...net.sigmas, ...read.map(() => net.bow), ...lean],
  };
}

// What the sigmas of a net's rows are multiplied by, [factors, log chance], those that are the same here as one.
function degreesOf(net) {
  const { tools, read_bows: readBows, unread_bows: unreadBows, leans, log_chance: chance } = tables.scales;
  const found = new Map();
  chance.forEach((log, k) => {
    const factors = [
      ...net.places.map(() => tools[k]),
      ...net.standIns.map((place) => (kindOf(place) !== "bow" ? leans : net.places.includes(place) ? readBows : unreadBows)[k]),
    ];
    const had = found.get(factors.join())?.[1] ?? -Infinity;
    found.set(factors.join(), [factors, logSum([had, log])]);
  });
  return [...found.values()];
}

// The model at `p` for each degree of crooked walls and bad tools, with its sigmas and the log chance beforehand.
export function linearBy(net, p) {
  const at = observe(rowsOf(net), p);
  const observed = [...net.read, ...nothing(net.standIns)];
  return degreesOf(net).map(([factors, logChance]) => {
    const sigmas = net.sigmas.map((sigma, i) => sigma * factors[i]);
    return { ...madeLinear(at, observed, sigmas), sigmas, logChance };
  });
}
