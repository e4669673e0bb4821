// Looks at readings beside the page. The first message holds the engine's tables, each other one a face of an opening.

import { learn, look } from "./look.js";

addEventListener("message", ({ data: { limits, number, given } }) => {
  let found = null;
  try {
    if (limits) learn(limits);
    else found = look(given);
  } finally {
    postMessage({ number, found });
  }
});
