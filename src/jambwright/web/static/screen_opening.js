// At the opening: drawn large, one dimension lit, a big pad, and word of a misread while still on the ladder.

import { button, el, refill } from "./dom.js";
import { impossible, limits, unlikely } from "./check.js";
import { drawOpening } from "./draw.js";
import { houseSeen, note, queued } from "./houses.js";
import * as keep from "./keep.js";
import { faceOf, look } from "./looking.js";
import { fromLook, roughOutline } from "./outline.js";
import { Pad } from "./pad.js";
import { extraAsked, groupOf, GROUPS, groupsAsked, isLength, missing, nameOf, pathOf, places, shown, taken, unanswered } from "./readings.js";
import { ask, NoSignal, Refusal } from "./server.js";
import { digits, speak } from "./spoken.js";
import { gatesSeen, stopsLink } from "./stops.js";
import { openingTabs } from "./tabs.js";
import { get, same } from "./tree.js";
import { say } from "./texts.js";
import { clashCard } from "./clash.js";

const CAPTION_PX = 18;
const BETWEEN_PX = 8;
const BAR_PX = 48;
const LEAST_PX = 104; // three labels one above another
const placeOf = ({ kind, at }) => `${kind} ${at}`;
const sameWord = (one, other) => same([one?.verdict, one?.says, one?.next], [other?.verdict, other?.says, other?.next]);

// Readings that don't go together, none accused: the one that is pressed is taken again.
const sideBySide = (readings, lit, takeAgain, more) =>
  el("div", { class: "side-by-side" }, readings.map(({ place, mm }) =>
    button([el("span", {}, nameOf(place)), el("strong", {}, shown([mm]))], () => takeAgain(place), { "aria-pressed": String(place === lit) })), more);

const wayOf = (place, mm) => (isLength(place) || mm === 0 ? "" : say(`pad.${place.split(" ")[0]}.${mm > 0 ? "plus" : "minus"}`));

const REASONS = ["cannot_reach", "hidden", "not_there"];

export async function openingScreen(id, mark) {
  const screen = new OpeningScreen(id, mark);
  await screen.refresh(id);
  return screen;
}

class OpeningScreen {
  constructor(id, mark) {
    this.id = id;
    this.mark = mark;
    this.title = mark;
    this.face = "outside";
    this.heard = null;
    this.padFor = null;
    this.asks = false;
    this.back = { href: `/site/${id}`, text: say("back.house") };
    this.place = null;
    this.picture = el("div", { class: "picture" });
    this.steps = el("div", { class: "steps", role: "group", "aria-label": say("opening.groups") });
    this.word = el("div", { class: "word", role: "status" });
    this.questions = el("div", { class: "ask-here" });
    this.pad = new Pad({
      done: (mm, typed, again) => this.#done(mm, typed, again),
      unsaid: () => this.#askWhichWay(),
      kept: (draft) => keep.put("drafts", { key: this.#draftKey(), ...draft }),
      skip: () => this.#askWhy(),
    });
    this.element = el("div", { class: "screen at-opening" },
      openingTabs(id, mark, "readings"), this.steps, this.picture,
      el("div", { class: "reach" }, this.questions, this.word, this.pad.element));
    this.onkey = (event) => /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName) || this.pad.press(event);
    document.addEventListener("keydown", this.onkey, true); // before a button that has the focus takes it
    this.onresize = () => this.#paint(); // turned on its side, or enlarged
    this.onroom = new ResizeObserver(this.onresize); // what stops the order is told in the bar a moment later, and so is the word
  }

  leave() {
    document.removeEventListener("keydown", this.onkey, true);
    removeEventListener("resize", this.onresize);
    this.onroom.disconnect();
    this.left = true;
  }

  async refresh(which) {
    if (which && which !== this.id) return;
    this.house = await houseSeen(this.id);
    this.opening = this.house && get(this.house.tree, `/openings/${this.mark}`);
    this.pad.element.hidden = !this.opening;
    if (!this.opening) {
      this.title = this.mark;
      refill(this.word, say("opening.not_here"));
      return;
    }
    this.title = `${this.mark} ${this.opening.room}`;
    this.face = (await keep.fact(`face ${this.id}/${this.mark}`)) ?? "outside";
    this.stops = stopsLink(this.id, this.opening, this.house.tree, (await gatesSeen(this.house)).gates);
    this.taken = taken(this.opening[this.face]);
    this.measured = taken(this.opening[this.face], { measured: true });
    this.place ??= missing(this.opening, this.face)[0] ?? "width bottom";
    const clashes = (await queued(this.id)).filter((entry) => entry.state === "clash" && entry.path?.startsWith(`/openings/${this.mark}/`));
    refill(this.questions, ...clashes.map((entry) => clashCard(entry)));
    if (this.padFor !== this.place) await this.#showPad();
    else this.pad.repeats.textContent = this.taken[this.place] ? say("pad.read_so_far", { figures: this.taken[this.place].join(", ") }) : "";
    this.#draw();
    this.#look();
  }

  // Once it stands on the page: only then can the room for the drawing be measured.
  attached() {
    if (this.opening) this.#draw();
    addEventListener("resize", this.onresize);
    this.onroom.observe(document.body);
  }

  #draftKey() {
    return `${this.id}/${this.mark}/${this.face}/${this.place}`;
  }

