// The readings of one face of an opening as the screens use them: places, names, figures and groups.

import { isLength, limits } from "./check.js";
import { hintsAtStep } from "./look_quarters.js";
import { get } from "./tree.js";
import { say } from "./texts.js";

// Groups in the order of the work, each lit in turn on the drawing.
export const GROUPS = {
  widths: ["width bottom", "width middle", "width top"],
  heights: ["height left", "height centre", "height right"],
  diagonals: ["diagonal rising", "diagonal falling"],
  levels: ["plumb left", "level sill", "plumb right", "level head"],
  bows: ["bow left", "bow right", "bow sill", "bow head"],
  quarters: ["width lower_quarter", "width upper_quarter"],
};
const MUST = ["widths", "heights", "diagonals", "levels"];

export const places = Object.values(GROUPS).flat();

// Asked only where the middle of a jamb stands so far off its ends that it may be stepped.
const EXTRA = ["quarters"];
const mean = (figures) => figures.reduce((sum, mm) => sum + mm, 0) / figures.length;
export const extraAsked = (had) => EXTRA.filter((group) => hints(had) || GROUPS[group].some((place) => had[place]));
export const groupsAsked = (had) => Object.keys(GROUPS).filter((group) => !EXTRA.includes(group) || extraAsked(had).includes(group));

const hints = (had) =>
  hintsAtStep(Object.fromEntries(Object.entries(had).map(([place, figures]) => [place, mean(figures)])), limits.look.search.hints_mm);

export const groupOf = (place) => Object.keys(GROUPS).find((group) => GROUPS[group].includes(place));
export { isLength };
export const nameOf = (place) => limits.names[place];
export const pathOf = (mark, face, place) => {
  const [kind, at] = place.split(" ");
  return `/openings/${mark}/${face}/${kind}/${at}`;
};

// A reading in the survey is a figure, repeats, or either with how it was got.
export function figuresOf(reading) {
  if (reading === null || reading === undefined) return [];
  const mm = typeof reading === "object" && !Array.isArray(reading) ? reading.mm : reading;
  return (Array.isArray(mm) ? mm : [mm]).map(Number);
}

const howOf = (reading) => (reading && typeof reading === "object" && !Array.isArray(reading) ? reading.how : null) ?? "measured";

// Figures by place. With `measured` only those that may set a size.
export function taken(face, { measured = false } = {}) {
  const found = {};
  for (const place of places) {
    const [kind, at] = place.split(" ");
    const reading = face?.[kind]?.[at];
    const figures = figuresOf(reading);
    if (figures.length && (!measured || howOf(reading) === "measured")) found[place] = figures;
  }
  return found;
}

// Places that should still be read, in order; those given up with a reason count as done.
export function missing(opening, face = "outside") {
  const had = taken(opening?.[face]);
  const givenUp = opening?.not_read ?? {};
  return MUST.flatMap((group) => GROUPS[group]).filter((place) => !had[place] && !(place in givenUp));
}

// How many questions have no answer that something needs: of those that are asked on the walk round an opening.
export const unanswered = (opening) => limits.asked.first.filter(({ path, missed }) => missed && (get(opening, `/${path}`) ?? null) === null).length;

export function status(opening) {
  const left = missing(opening).length;
  if (left === MUST.flatMap((group) => GROUPS[group]).length) return { key: "new", text: say("status.new") };
  if (left) return { key: "open", text: say("status.open", { n: left }) };
  return { key: "done", text: say("status.done") };
}

export const shown = (figures) => {
  if (!figures?.length) return say("draw.unread");
  const mean = figures.reduce((sum, value) => sum + value, 0) / figures.length;
  return Number.isInteger(mean) ? String(mean) : mean.toFixed(1);
};
