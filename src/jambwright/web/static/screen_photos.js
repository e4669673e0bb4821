// Photos of an opening: from the camera, drawn on with a finger, kept on the phone until the server has them.

import { limits } from "./check.js";
import { button, el, refill, svg } from "./dom.js";
import { houseSeen, note, tell } from "./houses.js";
import * as keep from "./keep.js";
import { ask, NoSignal, Refusal } from "./server.js";
import { caution, gatesSeen, stopsLink } from "./stops.js";
import { openingTabs } from "./tabs.js";
import { get } from "./tree.js";
import { say } from "./texts.js";

const LONGEST_PX = 2048;

export async function photosScreen(house, mark) {
  const list = el("ul", { class: "photos" });
  const cautions = el("div", { class: "stops" });
  let stops = null;
  const maker = el("div", { class: "photo-maker" });
  const input = el("input", { type: "file", id: "photo", accept: "image/*", capture: "environment", class: "visually-hidden", onchange: chosen });

  async function chosen() {
    const [file] = input.files;
    if (!file) return;
    input.value = "";
    const made = new Drawing(await smaller(file), async (drawn, caption, shows, body) => {
      // bytes rather than a Blob: every browser keeps these
      await keep.put("photos", {
        id: keep.newId(), house, mark, caption, drawn, shows, body: await body.arrayBuffer(), type: body.type,
        at: new Date().toISOString(), state: "waiting",
      });
      // what is suspected stops the work at once, with or without the photo's having been sent; where the opening is
      // not on this phone yet, the server puts it in once the photo is there
      const known = await houseSeen(house);
      for (const what of known ? shows : []) await note(house, `/openings/${mark}/seen/${what}`, true);
      refill(maker);
      tell({ house });
    });
    refill(maker, made.element);
  }

  async function refresh() {
    const seen = await houseSeen(house);
    const opening = seen && get(seen.tree, `/openings/${mark}`);
    stops = opening && stopsLink(house, opening, seen.tree, (await gatesSeen(seen)).gates);
    refill(cautions, opening && limits.seen.map((what) => caution(`seen/${what}`, opening, seen.tree)));
    const mine = (await keep.all("photos")).filter((photo) => photo.house === house && photo.mark === mark);
    const sent = await onServer(house, mark);
    const there = new Set(sent.map((photo) => photo.id));
    refill(list, 
      ...mine.filter((photo) => !there.has(photo.id)).map((photo) => shown(URL.createObjectURL(new Blob([photo.body], { type: photo.type })), photo, photo.state !== "sent" && !photo.there)),
      ...sent.map((photo) => shown(`/api/houses/${house}/photos/${photo.id}.jpg`, withOwn(photo, mine), false)));
    if (!list.children.length) list.append(el("li", { class: "empty" }, say("photos.none")));
  }

  await refresh();
  return {
    title: say("photos.title", { mark }),
    get stops() {
      return stops;
    },
    refresh: (which) => (which && which !== house ? null : refresh()),
    back: { href: `/site/${house}`, text: say("back.house") },
    element: el("div", { class: "screen" }, openingTabs(house, mark, "photos"), el("label", { for: "photo", class: "button main" }, say("photos.take")), input, maker, cautions, list),
  };
}

// What this phone has marked and not sent yet counts too.
function withOwn(photo, mine) {
  const own = mine.find((one) => one.id === photo.id);
  return { ...photo, shows: [...new Set([...(photo.shows ?? []), ...(own?.shows ?? [])])] };
}

// A mark put to a photo that was taken before, sent or not: what is suspected stops the work at once all the same.
async function mark(photo, what, problem) {
  const own = await keep.get("photos", photo.id);
  if (own) await keep.put("photos", { ...own, shows: [...(own.shows ?? []), what], ...(own.state === "sent" ? { state: "waiting", there: true } : {}) });
  if (await houseSeen(photo.house)) await note(photo.house, `/openings/${photo.mark}/seen/${what}`, true);
  try {
    if (!own) await ask("PATCH", `/api/houses/${photo.house}/photos/${photo.id}`, { shows: [what] });
  } catch (error) {
    if (!(error instanceof NoSignal) && !(error instanceof Refusal)) throw error;
    problem.textContent = error instanceof NoSignal ? say("photos.mark_later") : error.message;
    return;
  }
  tell({ house: photo.house });
}

