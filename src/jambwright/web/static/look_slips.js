// For a figure as written, what may have been meant: [{slip, mm, share, say}], by the engine's own ways of going wrong.

import { kindOf, tables } from "./look_tables.js";

const digits = Array.from({ length: 10 }, (_, digit) => digit);

// One list for each slip of this kind of reading; what does not apply is left out of it, but keeps its share.
export function meantBy(place, written) {
  const found = [];
  for (const { name, share, say } of tables.slips.of[kindOf(place)]) {
    if (name === "any" || name === "exchanged") continue;
    const all = meant(name, written);
    for (const mm of all) if (mm !== null) found.push({ mm, share: share / all.length, say });
  }
  return found;
}

export const shareOf = (place, slip) => tables.slips.of[kindOf(place)].find(({ name }) => name === slip).share;

function meant(slip, written) {
  const { added, times } = tables.slips;
  if (slip in added) return added[slip].map((mm) => written + mm);
  if (slip in times) return times[slip].map((factor) => (written * factor === written ? null : written * factor));
  return { swapped, figure }[slip](written);
}

const above = (written, ten) => Math.round((written - (written % ten)) / ten);

// Neighbouring figures of a whole number of up to five.
function swapped(written) {
  return tables.slips.tens.slice(0, -2).reverse().map((ten) => {
    const [low, high] = [above(written, ten) % 10, above(written, ten * 10) % 10];
    const other = written + (low - high) * ten * 10 + (high - low) * ten;
    return low !== high && written >= ten * 10 && other > 0 ? other : null;
  });
}

// One figure too few: any figure put in anywhere; one too many: any figure taken out.
function figure(written) {
  return tables.slips.tens.flatMap((ten) => {
    const [high, low] = [above(written, ten), written % ten];
    const fits = written >= ten || ten === 1;
    return [...digits.map((digit) => (fits ? (high * 10 + digit) * ten + low : null)),
      written >= 10 * ten ? Math.floor(high / 10) * ten + low : null];
  });
}
