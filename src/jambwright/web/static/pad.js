// The number pad: big keys, one figure at a time, and which way an offset goes said in words.

import { button, el, fixed, picture, refill } from "./dom.js";
import { isLength } from "./readings.js";
import { say } from "./texts.js";

const RUB_OUT = "⌫";
const KEYS = ["1", "2", "3", RUB_OUT, "4", "5", "6", ".", "7", "8", "9", "0"];
const BESIDE = { [RUB_OUT]: "rub", ".": "point", 0: "nought" }; // keys that stand elsewhere on the narrowest screens
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
    this.turn = Promise.resolve();
    this.anew = false; // the next figure key begins a new figure: the one before was asked about
    this.byKeys = false; // the last key of a keyboard, or of a device that types as one, was a figure
    this.again = button(say("pad.again"), () => this.#inTurn(() => this.#finish(true)), { class: "again" });
    this.cannot = button(say("pad.cannot"), skip, { class: "cannot" });
    this.next = button(say("pad.next"), () => this.#inTurn(() => this.#finish(false)), { class: "next" });
    this.element = el(
      "section",
      { class: "pad", "aria-label": say("pad.label") },
      el("div", { class: "pad-top" }, el("div", {}, this.name, this.hint, this.repeats),
        el("div", { class: "typed-box" }, this.figure, el("span", { class: "unit" }, "mm"))),
      this.ways,
      el("div", { class: "keys" }, KEYS.map((key) => this.#key(key)), this.again, this.cannot, this.next),
    );
  }

  show(place, { name, hint, figures, draft }) {
    this.place = place;
    this.text = draft?.text ?? "";
    this.way = draft?.way ?? null;
    this.anew = false;
    this.name.textContent = name;
    this.hint.textContent = hint;
    this.repeats.textContent = figures.length ? say("pad.read_so_far", { figures: figures.map(fixed).join(", ") }) : "";
    this.ways.hidden = isLength(place);
    if (!isLength(place)) this.#showWays();
    this.#showText();
  }

  // A key of a keyboard, or of a measuring device that types as one, wherever the focus is on the screen. Enter right
  // after a figure finishes it even where a button has the focus; else it presses that button, as the keyboard's user means.
  press(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key === "Backspace" ? RUB_OUT : event.key === "," ? "." : event.key;
    const onButton = event.target.closest?.("button, a, summary, [role='button']");
    const typing = this.byKeys;
    this.byKeys = KEYS.includes(key);
    if (this.byKeys) this.#inTurn(() => this.#press(key));
    else if (key === "Enter" && (typing || !onButton)) this.#inTurn(() => this.#finish(false));
    else if (key === "-") this.#inTurn(() => isLength(this.place) || this.#turn(this.way === -1 ? 1 : -1));
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  // What is pressed from now on comes after some work.
  wait(work) {
    this.#inTurn(() => work);
  }

  // A device types the next figure while the one before is still being kept: nothing of it may be lost.
  #inTurn(act) {
    this.turn = this.turn.then(act).catch(reportError);
  }

  #key(key) {
    return button(key, () => this.#inTurn(() => this.#press(key)), { class: BESIDE[key], "aria-label": key === RUB_OUT ? say("pad.rub_out") : key });
  }

  #press(key) {
    if (this.anew && key !== RUB_OUT) this.text = "";
    this.anew = false;
    if (key === RUB_OUT) this.text = this.text.slice(0, -1);
    else if (key === "." && (this.text.includes(".") || !this.text)) return;
    else if (this.text.replace(".", "").length < MOST_DIGITS) this.text += key;
    this.#showText();
    this.kept({ text: this.text, way: this.way });
  }

  #showText() {
    this.figure.textContent = this.text || "–";
    this.again.hidden = this.text === "";
    this.cannot.hidden = this.text !== "";
    this.next.textContent = this.text === "" ? say("pad.pass") : say("pad.next");
  }

  #showWays() {
    const kind = this.place.split(" ")[0];
    refill(this.ways, ...[1, -1].map((sign) =>
      button([this.#drawnWay(kind, sign), say(`pad.${kind}.${sign > 0 ? "plus" : "minus"}`)], () => this.#inTurn(() => this.#turn(sign)), { "aria-pressed": String(sign === this.way) })));
  }

  // Which way, drawn as it is at the side that is read.
  #drawnWay(kind, sign) {
    const [name, size] = [`${kind}_${sign > 0 ? "plus" : "minus"}`, kind === "bow" ? [24, 24] : [32, 24]];
    return picture(name, "", { class: "way", size, at: kind === "bow" ? this.place.split(" ")[1] : null });
  }

  #turn(way) {
    this.way = way;
    this.#showWays();
    this.kept({ text: this.text, way });
  }

  #finish(again) {
    const typed = this.text;
    if (typed === "") return this.done(null, "", again);
    this.anew = true;
    const size = Number(typed);
    if (isLength(this.place) || size === 0) return this.done(size, typed, again);
    return this.way === null ? this.unsaid() : this.done(size * this.way, typed, again);
  }
}
