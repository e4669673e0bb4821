// At the opening: drawn large, one dimension lit, a big pad, and word of a misread while still on the ladder.

import { button, el, refill } from "./dom.js";
import { impossible, limits, look, unlikely } from "./check.js";
import { drawOpening } from "./draw.js";
import { houseSeen, note, queued } from "./houses.js";
import * as keep from "./keep.js";
import { fromServer, roughOutline } from "./outline.js";
import { Pad } from "./pad.js";
import { extraAsked, groupOf, GROUPS, groupsAsked, isLength, missing, nameOf, pathOf, places, shown, taken } from "./readings.js";
import { ask, NoSignal, Refusal } from "./server.js";
import { gatesSeen, stopsLink } from "./stops.js";
import { openingTabs } from "./tabs.js";
import { get, same } from "./tree.js";
import { say } from "./texts.js";
import { clashCard } from "./clash.js";

const CAPTION_PX = 18;
const BETWEEN_PX = 8;
const heardSuspect = ({ kind, at, read_mm }) => ({ place: `${kind} ${at}`, read: read_mm });

// Readings that don't go together, none accused: the one that is pressed is taken again.
const sideBySide = (readings, lit, takeAgain, more) =>
  el("div", { class: "side-by-side" }, readings.map(({ place, mm }) =>
    button([el("span", {}, nameOf(place)), el("strong", {}, shown([mm]))], () => takeAgain(place), { "aria-pressed": String(place === lit) })), more);

const REASONS = ["cannot_reach", "hidden", "not_there"];

export async function openingScreen(id, mark) {
  const screen = new OpeningScreen(id, mark);
  await screen.refresh(id);
  return screen;
}

class OpeningScreen {
  constructor(id, mark) {
    Object.assign(this, { id, mark, title: mark, face: "outside", heard: null, asking: 0 });
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
    document.addEventListener("keydown", this.onkey);
  }

  leave() {
    document.removeEventListener("keydown", this.onkey);
    this.left = true;
  }

  async refresh(which) {
    if (which && which !== this.id) return;
    this.house = await houseSeen(this.id);
    this.opening = this.house && get(this.house.tree, `/openings/${this.mark}`);
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
    if (this.pad.place !== this.place) await this.#showPad();
    else this.pad.repeats.textContent = this.taken[this.place] ? say("pad.read_so_far", { figures: this.taken[this.place].join(", ") }) : "";
    this.#draw();
    this.#lookAgain();
  }

  // Once it stands on the page: only then can the room for the drawing be measured.
  attached() {
    if (this.opening) this.#draw();
  }

