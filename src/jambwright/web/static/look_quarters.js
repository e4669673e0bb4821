// When the widths at the quarter points of the jambs are worth taking.

import { tables } from "./look_tables.js";

// The quarter widths that are still to be read, `mm` being what was read by place.
export const quartersAsked = (mm) => (hintsAtStep(mm, tables.search.hints_mm) ? tables.quarters.filter((place) => !(place in mm)) : []);

// Whether a jamb's middle stands so far off its ends that it may be stepped.
export function hintsAtStep(mm, leastMm) {
  const [bottom, middle, top] = ["bottom", "middle", "top"].map((at) => mm[`width ${at}`]);
  return [mm["bow left"], mm["bow right"], (bottom + top) / 2 - middle].some((off) => Math.abs(off) >= leastMm);
}
