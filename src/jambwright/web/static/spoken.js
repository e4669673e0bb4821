// Figures spoken back, digit by digit, in the browser's own voice: off until switched on, remembered on this phone.

import * as keep from "./keep.js";
import { say } from "./texts.js";

let on = (await keep.fact("speak")) ?? false;

export const canSpeak = () => "speechSynthesis" in globalThis;
export const speaks = () => on;

export async function switchTo(wanted) {
  on = wanted;
  speak(say("spoken.on")); // at once: some phones let a page speak only after a press has made it speak
  await keep.fact("speak", wanted);
}

// What was said before is out of date and is cut short, but where this comes after it.
export function speak(text, { after = false } = {}) {
  if (!on || !canSpeak()) return;
  if (!after) speechSynthesis.cancel();
  const said = new SpeechSynthesisUtterance(text);
  said.lang = "en-GB";
  speechSynthesis.speak(said);
}

// One digit after another: 1210 and 1120 must not sound alike.
export const digits = (figure) => [...String(figure)].map((one) => (one === "." ? say("spoken.point") : one)).join(" ");