  #draftKey() {
    return `${this.id}/${this.mark}/${this.face}/${this.place}`;
  }

  async #showPad() {
    const draft = await keep.get("drafts", this.#draftKey());
    const kind = this.place.split(" ")[0];
    this.pad.show(this.place, { name: nameOf(this.place), hint: say(this.face === "inside" && isLength(this.place) ? "hint.inside" : `hint.${kind}`), figures: this.taken[this.place] ?? [], draft });
  }

  #draw() {
    const here = look(this.measured);
    const fresh = this.heard && JSON.stringify(this.heard.of) === JSON.stringify(this.measured) ? this.heard.found : null;
    const suspects = fresh?.verdict ? fresh.suspects.map((s) => `${s.kind} ${s.at}`) : here.suspects.map((s) => s.place);
    refill(this.steps, ...groupsAsked(this.taken).map((group) => this.#step(group, suspects)));
    this.#say(here, fresh);
    const outline = fresh?.corners_mm ? fromServer(fresh) : roughOutline(this.measured);
    this.#paint = () => {
      refill(this.picture, drawOpening({
        outline, face: this.face, taken: this.taken, group: groupOf(this.place), active: this.place,
        doubted: suspects, tap: (place) => this.#light(place), roomPx: this.#room(),
      }));
      // on the smallest screens word and pad leave too little room: what is accused is brought into sight
      this.picture.querySelector(".dim.doubt .label")?.scrollIntoView({ block: "nearest" });
    };
    this.#paint();
  }

  #paint = () => {};

  // What is left on the screen between the caption and whatever stands within reach of the thumb.
  #room() {
    if (!this.element.isConnected) return 0;
    const caption = this.picture.querySelector("figcaption")?.offsetHeight ?? CAPTION_PX;
    const top = this.picture.getBoundingClientRect().top + scrollY + caption;
    const reach = this.element.querySelector(".reach");
    const beside = reach.getBoundingClientRect().left >= this.picture.getBoundingClientRect().right;
    const below = beside ? 0 : reach.offsetHeight;
    this.element.style.setProperty("--reach", `${below}px`);
    return innerHeight - top - below - BETWEEN_PX;
  }

  #step(group, suspects) {
    const had = GROUPS[group].filter((place) => this.taken[place]).length;
    const doubt = GROUPS[group].some((place) => suspects.includes(place));
    return button([say(`group.${group}`), el("span", { class: "count" }, `${doubt ? "! " : ""}${had}/${GROUPS[group].length}`)],
      () => this.#light(GROUPS[group].find((place) => !this.taken[place]) ?? GROUPS[group][0]),
      { "aria-pressed": String(groupOf(this.place) === group), class: doubt ? "doubt" : "" });
  }

  #say(here, fresh) {
    const doubted = fresh?.verdict ? fresh.verdict === "measure again" : here.suspects.length;
    if (doubted) return this.#doubt(fresh?.verdict ? fresh.suspects.map(heardSuspect) : here.suspects, fresh);
    const left = missing(this.opening, this.face);
    this.word.className = `word ${here.state}`;
    const good = here.state === "good" || fresh?.verdict === "agree";
    const text = left.length ? (good ? say("opening.good_so_far", { n: left.length }) : say("opening.to_read", { n: left.length })) : good ? say("opening.good") : say("opening.unchecked");
    refill(this.word, el("p", {}, text), left.length ? this.#mostUseful(fresh) : [this.#mayBeStepped(), this.#nextOpening()]);
  }

  // One reading that must be wrong is named, and offered; of several the person at the tape chooses.
  #doubt(suspects, fresh) {
    const [first] = suspects;
    this.word.className = "word doubt";
    if (suspects.length > 1) {
      refill(this.word, el("p", {}, say("check.which")),
        sideBySide(suspects.map(({ place, read }) => ({ place, mm: read })), this.again, (place) => this.#light(place)));
      return;
    }
    const again = () => button(say("opening.measure_again", { reading: nameOf(first.place) }), () => this.#light(first.place), { class: "main" });
    refill(this.word, el("p", {}, fresh?.verdict ? fresh.says[0] : this.#suspectText(first)), this.again === first.place ? null : again());
  }

  // The reading that would tell most now, where it is another than the one that is lit.
  #mostUseful(fresh) {
    const place = fresh?.verdict && fresh.next && `${fresh.next.kind} ${fresh.next.at}`;
    if (!place || place === this.place || this.taken[place]) return null;
    return button(say("opening.most_useful", { reading: fresh.next.name }), () => this.#light(place));
  }

  // All is read that must be; two widths more would tell a step from a bow.
  #mayBeStepped() {
    const place = extraAsked(this.taken).flatMap((group) => GROUPS[group]).find((one) => !this.taken[one]);
    if (!place || place === this.place) return null;
    return button(say("opening.may_be_stepped", { reading: nameOf(place) }), () => this.#light(place));
  }

  #nextOpening() {
    const open = this.house.tree.openings.find((opening) => opening.id !== this.mark && missing(opening).length);
    return open ? el("a", { class: "button main", href: `/site/${this.id}/${open.id}` }, say("opening.next", { name: open.id })) : el("a", { class: "button", href: `/site/${this.id}` }, say("opening.all_done"));
  }

  #suspectText({ place, read, likely }) {
    const values = { name: this.title, reading: nameOf(place), read: shown([read]), likely: likely && shown([likely]) };
    return likely === undefined ? say("look.doubt", values) : say("look.suspect", values);
  }

  async #light(place) {
    this.place = place;
    this.again = place;
    await this.#showPad();
    this.#draw();
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
    this.word.className = "word doubt";
    refill(this.word, el("p", {}, text), below);
    this.#paint();
  }

  async #clear() {
    await keep.remove("drafts", this.#draftKey());
    await this.#showPad();
    this.#draw();
  }

  // Kept on the phone first; only then does the pad let go of what was typed.
  async #keep(mm, typed, again) {
    const [place, before] = [this.place, this.taken[this.place] ?? []];
    this.again = null;
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
    this.taken = { ...this.taken, [place]: figures };
    if (!again) this.place = this.#following();
    this.pad.place = null;
    await this.refresh(this.id);
  }

  // The server may know of a reading that helps more; else the next one round the opening.
  #following() {
    const wanted = [...missing(this.opening, this.face), ...GROUPS[groupOf(this.place)].filter((place) => !(place in (this.opening.not_read ?? {})))];
    const left = places.filter((place) => wanted.includes(place) && place !== this.place && !this.taken[place]);
    const after = left.filter((place) => places.indexOf(place) > places.indexOf(this.place));
    return after[0] ?? left[0] ?? this.place;
  }

  #askWhy() {
    this.word.className = "word";
    refill(this.word, el("p", {}, say("cannot.why", { reading: nameOf(this.place) })), el("div", { class: "choices" },
      REASONS.map((reason) => button(say(`cannot.${reason}`), () => this.#giveUp(say(`cannot.${reason}`)))),
      this.taken[this.place] && button(say("cannot.take_away"), () => this.#takeAway()),
      button(say("cannot.back"), () => this.#draw())));
    this.#paint();
  }

  async #giveUp(reason) {
    const place = this.place;
    this.place = this.#following();
    await note(this.id, `/openings/${this.mark}/not_read/${place}`, reason);
  }

  async #takeAway() {
    const place = this.place;
    this.pad.place = null;
    await note(this.id, pathOf(this.mark, this.face, place), null);
  }

  // The server looks too, with the full adjustment; its word counts once it is about what stands here now.
  async #lookAgain() {
    const of = this.measured;
    const { tools, defaults } = this.house.tree;
    const given = { name: this.title, outside: this.opening[this.face] ?? {}, tools: tools ?? [], tape: defaults?.tape ?? null };
    if (same(given, this.asked)) return; // told already, or asked and not answered yet
    this.asked = given;
    const number = ++this.asking;
    try {
      const found = await ask("POST", "/api/reading-check", given);
      if (number !== this.asking || this.left) return;
      this.heard = { of, found };
      this.#draw();
    } catch (error) {
      if (number === this.asking) this.asked = null;
      if (!(error instanceof NoSignal) && !(error instanceof Refusal)) throw error;
    }
  }
}
