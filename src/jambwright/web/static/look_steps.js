// A stepped jamb: quarter widths that no smooth jambs would leave, by what the other readings foretell.

import { kindOf, said, tables } from "./look_tables.js";
import { rounded } from "./look_numbers.js";
import { spreadOf } from "./look_fit.js";
import { fit, netOf } from "./look_net.js";
import { observe } from "./look_shape.js";
import { mean, onceMm } from "./look_trust.js";

// What quarter widths say of steps; `worse` is how much more the readings scatter than was said.
export const stepWords = (readings, worse) => steps(readings, worse).map(({ place, off }) =>
  said("step", { reading: tables.names[place], off: rounded(Math.abs(off)), narrower: off < 0 ? "less" : "more" }));

function steps(readings, worse) {
  const isQuarter = ({ place }) => tables.quarters.includes(place);
  const quarters = readings.filter(isQuarter);
  const others = readings.filter((one) => !isQuarter(one));
  if (!quarters.length || !["width", "height"].every((kind) => others.some(({ place }) => kindOf(place) === kind))) return [];
  const { parameters, covariance } = fit(netOf(others));
  // between jambs bent at their middles and curved ones lies what is smooth
  const smooth = tables.smooth.map((shape) => {
    const p = [...parameters, ...new Array(shape.parameters - parameters.length).fill(0)];
    const { values, slopes } = observe(shape, quarters.map(({ place }) => place), p);
    return { values, spread: spreadOf(slopes.map((row) => row.slice(0, parameters.length)), covariance) };
  });
  return quarters.map((one, n) => {
    const read = mean(one.values);
    const own = onceMm({ ...one, mm: read }) ** 2 / one.values.length;
    const nearest = smooth.reduce((a, b) => (Math.abs(b.values[n] - read) < Math.abs(a.values[n] - read) ? b : a));
    const [low, high] = [Math.min, Math.max].map((of) => of(...smooth.map(({ values }) => values[n])));
    const off = read < low ? read - low : Math.max(read - high, 0);
    return { place: one.place, off, sigma: Math.sqrt(own + nearest.spread[n]) };
  }).filter(({ off, sigma }) => Math.abs(off) > tables.search.stepped * worse * sigma);
}
