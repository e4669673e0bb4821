// What else is asked at an opening: one question, one answer. A table, so that phone and desk ask alike.
// kind: "mm" | "number" | "text" | "yes"; else one of the words that the survey itself takes.

import { CHOICES } from "./choices.js";

const chosen = (path) => ({ path, choices: CHOICES[path] });

export const QUESTIONS = [
  { path: "reveal_depth_mm", kind: "mm" },
  { path: "sill_above_floor_mm", kind: "mm" },
  { path: "drop_outside_mm", kind: "mm" },
  chosen("lintel/kind"),
  chosen("old_sill"),
  { path: "by_bath", kind: "yes" },
  { path: "beside_door_mm", kind: "mm" },
  { path: "now/opens", kind: "text" },
  chosen("now/material"),
  chosen("now/glazing"),
  { path: "now/clear_width_mm", kind: "mm" },
  { path: "now/clear_height_mm", kind: "mm" },
  { path: "now/bottom_above_floor_mm", kind: "mm" },
  { path: "now/vents_mm2", kind: "number" },
  { path: "now/safety_marks", kind: "yes" },
  { path: "wanted/layout", layouts: CHOICES["wanted/layout"] },
  chosen("wanted/colour"),
  { path: "wanted/glass", kind: "text" },
  { path: "note", kind: "text" },
];

export const keyOf = (question) => question.path.replaceAll("/", ".");