  // Asked for twice at once, it is shown once: the second would wipe out what was typed meanwhile.
  async #showPad() {
    const place = this.place;
    const draft = await keep.get("drafts", this.#draftKey());
    if (place !== this.place || this.padFor === place) return;
    this.padFor = place;
    const kind = this.place.split(" ")[0];
    this.pad.show(this.place, { name: nameOf(this.place), hint: say(this.face === "inside" && isLength(this.place) ? "hint.inside" : `hint.${kind}`), figures: this.taken[this.place] ?? [], draft });
  }

  #draw() {
    const found = this.heard && same(this.heard.of, this.#given()) ? this.heard.found : undefined;
    const suspects = found?.suspects.map(placeOf) ?? [];
    refill(this.steps, ...groupsAsked(this.taken).map((group) => this.#step(group, suspects)));
    if (found !== undefined) this.#say(found); // else what was said before stands until there is word, in an instant
    const outline = found?.corners_mm ? fromLook(found) : roughOutline(this.measured, this.opening.wanted?.kind);
    this.#paint = () => {
      const [widePx, roomPx] = this.#room();
      refill(this.picture, drawOpening({
        outline, face: this.face, taken: this.taken, group: groupOf(this.place), active: this.place,
        doubted: suspects, tap: (place) => this.#light(place), widePx, roomPx,
      }));
    };
    this.#paint();
  }

  #paint = () => {};

  // How wide and high the drawing may be beside all that must be seen with it. Where too little is left the pad no
  // longer stays at the bottom of the screen, over the drawing, but stands below it.
  #room() {
    const wide = this.picture.clientWidth || LEAST_PX;
    if (!this.element.isConnected) return [wide, LEAST_PX];
    const caption = this.picture.querySelector("figcaption")?.offsetHeight ?? CAPTION_PX;
    const top = this.picture.getBoundingClientRect().top + scrollY + caption;
    const reach = this.element.querySelector(".reach");
    const beside = reach.getBoundingClientRect().left >= this.picture.getBoundingClientRect().right;
    const left = innerHeight - top - BETWEEN_PX;
    const room = left - (beside ? 0 : reach.offsetHeight);
    this.element.classList.toggle("flows", room < LEAST_PX || (beside && reach.offsetHeight > innerHeight - BAR_PX));
    return [wide, Math.max(LEAST_PX, room)];
  }

