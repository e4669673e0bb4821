// What to say of the readings: do they agree, what would tell most, in the engine's own words.

import { said, tables } from "./look_tables.js";
import { byRows, dot, largest, rounded, times, turned, upper } from "./look_numbers.js";
import { rankOf, redundancyOf, spreadOf } from "./look_fit.js";
import { boundary, observe } from "./look_shape.js";
import { onceMm } from "./look_trust.js";

const nameOf = (place) => tables.names[place];
const share = (chance) => `${rounded(chance * 100)}%`;
const plain = (mm) => String(Number(mm.toPrecision(6)));
const lengths = (shape) => Object.keys(shape.distances);
const candidates = (shape) => [...lengths(shape), ...Object.keys(shape.offsets), ...Object.keys(shape.bows)];

// `outline` is the net of the readings and its fit, `roundingAt` what readings are rounded to: {verdict, says, next, oneSet?}.
export function advise(outline, findings, roundingAt) {
  const own = spreadsAt(outline.net.shape, roundingAt);
  if (findings.doubted) {
    const next = tellingReading(outline, findings, own);
    return { verdict: "measure again", next, says: [...accused(findings), ...apart(findings, next), ...still(findings)], oneSet: isSet(findings) };
  }
  const { square, level } = measured(outline);
  const resting = formRestsOn(outline);
  const next = square && level && !resting.length ? null : mostUseful(outline, square, resting, own);
  return {
    verdict: !square || resting.length ? "too few readings to tell" : "agree",
    next,
    says: [
      ...(square ? [] : [said("not_square")]), ...(level ? [] : [said("not_level")]),
      ...(resting.length ? [said("resting", { readings: resting.map((n) => nameOf(outline.net.places[n])).join(" and the ") })] : []),
      ...(next ? [said("measure", { reading: nameOf(next) })] : []),
    ],
  };
}

// Variance of one reading more at each place, rounded as the others were.
const spreadsAt = (shape, roundingAt) => candidates(shape).map((place) => onceMm({ place, rounding: roundingAt(place) }) ** 2);

// Whether the readings determine the outline's form, and how it stands to gravity: an open direction that changes no
// length between the shape's points only turns the outline.
function measured({ net: { shape }, fit: { parameters, open } }) {
  const directions = open.filter((one) => one.some((value) => value !== 0));
  if (!directions.length) return { square: true, level: true };
  const inForm = rankOf(byRows(directions, observe(shape, lengths(shape), parameters).slopes), tables.fit.least_seen);
  return { square: inForm === 0, level: inForm === directions.length };
}

// Rows of readings that nothing checks and whose error would bend the outline, not only turn it.
function formRestsOn({ net, fit }) {
  const gains = turned(fit.gain);
  const { slopes } = observe(net.shape, lengths(net.shape), fit.parameters);
  return net.places.flatMap((_, n) => {
    if (redundancyOf(fit, n) >= tables.fit.unchecked) return [];
    const passed = Math.max(...times(slopes, gains[n]).map(Math.abs)) / fit.sigmas[n];
    return passed > tables.advice.moves_form ? [n] : [];
  });
}

// The reading, new or taken again, that best parts the explanations.
function tellingReading({ net: { shape } }, { explanations, toldApart }, own) {
  const [first] = explanations;
  const alone = toldApart || explanations.length < 2;
  if (alone && first.changes.length) return first.changes[0].place;
  if (alone && first.shape) return first.shape.by;
  const places = candidates(shape);
  const foretold = explanations.map(({ fit: left }) => {
    const { values, slopes } = observe(shape, places, left.parameters);
    return { values, spread: spreadOf(slopes, left.covariance) };
  });
  const worth = places.map((_, n) => {
    let sum = 0;
    foretold.forEach((a, i) => foretold.slice(0, i).forEach((b, j) => {
      const power = (a.values[n] - b.values[n]) ** 2 / (a.spread[n] + b.spread[n] + 2 * own[n]);
      sum += explanations[i].chance * explanations[j].chance * Math.min(power, tables.advice.clearly_apart);
    }));
    return sum;
  });
  return places[largest(worth)];
}

