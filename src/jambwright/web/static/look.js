// The engine's look at the readings of one opening, done here: no signal is needed. Pure; see look_worker.js.

import { kindOf, said, tables } from "./look_tables.js";
import { advise } from "./look_advice.js";
import { fit, netOf } from "./look_net.js";
import { quartersAsked } from "./look_quarters.js";
import { search } from "./look_search.js";
import { cornersOf, midEdgesOf } from "./look_shape.js";
import { stepWords } from "./look_steps.js";
import { mean, readingsOf, writtenTo } from "./look_trust.js";

export { learn } from "./look_tables.js";

const spoken = (place) => {
  const [kind, at] = place.split(" ");
  return { kind, at, name: tables.names[place] };
};

// `given` and the answer are those of POST /api/reading-check.
export function look(given) {
  const { readings, roundingAt } = readingsOf(given);
  const name = given.name ? `${given.name}: ` : "";
  if (!["width", "height"].every((kind) => readings.some(({ place }) => kindOf(place) === kind))) {
    const left = tables.places.find((place) => !readings.some((one) => one.place === place));
    return { next: left ? spoken(left) : null, says: [], suspects: [] };
  }
  const net = netOf(readings);
  const adjusted = fit(net);
  const findings = search(readings);
  const { verdict, says, next, oneSet = false } = advise({ net, fit: adjusted }, findings, roundingAt);
  const asked = findings.doubted ? [] : quartersAsked(Object.fromEntries(readings.map(({ place, values }) => [place, mean(values)])));
  const remarks = [...findings.remarks, ...stepWords(readings, findings.worse)];
  return {
    corners_mm: cornersOf(net.shape, adjusted.parameters),
    mid_edges_mm: midEdgesOf(net.shape, adjusted.parameters),
    verdict,
    suspects: findings.suspects.map(({ place, read, likely }) => {
      const [kind, at] = place.split(" ");
      return { kind, at, read_mm: read, likely_mm: likely };
    }),
    one_set: oneSet,
    remarks,
    says: [...says, ...remarks, ...writtenTo(given), ...whyAsked(asked)].map((say) => name + say),
    next: next || asked.length ? spoken(next ?? asked[0]) : null,
  };
}

const whyAsked = (asked) => (asked.length
  ? [said("why_quarters", { hints: String(tables.search.hints_mm), readings: asked.map((place) => tables.names[place]).join(" and the ") })] : []);
