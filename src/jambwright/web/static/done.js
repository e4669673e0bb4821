// How far an opening has come, by its marks: each stage stands on those before it.

const STAGES = ["ordered", "fitted", "sealed", "finished"];

export function isDone(opening, stage) {
  const reached = Math.max(-1, ...(opening?.done ?? []).map((mark) => STAGES.indexOf(mark)));
  return STAGES.indexOf(stage) <= reached;
}

// Its unit is on order or has come, and is not fitted yet.
export const awaitsDelivery = (opening) => isDone(opening, "ordered") && !isDone(opening, "fitted");