function marksFor(photo) {
  const problem = el("p", { class: "problem", role: "alert" });
  const left = limits.seen.filter((what) => !(photo.shows ?? []).includes(what));
  return left.length > 0 && el("details", {}, el("summary", {}, say("photos.mark")),
    el("div", { class: "choices" }, left.map((what) => button(say(`photos.shows.${what}`), () => mark(photo, what, problem)))), problem);
}

async function onServer(house, mark) {
  try {
    return (await ask("GET", `/api/houses/${house}/photos`)).filter((photo) => photo.mark === mark);
  } catch (error) {
    if (error instanceof NoSignal || error instanceof Refusal) return [];
    throw error;
  }
}

function shown(source, photo, waiting) {
  return el("li", {}, el("figure", { class: "photo" },
    el("div", { class: "layers" }, el("img", { src: source, alt: photo.caption || say("photos.alt"), loading: "lazy" }), lines(photo.drawn)),
    el("figcaption", {}, photo.caption, (photo.shows ?? []).map((what) => [" ", el("span", { class: "tag suspected" }, say(`photos.shows.${what}`))]), waiting && el("span", { class: "tag" }, say("photos.waiting"))), marksFor(photo)));
}

const lines = (drawn) =>
  svg("svg", { viewBox: "0 0 1 1", preserveAspectRatio: "none", "aria-hidden": "true" },
    (drawn ?? []).map((line) => svg("polyline", { points: line.map((point) => point.join(",")).join(" ") })));

// Smaller before it is kept: a phone's memory and a slow connection are both short.
async function smaller(file) {
  try {
    const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
    const share = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
    if (share === 1 && file.type === "image/jpeg") return file;
    const canvas = el("canvas", { width: Math.round(picture.width * share), height: Math.round(picture.height * share) });
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    return await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.85));
  } catch {
    return file; // the server says what is wrong with it
  }
}

class Drawing {
  constructor(body, keepIt) {
    this.lines = [];
    this.shows = new Set();
    this.layer = svg("svg", { viewBox: "0 0 1 1", preserveAspectRatio: "none", class: "drawing-layer" });
    const caption = el("input", { id: "caption", maxlength: 200 });
    const picture = el("img", { src: URL.createObjectURL(body), alt: say("photos.alt") });
    const frame = el("div", { class: "layers", onpointerdown: (event) => this.#begin(event), onpointermove: (event) => this.#on(event), onpointerup: () => this.#end(), onpointercancel: () => this.#end() }, picture, this.layer);
    const marks = limits.seen.map((what) => button(say(`photos.shows.${what}`), (event) => this.#mark(what, event.currentTarget), { "aria-pressed": "false" }));
    this.element = el("section", { class: "add" }, el("p", {}, say("photos.draw")), frame,
      el("fieldset", {}, el("legend", {}, say("photos.shows")), el("p", { class: "quiet help" }, say("photos.shows.help")), el("div", { class: "choices" }, marks)),
      el("label", { for: "caption" }, say("photos.caption")), caption,
      el("div", { class: "two" }, button(say("photos.rub_out"), () => this.#rubOut()),
        button(say("photos.keep"), () => keepIt(this.lines, caption.value, [...this.shows], body), { class: "main" })));
    this.frame = frame;
  }

  #mark(what, pressed) {
    const now = !this.shows.delete(what);
    if (now) this.shows.add(what);
    pressed.setAttribute("aria-pressed", String(now));
  }

  #point(event) {
    const box = this.frame.getBoundingClientRect();
    const share = (value, from, size) => Math.round(Math.min(1, Math.max(0, (value - from) / size)) * 1e4) / 1e4;
    return [share(event.clientX, box.left, box.width), share(event.clientY, box.top, box.height)];
  }

  #begin(event) {
    event.preventDefault();
    this.frame.setPointerCapture(event.pointerId);
    this.line = [this.#point(event)];
    this.lines.push(this.line);
  }

  #on(event) {
    if (!this.line) return;
    this.line.push(this.#point(event));
    this.#show();
  }

  #end() {
    if (this.line?.length === 1) this.line.push(this.line[0]);
    this.line = null;
    this.#show();
  }

  #rubOut() {
    this.lines.pop();
    this.#show();
  }

  #show() {
    refill(this.layer, ...lines(this.lines).childNodes);
  }
}
