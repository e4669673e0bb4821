// The search for misreads: what most likely went wrong, what else could have, each with what it leaves.

import { kindOf, said, tables } from "./look_tables.js";
import { largest, logSum, rounded } from "./look_numbers.js";
import { expecting, fit, linearBy, netOf } from "./look_net.js";
import { observe } from "./look_shape.js";
import { waysOf } from "./look_weigh.js";

const OF_NO_ACCOUNT = -30; // logarithm of a chance that changes no figure that is told

export function search(readings) {
  const { alarm, worth_telling: worth } = tables.search;
  const net = netOf(readings, { singly: true });
  const weighed = weigh(net);
  const known = { remarks: knownShapes(weighed), worse: weighed.worse };
  if (weighed.total <= alarm) return { ...known, doubted: false, suspects: [], explanations: [] };
  const groups = groupsOf(weighed);
  const listed = groups.filter(({ chance }) => chance >= worth);
  const explanations = (listed.length ? listed : groups.slice(0, 1)).map((group) => explained(net, group));
  const toldApart = explanations[0].chance >= tables.search.certain_enough;
  return { ...known, doubted: true, suspects: suspectsOf(explanations, groups), explanations, toldApart };
}

// Odds of every explanation, where the model is made linear at the outline that the best of them leaves.
function weigh(net) {
  const known = expecting(net);
  const ways = waysOf(known);
  /** @type {any[]} */
  let [p, aside, weighed] = [net.start, "", null];
  for (let turn = 1; ; turn += 1) {
    weighed = mixed(ways, linearBy(known, p));
    const best = rowsOfBest(weighed.ways);
    if (turn === tables.search.rounds || (turn > 1 && best.join() === aside)) return weighed;
    aside = best.join();
    p = fit(net, { sigmas: setAside(net.sigmas, best), start: p }).parameters;
  }
}

const setAside = (sigmas, rows) => sigmas.map((sigma, i) => (rows.includes(i) ? sigma * tables.search.set_aside : sigma));

// One set of odds from those at several degrees, and amounts of the likeliest degree.
function mixed(ways, degrees) {
  const logs = degrees.map(({ logEvidence, logChance }) => logEvidence + logChance);
  const whole = logSum(logs);
  const chances = logs.map((log) => log - whole);
  const here = new Array(degrees.length);
  const beside = chances.slice(); // for each degree, whatever is wrong
  const all = ways.map((way) => {
    for (let k = 0; k < here.length; k += 1) {
      here[k] = way.weigh(degrees[k]) + chances[k];
      beside[k] = logSum([beside[k], here[k]]);
    }
    const log = logSum(here);
    return { way, log, mm: way.amount && log > -Infinity ? way.amount(degrees[largest(here)]) : 0 };
  });
  const logsOf = (well) => all.filter(({ way }) => Boolean(way.well) === well).map(({ log }) => log);
  const sum = logSum(logsOf(false));
  const every = logSum(beside);
  const worse = Math.sqrt(degrees.reduce((square, { tools }, k) => square + Math.exp(beside[k] - every) * tools ** 2, 0));
  return { ways: all, total: sum - logSum([0, ...logsOf(true)]), sum, worse };
}

// Which readings the best explanation changes; none where "none wrong" is best.
function rowsOfBest(ways) {
  const best = ways.reduce((a, b) => (b.log > a.log ? b : a));
  return best.log > 0 ? [...best.way.rows].sort((a, b) => a - b) : [];
}

// Explanations that change the same readings are one; its figures are exact where a named way leads.
function groupsOf({ ways, sum }) {
  const found = new Map();
  for (const one of ways) {
    if (one.way.well || one.log - sum < OF_NO_ACCOUNT) continue;
    const key = one.way.shape ? `shape ${one.way.shape.row}` : one.way.rows.join();
    if (found.has(key)) found.get(key).push(one);
    else found.set(key, [one]);
  }
  const groups = [...found.values()].map((several) => {
    const chance = Math.exp(logSum(several.map(({ log }) => log)) - sum);
    const best = several.reduce((a, b) => (b.log > a.log ? b : a));
    const exact = best.way.put?.(best.mm);
    const free = exact && Math.exp(best.log - sum) < chance / 2 && several.find(({ way }) => !way.put);
    const { rows, shape, say } = (free || best).way;
    return { rows, shape, chance, exact: free ? null : exact, cause: shape ? looksLike(shape, best.mm) : say };
  });
  return groups.filter(({ chance }) => chance > tables.search.negligible).sort((a, b) => b.chance - a.chance);
}

// Odd shapes that were read as such and stand out: no doubt, but worth a second look.
function knownShapes({ ways }) {
  const { least_mm: least, bulged, refer } = tables.together;
  return ways.filter(({ way, log, mm }) => way.well && (log > 0 || way.shape.kind === bulged) && Math.abs(mm) >= least)
    .map(({ way: { shape }, mm }) => said("known_shape", { cause: looksLike(shape, mm), refer: refer[shape.kind] }));
}

// `mm` is how far the edge stands out, or the right end low.
function looksLike({ kind, edge: at }, mm) {
  const { raked, arched, stepped } = tables.together;
  const size = rounded(Math.abs(mm));
  const way = mm > 0 ? "out" : "in";
  if (kind === raked) return said("raked", { end: mm > 0 ? "left" : "right", size });
  if (kind === stepped) return said("stepped", { way, size, edge: at });
  if (kind === arched && mm > 0) return said("arched", { size });
  const edge = at === "left" || at === "right" ? said("jamb", { edge: at }) : at;
  return said("bulged", { edge, way, size });
}

function explained(net, group) {
  const read = net.read.slice();
  let sigmas = net.sigmas;
  if (group.exact) group.rows.forEach((row, n) => { read[row] = group.exact[n]; });
  else sigmas = setAside(sigmas, group.rows);
  // the stand-in that says "straight" is what is wrong
  if (group.shape) sigmas = setAside(sigmas, [group.shape.row]);
  const left = fit(net, { read, sigmas });
  const expected = observe(net.shape, net.places, left.parameters).values;
  const changes = group.rows.map((row, n) => ({
    place: net.places[row], kind: kindOf(net.places[row]), read: net.read[row], likely: group.exact ? group.exact[n] : expected[row],
  }));
  return { ...group, changes, fit: left };
}

// Every reading that a told explanation changes, by the chance over all explanations.
function suspectsOf(explanations, groups) {
  const chance = new Map();
  for (const group of groups) for (const row of group.rows) chance.set(row, (chance.get(row) ?? 0) + group.chance);
  const found = new Map();
  for (const { rows, changes, cause } of explanations) {
    rows.forEach((row, n) => { if (!found.has(row)) found.set(row, { ...changes[n], cause, chance: chance.get(row) }); });
  }
  return [...found.values()].sort((a, b) => b.chance - a.chance);
}
