// The words that may be chosen at an opening, by field: [value, words], as the description of what is asked has them.

import { limits } from "./check.js";

export const WORDS = limits.asked.choices;
export const CHOICES = Object.fromEntries(Object.entries(WORDS).map(([path, list]) => [path, list.map(([value]) => value)]));
export const wordOf = (path, value) => WORDS[path].find(([one]) => one === value)?.[1] ?? String(value);