// The one reading that fills most of what is open, else checks best what the outline rests on.
function mostUseful({ net, fit }, square, resting, own) {
  const places = candidates(net.shape);
  const { slopes } = observe(net.shape, places, fit.parameters);
  const seen = slopes.map((row) => times(fit.covariance, row));
  const variance = slopes.map((row, n) => dot(seen[n], row) + own[n]);
  if (square && resting.length) {
    const gains = turned(fit.gain);
    const shown = slopes.map((row) => Math.min(...resting.map((n) => dot(row, gains[n]) ** 2)));
    return places[largest(places.map((place, n) => (net.places.includes(place) ? 0 : shown[n] / variance[n])))];
  }
  const bends = boundary(net.shape, fit.parameters).slopes.flat();
  return places[largest(places.map((_, n) => bends.reduce((sum, bend) => sum + dot(bend, seen[n]) ** 2, 0) / variance[n]))];
}

// Said when even the best explanation leaves the readings at odds.
function still({ explanations: [{ rows, fit }] }) {
  const free = fit.sigmas.length - fit.rank - rows.length;
  return free >= 1 && fit.squareSum >= tables.advice.at_odds[free - 1] ? [said("still")] : [];
}

// Whether a whole set of readings stands out as wrong alike.
const isSet = ({ explanations: [best], toldApart }) => toldApart && best.changes.length > tables.advice.most_singly;

// Readings that stand out; where explanations rival, none is accused on its own.
function accused({ explanations, suspects, toldApart }) {
  const [best] = explanations;
  if (!toldApart) return [];
  if (best.shape) return [said("shape", { cause: best.cause, reading: nameOf(best.shape.by) })];
  if (isSet({ explanations, toldApart })) {
    return [said("several", { changed: upper(changedBy(best)), chance: share(best.chance) })];
  }
  return suspects.map((one) => said("suspect", {
    reading: nameOf(one.place), read: plain(one.read), likely: rounded(one.likely), cause: one.cause, chance: share(one.chance),
  }));
}

// What an explanation changes, in plain words.
function changedBy({ changes, shape, cause }) {
  if (shape) return `the ${cause}`;
  if (changes.length <= tables.advice.most_singly) {
    const one = ({ place, read, likely }) => said("change", { reading: nameOf(place), read: plain(read), likely: rounded(likely) });
    const told = changes.filter(({ read, likely }) => rounded(likely) !== rounded(read));
    return (told.length ? told : changes).map(one).join(" and ");
  }
  const kinds = new Set(changes.map(({ kind }) => kind));
  const which = kinds.size === 1 ? `${[...kinds][0]}s` : said("lengths");
  const many = tables.numbers[new Set(changes.map(({ place }) => place)).size];
  if (cause === tables.said.turned) return said("set_turned", { many, which });
  const off = changes.reduce((sum, { read, likely }) => sum + read - likely, 0) / changes.length;
  return said("set_alike", { many, which, off: rounded(Math.abs(off)), way: off < 0 ? "short" : "long" });
}

function apart({ explanations, toldApart }, next) {
  if (toldApart) return [];
  const alike = new Map(); // two that differ by less than is written are one to who reads
  for (const one of explanations) alike.set(changedBy(one), (alike.get(changedBy(one)) ?? 0) + one.chance);
  const causes = [...alike].map(([changed, chance]) => `${changed} (${share(chance)})`).join("; or ");
  const kinds = [...new Set(explanations.flatMap(({ changes }) => changes.map(({ kind }) => `${kind}s`)))];
  const odds = explanations[0].chance < tables.advice.stands_out && kinds.length > 1
    ? [said("at_odds", { some: kinds.slice(0, -1).join(", "), last: kinds.at(-1) })] : [];
  return [[...odds, said("cannot_tell", { causes, reading: nameOf(next) })].join(" ")];
}
