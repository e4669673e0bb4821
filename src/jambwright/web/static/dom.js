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
  const held = document.activeElement && element.contains(document.activeElement) && document.activeElement !== element ? sign(document.activeElement) : null;
  element.replaceChildren(...wanted(children));
  if (held) alike(element, held)?.focus({ preventScroll: true });
}

/** The control of a kind that asks the same, in the same words where there are such.
 * @param {ParentNode} inside @returns {any} */
export function alike(inside, { tag, place, words }) {
  const found = [...inside.querySelectorAll(tag)].filter((one) => sign(one).place === place);
  return found.find((one) => sign(one).words === words) ?? found[0];
}

// A control by its kind, the place it asks of, and its words.
export function sign(/** @type {Element} */ one) {
  const of = one.closest("[id], [data-place], [data-question], [href]");
  const place = of && ["id", "data-place", "data-question", "href"].map((name) => of.getAttribute(name)).find(Boolean);
  return { tag: one.tagName, place: place ?? "", words: one.getAttribute("aria-label") ?? one.textContent };
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
