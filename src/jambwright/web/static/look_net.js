// The net of readings over an opening: a row for each reading, and rows of 0 that stand in for what was not read.

import { kindOf, tables } from "./look_tables.js";
import { logSum } from "./look_numbers.js";
import { madeLinear, solve } from "./look_fit.js";
import { edges, observe, roughly } from "./look_shape.js";
import { mean, onceMm, unmeasuredMm } from "./look_trust.js";

const bowPlaces = ({ shape }) => Object.keys(shape.bows);
const stepPlaces = ({ shape }) => Object.keys(shape.steps);
const upright = ({ shape }) => Object.keys(shape.offsets);
const nothing = (rows) => rows.map(() => 0);

// `singly` takes repeats one by one, else their mean. The net holds the figures that were read too.
export function netOf(readings, { singly = false } = {}) {
  const rows = readings.flatMap((one) => (singly ? one.values : [mean(one.values)]).map((mm) => ({ ...one, mm })));
  const places = rows.map(({ place }) => place);
  // a jamb's quarter points are part of the shape where a width was measured there
  const shape = places.some((place) => tables.quarters.includes(place)) ? tables.quartered : tables.shape;
  const read = rows.map(({ mm }) => mm);
  const start = roughly(shape, places, read);
  const [along, up] = edges(shape, start);
  const sigmas = rows.map((row) => {
    const once = onceMm({ ...row, mm: mean(row.values) }, kindOf(row.place) === "plumb" ? up : along);
    return singly ? once : once / Math.sqrt(row.values.length);
  });
  const standIns = [...bowPlaces({ shape }).filter((place) => !places.includes(place)), ...stepPlaces({ shape })];
  const bow = tables.trust.bow_mm;
  return {
    shape, places, read, start, standIns,
    sigmas: [...sigmas, ...standIns.map(() => bow)],
    upright: upright({ shape }).map((place) => unmeasuredMm(place, [along, up])),
    bow,
  };
}

const rowsOf = (net) => [...net.places, ...net.standIns];

// The adjustment; `read` and `sigmas` where they are other than the net's own.
export function fit(net, { read = net.read, sigmas = net.sigmas, start = net.start } = {}) {
  const offEdges = [...bowPlaces(net), ...stepPlaces(net)];
  const likely = [...upright(net), ...offEdges];
  const prior = {
    observe: (p) => observe(net.shape, likely, p),
    sigmas: [...net.upright, ...offEdges.map(() => Math.max(net.bow, tables.fit.least_bow_mm))],
  };
  return solve((p) => observe(net.shape, rowsOf(net), p), [...read, ...nothing(net.standIns)], sigmas, start, prior);
}

// The same net with what is known of any opening: near upright, edges near straight. Explanations are weighed with it.
export function expecting(net) {
  const read = bowPlaces(net).filter((place) => net.places.includes(place));
  const lean = net.upright.map((sigma) => sigma * tables.search.crooked);
  return {
    ...net,
    standIns: [...net.standIns, ...read, ...upright(net)],
    sigmas: [...net.sigmas, ...read.map(() => net.bow), ...lean],
  };
}

// What the sigmas of a net's rows are multiplied by, {factors, tools, logChance}, those that are the same here as one.
function degreesOf(net) {
  const { tools, read_bows: readBows, unread_bows: unreadBows, leans, steps, log_chance: chance } = tables.scales;
  const of = net.standIns.map((place) => {
    if (place in net.shape.offsets) return leans;
    if (place in net.shape.steps) return steps;
    return net.places.includes(place) ? readBows : unreadBows;
  });
  const found = new Map();
  chance.forEach((log, k) => {
    const factors = [...net.places.map(() => tools[k]), ...of.map((degrees) => degrees[k])];
    const had = found.get(factors.join())?.logChance ?? -Infinity;
    found.set(factors.join(), { factors, tools: tools[k], logChance: logSum([had, log]) });
  });
  return [...found.values()];
}

// The model at `p` for each degree of crooked walls and bad tools, with its sigmas and the log chance beforehand.
export function linearBy(net, p) {
  const at = observe(net.shape, rowsOf(net), p);
  const observed = [...net.read, ...nothing(net.standIns)];
  return degreesOf(net).map(({ factors, tools, logChance }) => {
    const sigmas = net.sigmas.map((sigma, i) => sigma * factors[i]);
    return { ...madeLinear(at, observed, sigmas), sigmas, tools, logChance };
  });
}
