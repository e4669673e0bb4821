// Looks at readings beside the page, so that the pad never waits. The first message holds the engine's tables.

import { learn, look } from "./look.js";

addEventListener("message", ({ data: { limits, number, given } }) => {
  if (limits) learn(limits);
  else postMessage({ number, found: look(given) });
});
