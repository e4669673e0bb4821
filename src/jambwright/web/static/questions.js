// What else is asked at an opening: one question, one answer. A table, so that phone and desk ask alike.
// kind: "mm" | "number" | "text" | "yes" | one of the survey's own words in `choices`.

const OPENS = ["fixed", "side_hung_left", "side_hung_right", "top_hung", "tilt_turn_left", "tilt_turn_right"];

export const QUESTIONS = [
  { path: "reveal_depth_mm", kind: "mm" },
  { path: "sill_above_floor_mm", kind: "mm" },
  { path: "drop_outside_mm", kind: "mm" },
  { path: "lintel/kind", choices: ["steel", "concrete", "timber", "stone", "brick_arch", "none", "unknown"] },
  { path: "old_sill", choices: ["none", "stone", "tile", "concrete", "timber"] },
  { path: "by_bath", kind: "yes" },
  { path: "beside_door_mm", kind: "mm" },
  { path: "now/opens", kind: "text" },
  { path: "now/material", choices: ["timber", "steel", "aluminium", "pvcu", "other"] },
  { path: "now/glazing", choices: ["single", "double", "secondary", "unknown"] },
  { path: "now/clear_width_mm", kind: "mm" },
  { path: "now/clear_height_mm", kind: "mm" },
  { path: "now/bottom_above_floor_mm", kind: "mm" },
  { path: "now/vents_mm2", kind: "number" },
  { path: "now/safety_marks", kind: "yes" },
  { path: "wanted/layout", layouts: OPENS },
  { path: "wanted/colour", choices: ["white", "dark"] },
  { path: "wanted/glass", kind: "text" },
  { path: "note", kind: "text" },
];

export const keyOf = (question) => question.path.replaceAll("/", ".");
