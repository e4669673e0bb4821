// Elements made from plain values. Text goes in as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

function fill(element, given, children) {
  for (const [name, value] of Object.entries(given ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...wanted(children));
  return element;
}

const wanted = (children) =>
  children.flat(3).filter((child) => child !== null && child !== undefined && child !== false);

/** What is filled anew keeps the focus.
 * @type {(element: any, ...children: any[]) => void} */
export function refill(element, ...children) {
  const active = document.activeElement;
  const held = active && active !== element && element.contains(active) ? sign(active, element) : null;
  element.replaceChildren(...wanted(children));
  if (held) alike(element, held)?.focus({ preventScroll: true });
}

/** The control that asks the same: of its kind and place, by its words, else by where among these it stands.
 * @param {ParentNode} inside @returns {any} */
export function alike(inside, { tag, place, words, nth }) {
  const found = siblings(inside, tag, place);
  return found.find((one) => wordsOf(one) === words) ?? found[nth];
}

/** A control by its kind, the place it asks of, its words, and where it stands among those of its kind and place.
 * @param {Element} one @param {ParentNode} inside */
export function sign(one, inside) {
  const [tag, place] = [one.tagName, placeOf(one)];
  return { tag, place, words: wordsOf(one), nth: siblings(inside, tag, place).indexOf(one) };
}

const siblings = (inside, tag, place) => [...inside.querySelectorAll(tag)].filter((one) => placeOf(one) === place);
const wordsOf = (one) => one.getAttribute("aria-label") ?? one.textContent;

function placeOf(/** @type {Element} */ one) {
  const of = one.closest("[id], [data-place], [data-question], [href]");
  const place = of && ["id", "data-place", "data-question", "href"].map((name) => of.getAttribute(name)).find(Boolean);
  return place ?? "";
}

export const el = (tag, given, ...children) => fill(document.createElement(tag), given, children);
/** What must stand on the page; the page and its script come together.
 * @param {string} selector @returns {any} */
export function onPage(selector) {
  const found = document.querySelector(selector);
  if (!found) throw new Error(`no ${selector} on this page`);
  return found;
}

/** @type {(selector: string) => any[]} */
export const allOnPage = (selector) => [...document.querySelectorAll(selector)];

export const svg = (tag, given, ...children) => fill(document.createElementNS(SVG, tag), given, children);

// One of the small pictures, all in one file; without words it only goes along with what is said beside it.
export function picture(name, words, given = {}) {
  const [wide, high] = given.size ?? [240, 150];
  const told = words ? { role: "img", "aria-label": words } : { "aria-hidden": "true" };
  return svg("svg", { class: given.class ?? "help-picture", viewBox: `0 0 ${wide} ${high}`, "data-at": given.at, ...told },
    svg("use", { href: `${new URL("./help.svg", import.meta.url).pathname}#${name}` }));
}

export function button(text, act, given = {}) {
  return el("button", { type: "button", onclick: act, ...given }, text);
}

export const fixed = (value) => (Number.isInteger(value) ? String(value) : value.toFixed(1));

// Something to press that is no button in HTML, reached by keyboard all the same.
export const pressable = (act) => ({
  role: "button",
  tabindex: 0,
  onclick: act,
  onkeydown: (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    act(event);
  },
});