  #step(group, suspects) {
    const had = GROUPS[group].filter((place) => this.taken[place]).length;
    const doubt = GROUPS[group].some((place) => suspects.includes(place));
    return button([say(`group.${group}`), el("span", { class: "count" }, `${doubt ? "! " : ""}${had}/${GROUPS[group].length}`)],
      () => this.#light(GROUPS[group].find((place) => !this.taken[place]) ?? GROUPS[group][0]),
      { "aria-pressed": String(groupOf(this.place) === group), class: doubt ? "doubt" : "" });
  }

  #say(found) {
    if (this.asks) return; // what is heard meanwhile must not wipe out a question that waits for its answer
    if (found?.verdict === "measure again") return this.#doubt(found);
    this.doubted = null;
    const left = missing(this.opening, this.face);
    const good = found?.verdict === "agree";
    // what is odd though the readings agree, a step or an arch, is told once all is read
    const odd = left.length ? [] : found?.remarks ?? [];
    this.word.className = `word ${odd.length ? "asks odd" : good ? "good" : "few"}`;
    const text = left.length ? (good ? say("opening.good_so_far", { n: left.length }) : say("opening.to_read", { n: left.length })) : good ? say("opening.good") : say("opening.unchecked");
    const beside = found === null ? [say("opening.no_look")] : odd;
    refill(this.word, el("p", {}, [...(good && odd.length ? [] : [text]), ...beside].join(" ")), left.length ? this.#mostUseful(found) : [this.#mayBeStepped(), this.#nextOpening()]);
  }

  // One reading that must be wrong is named, and offered; of several the person at the tape chooses, and none is accused
  // but a whole set read wrong alike. Where the shape is odd no reading is wrong: the one that would show it is offered.
  #doubt({ suspects, says, next, one_set: set }) {
    const several = suspects.length > 1;
    const text = several && !set ? say("check.which") : says[0];
    this.#speakDoubt(several && !set ? `${text} ${suspects.map((one) => nameOf(placeOf(one))).join(", ")}.` : text);
    this.word.className = "word doubt";
    refill(this.word, el("p", {}, text), several
      ? sideBySide(suspects.map((one) => ({ place: placeOf(one), mm: one.read_mm })), this.again, (place) => this.#light(place))
      : this.#offer(next));
  }

  // Found a moment after a figure was kept: spoken after the figure, once, and not again each time it is drawn.
  #speakDoubt(text) {
    if (this.kept && this.doubted !== text) speak(text, { after: true });
    this.doubted = text;
  }

  // Nothing where it is lit already and only has to be typed.
  #offer(next) {
    const place = placeOf(next);
    const read = Boolean(this.taken[place]);
    if (this.again === place || (this.place === place && !read)) return null;
    return button(say(read ? "opening.measure_again" : "opening.most_useful", { reading: next.name }), () => this.#light(place), { class: "main" });
  }

  // The reading that would tell most now, where it is another than the one that is lit.
  #mostUseful(found) {
    const place = found?.verdict && found.next && placeOf(found.next);
    if (!place || place === this.place || this.taken[place]) return null;
    return button(say("opening.most_useful", { reading: found.next.name }), () => this.#light(place));
  }

  // All is read that must be; two widths more would tell a step from a bow.
  #mayBeStepped() {
    const place = extraAsked(this.taken).flatMap((group) => GROUPS[group]).find((one) => !this.taken[one]);
    if (!place || place === this.place) return null;
    return button(say("opening.may_be_stepped", { reading: nameOf(place) }), () => this.#light(place));
  }

  #nextOpening() {
    const open = this.house.tree.openings.find((opening) => opening.id !== this.mark && missing(opening).length);
    const n = unanswered(this.opening);
    if (!open && n) return el("a", { class: "button main", href: `/site/${this.id}/${this.mark}/questions` }, say("opening.questions_next", { n }));
    return open ? el("a", { class: "button main", href: `/site/${this.id}/${open.id}` }, say("opening.next", { name: open.id })) : el("a", { class: "button", href: `/site/${this.id}` }, say("opening.all_done"));
  }

  async #light(place) {
    this.asks = false;
    this.place = place;
    this.again = place;
    this.padFor = null;
    const shown = this.#showPad();
    this.pad.wait(shown);
    await shown;
    this.#draw();
    this.#intoView();
  }

  // Where the pad stands below the drawing: as far down as shows it whole, never past what the word says.
  #intoView() {
    if (!this.element.classList.contains("flows")) return;
    const { top, bottom } = this.element.querySelector(".reach").getBoundingClientRect();
    scrollBy(0, Math.min(bottom - innerHeight, top - BAR_PX));
  }

  async #done(mm, typed, again) {
    if (mm === null) return this.#light(this.#following());
    const why = impossible(this.place, mm);
    if (why) return this.#warn(say(why.key, { ...why.values, read: typed, reading: nameOf(this.place) }), []);
    const before = again || this.repeating === this.place ? this.taken[this.place] ?? [] : [];
    if (before.length >= limits.most_repeats) return this.#warn(say("check.often_enough", { reading: nameOf(this.place), n: before.length }), []);
    const others = unlikely(this.place, mm, this.taken);
    if (!others) return this.#keep(mm, typed, again);
    const takeAgain = async (place) => {
      if (place === this.place) return this.#clear();
      await this.#keep(mm, typed, again);
      return this.#light(place);
    };
    const allRight = button(say("check.all_right"), () => this.#keep(mm, `${typed} (${say("check.confirmed")})`, again));
    return this.#warn(say("check.which"), sideBySide([{ place: this.place, mm }, ...others], null, takeAgain, allRight));
  }

  #askWhichWay() {
    const kind = this.place.split(" ")[0];
    this.#warn(say("pad.way_first", { plus: say(`pad.${kind}.plus`), minus: say(`pad.${kind}.minus`) }), []);
  }

  #warn(text, below) {
    this.asks = true;
    this.word.className = "word doubt";
    refill(this.word, el("p", {}, text), below);
    this.#paint();
    this.#intoView();
    speak(text);
  }

  async #clear() {
    this.asks = false;
    await keep.remove("drafts", this.#draftKey());
    this.padFor = null;
    await this.#showPad();
    this.#draw();
  }

  // Kept on the phone first; only then does the pad let go of what was typed.
  async #keep(mm, typed, again) {
    const [place, before] = [this.place, this.taken[this.place] ?? []];
    this.again = null;
    this.asks = false;
    const figures = again || this.repeating === place ? [...before, mm] : [mm];
    this.repeating = again ? place : null;
    const me = await keep.fact("me");
    const tool = await keep.fact("tool");
    const reading = {
      mm: figures.length === 1 ? figures[0] : figures, who: me?.name ?? say("me.unknown"), when: new Date().toISOString(),
      ...(tool && (this.house.tree.tools ?? []).some((one) => one.name === tool) ? { tool } : {}),
    };
    await note(this.id, pathOf(this.mark, this.face, place), reading, { typed });
    await keep.remove("drafts", this.#draftKey());
    this.kept = true;
    speak(say("spoken.figure", { reading: nameOf(place), figure: digits(Math.abs(mm)), way: wayOf(place, mm) }));
    this.taken = { ...this.taken, [place]: figures };
    if (!again) this.place = this.#following();
    this.padFor = null;
    await this.refresh(this.id);
    this.#intoView();
  }

  // The server may know of a reading that helps more; else the next one round the opening.
  #following() {
    const wanted = [...missing(this.opening, this.face), ...GROUPS[groupOf(this.place)].filter((place) => !(place in (this.opening.not_read ?? {})))];
    const left = places.filter((place) => wanted.includes(place) && place !== this.place && !this.taken[place]);
    const after = left.filter((place) => places.indexOf(place) > places.indexOf(this.place));
    return after[0] ?? left[0] ?? this.place;
  }

  #askWhy() {
    this.#warn(say("cannot.why", { reading: nameOf(this.place) }), el("div", { class: "choices" },
      REASONS.map((reason) => button(say(`cannot.${reason}`), () => this.#giveUp(say(`cannot.${reason}`)))),
      this.taken[this.place] && button(say("cannot.take_away"), () => this.#takeAway()),
      button(say("cannot.back"), () => this.#light(this.place))));
    this.word.className = "word asks";
  }

  async #giveUp(reason) {
    const place = this.place;
    this.asks = false;
    this.place = this.#following();
    await note(this.id, `/openings/${this.mark}/not_read/${place}`, reason);
  }

  async #takeAway() {
    const place = this.place;
    this.asks = false;
    this.padFor = null;
    await note(this.id, pathOf(this.mark, this.face, place), null);
  }

  #given() {
    return faceOf(this.house.tree, this.opening, this.face, this.title);
  }

  // This phone looks by itself; the server looks too, with the engine itself, and its word is taken over where it differs.
  async #look() {
    const given = this.#given();
    if (same(given, this.asked)) return; // told already, or asked and not answered yet
    this.asked = given;
    this.#hear(given, await look(given));
    try {
      this.#hear(given, await ask("POST", "/api/reading-check", given));
    } catch (error) {
      if (same(given, this.asked)) this.asked = null;
      if (!(error instanceof NoSignal) && !(error instanceof Refusal)) throw error;
    }
  }

  #hear(of, found) {
    if (this.left || !this.opening || !same(of, this.#given())) return;
    const before = this.heard;
    this.heard = { of, found };
    if (!before || !same(before.of, of) || !sameWord(before.found, found)) this.#draw();
  }
}
