// The engine's constants and tables for the look at readings, as the server writes them out in limits.json.
// Whoever looks gives them once: a page has them already, its worker is sent them.

export const tables = {};

export function learn(limits) {
  const { look, lengths, places, names } = limits;
  Object.assign(tables, look, { lengths, names, places: Object.entries(places).flatMap(([kind, all]) => all.map((at) => `${kind} ${at}`)) });
}

export const kindOf = (place) => place.split(" ")[0];
export const isLength = (place) => tables.lengths.includes(kindOf(place));

// One of the engine's own sentences, its values filled in.
export const said = (key, values = {}) => tables.said[key].replace(/\{(\w+)\}/g, (_, name) => values[name]);
