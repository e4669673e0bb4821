// What is asked about a figure before it is kept: whether it can be at all, and whether it goes with its neighbours.
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
