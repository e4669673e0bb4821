// The number pad: big keys, one figure at a time, and which way an offset goes said in words.

import { button, el, fixed, refill } from "./dom.js";
import { isLength } from "./readings.js";
import { say } from "./texts.js";

const KEYS = [["1", "2", "3"], ["4", "5", "6"], ["7", "8", "9"], [".", "0"]];
const RUB_OUT = "⌫";
const KNOWN = [...KEYS.flat(), RUB_OUT];
const MOST_DIGITS = 6;

export class Pad {
  // `done(mm, typed, again)` is called with a figure, `unsaid()` when it is not said which way it goes;
  // `kept(draft)` at every key, so that nothing typed is lost.
  constructor({ done, unsaid, kept, skip }) {
    this.unsaid = unsaid;
    this.done = done;
    this.kept = kept;
    this.text = "";
    this.way = null; // never chosen beforehand: a forgotten press must not store a direction
    this.name = el("h2", { class: "reading-name", id: "reading-name" });
    this.hint = el("p", { class: "reading-hint" });
    this.repeats = el("p", { class: "repeats" });
    this.figure = el("output", { class: "typed", "aria-labelledby": "reading-name", "aria-live": "off" });
    this.ways = el("div", { class: "ways", role: "group", "aria-label": say("pad.which_way") });
    this.again = button(say("pad.again"), () => this.#finish(true), { class: "again" });
    this.next = button(say("pad.next"), () => this.#finish(false), { class: "next" });
    this.element = el(
      "section",
      { class: "pad", "aria-label": say("pad.label") },
      el("div", { class: "pad-top" }, el("div", {}, this.name, this.hint, this.repeats),
        el("div", { class: "typed-box" }, this.figure, el("span", { class: "unit" }, "mm"))),
      this.ways,
      el("div", { class: "keys" }, KEYS.map((row, n) => [row.map((key) => this.#key(key)), [
        this.#key(RUB_OUT), this.again, button(say("pad.cannot"), skip, { class: "cannot" }), this.next][n]])),
    );
    this.element.addEventListener("keydown", (event) => this.#typed(event));
  }

  show(place, { name, hint, figures, draft }) {
    this.place = place;
    this.text = draft?.text ?? "";
    this.way = draft?.way ?? null;
    this.name.textContent = name;
    this.hint.textContent = hint;
    this.repeats.textContent = figures.length ? say("pad.read_so_far", { figures: figures.map(fixed).join(", ") }) : "";
    this.ways.hidden = isLength(place);
    if (!isLength(place)) this.#showWays();
    this.#showText();
  }

  // A key of the computer's keyboard, wherever the focus is on the screen.
  press(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key === "Backspace" ? RUB_OUT : event.key === "," ? "." : event.key;
    if (KNOWN.includes(key)) this.#press(key);
    else if (event.key === "Enter") this.#finish(false);
    else if (event.key === "-" && !isLength(this.place)) this.#turn(this.way === -1 ? 1 : -1);
    else return;
    event.preventDefault();
  }

  #typed(event) {
    if (event.target.tagName !== "BUTTON" || event.key !== "Enter") return;
    event.stopPropagation();
  }

  #key(key) {
    return button(key, () => this.#press(key), { "aria-label": key === RUB_OUT ? say("pad.rub_out") : key });
  }

  #press(key) {
    if (key === RUB_OUT) this.text = this.text.slice(0, -1);
    else if (key === "." && (this.text.includes(".") || !this.text)) return;
    else if (this.text.replace(".", "").length < MOST_DIGITS) this.text += key;
    this.#showText();
    this.kept({ text: this.text, way: this.way });
  }

  #showText() {
    this.figure.textContent = this.text || "–";
    this.again.disabled = this.text === "";
    this.next.textContent = this.text === "" ? say("pad.pass") : say("pad.next");
  }

  #showWays() {
    const kind = this.place.split(" ")[0];
    refill(this.ways, ...[1, -1].map((sign) =>
      button(say(`pad.${kind}.${sign > 0 ? "plus" : "minus"}`), () => this.#turn(sign), { "aria-pressed": String(sign === this.way) })));
  }

  #turn(way) {
    this.way = way;
    this.#showWays();
    this.kept({ text: this.text, way });
  }

  #finish(again) {
    const typed = this.text;
    if (typed === "") return this.done(null, "", again);
    const size = Number(typed);
    if (isLength(this.place) || size === 0) return this.done(size, typed, again);
    return this.way === null ? this.unsaid() : this.done(size * this.way, typed, again);
  }
}
