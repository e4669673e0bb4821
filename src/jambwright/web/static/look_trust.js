// How far a reading is trusted, and what it is corrected by: its tool, its tool's check, and how it was written down.

import { isLength, kindOf, said, tables } from "./look_tables.js";
import { upper } from "./look_numbers.js";

export const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;

// Readings of one face as they count, corrected, [{place, values, tool, rounding}], and what such readings are rounded to.
export function readingsOf(given) {
  const taken = takenOf(given);
  // how figures were rounded shows before they are corrected
  const rounding = roundingOf(taken);
  const roundingAt = (place) => rounding[isLength(place) ? "lengths" : "offsets"];
  const readings = taken.map((one) => {
    const bias = isLength(one.place) && one.tool ? correctionMm(one.tool) : 0;
    return { ...one, values: one.values.map((mm) => mm - bias), rounding: roundingAt(one.place) };
  });
  return { readings, roundingAt };
}

// Said of figures that look written to 5 or 10 mm.
export function writtenTo(given) {
  const { lengths, offsets } = roundingOf(takenOf(given));
  return [lengths, offsets].flatMap((step, n) =>
    (step > 1 ? [upper(said("written", { what: tables.written[n], step: String(step) }))] : []));
}

// What was measured, as it was written.
function takenOf({ outside, tools, tape }) {
  const byName = Object.fromEntries((tools ?? []).map((tool) => [tool.name, tool]));
  return tables.every_place.flatMap((place) => {
    const [kind, at] = place.split(" ");
    const found = outside?.[kind]?.[at] ?? null;
    if (found === null) return [];
    const { mm, tool = null, how = "measured" } = typeof found === "object" && !Array.isArray(found) ? found : { mm: found };
    if (how !== "measured") return [];
    return [{ place, values: (Array.isArray(mm) ? mm : [mm]).map(Number), tool: byName[tool ?? (isLength(place) ? tape : null)] }];
  });
}

// Standard deviation of one reading of a place; `edge` is how long the edge is that a level is held along.
/** @param {any} reading @param {any} [edge] */
export function onceMm({ place, mm, tool, rounding }, edge) {
  const { tape_mm: tape, level_mm: level } = tables.trust;
  const own = tool ? toolMm(tool, isLength(place) ? Math.abs(mm) : edge) : isLength(place) ? tape : level;
  return Math.hypot(own, rounding > 1 ? rounding / Math.sqrt(12) : 0);
}

function toolMm({ kind = "tape", sigma_mm: own, accuracy_class: given }, lengthMm) {
  if (own !== null && own !== undefined) return own;
  const { errors, tapes, usual_class: usual } = tables.trust;
  if (kind === "tape") {
    const [a, b, end] = tapes[given ?? usual];
    const limit = a + b * Math.ceil(lengthMm / 1000) + end;
    return Math.sqrt(limit ** 2 / 3 + (2 * errors.eye_mm ** 2) / 3 + errors.spot_mm ** 2);
  }
  if (kind === "level") return Math.hypot(errors.offset_mm, (errors.level_mm_per_m * lengthMm) / 1000);
  return errors[kind === "straight_edge" ? "offset_mm" : `${kind}_mm`];
}

// What an accepted check, else fitted frames, say a tool reads long; 0 where that is less than sure.
function correctionMm(tool) {
  const known = [];
  if (tool.check?.read_mm !== undefined && tool.check.correct) known.push(checked(tool));
  if (tool.learned) known.push([tool.learned.bias_mm, tool.learned.error_mm]);
  return known.find(([bias, error]) => Math.abs(bias) >= tables.trust.sure * error)?.[0] ?? 0;
}

function checked({ kind = "tape", check }) {
  const { errors } = tables.trust;
  const figures = [check.read_mm].flat();
  const reading = kind === "laser" ? errors.laser_mm : errors.eye_mm * Math.sqrt(2 / 3);
  return [mean(figures) - check.known_mm, Math.hypot(reading / Math.sqrt(figures.length), errors.known_length_mm)];
}

// The steps that lengths and offsets were written to; 1 where nothing shows a coarser one.
function roundingOf(taken) {
  const figures = (lengths) => taken.filter(({ place }) => isLength(place) === lengths).flatMap(({ values }) => values);
  const [lengths, offsets] = [figures(true), figures(false)];
  const step = stepOf(lengths);
  // who writes lengths coarsely and has no offset off that step writes offsets so too
  const habit = offsets.every((mm) => mm % step === 0) ? step : 1;
  return { lengths: step, offsets: Math.max(habit, stepOf(offsets.filter((mm) => mm !== 0))) };
}

function stepOf(figures) {
  const { steps_mm: steps, fewest, most_off: mostOff } = tables.trust;
  return steps.find((step) => figures.length >= fewest && figures.filter((mm) => mm % step !== 0).length * mostOff <= figures.length) ?? 1;
}

// Standard deviation of an edge's lean or level where nobody measured it.
export function unmeasuredMm(place, [along, up]) {
  const { lean_mm_per_m: lean, lean_least_mm: least } = tables.trust.errors;
  return Math.max((lean * (kindOf(place) === "plumb" ? up : along)) / 1000, least);
}
