// On site: which screen the address asks for, and the line at the top that says what is not sent yet.

import { el, onPage, refill } from "./dom.js";
import * as keep from "./keep.js";
import { changed, housesSeen, queued } from "./houses.js";
import { start, state } from "./send.js";
import { say } from "./texts.js";
import { housesScreen } from "./screen_houses.js";
import { houseScreen } from "./screen_house.js";
import { openingScreen } from "./screen_opening.js";
import { questionsScreen } from "./screen_questions.js";
import { photosScreen } from "./screen_photos.js";
import { deliveredScreen } from "./screen_delivered.js";
import { fittedScreen } from "./screen_fitted.js";
import { stopsScreen } from "./screen_stops.js";
import { unsentScreen } from "./screen_unsent.js";

/** @type {[RegExp, (...parts: string[]) => Promise<any>][]} */
const SCREENS = [
  [/^\/site$/, housesScreen],
  [/^\/site\/unsent$/, unsentScreen],
  [/^\/site\/([0-9a-f]{16})$/, houseScreen],
  [/^\/site\/([0-9a-f]{16})\/([\w-]+)$/, openingScreen],
  [/^\/site\/([0-9a-f]{16})\/([\w-]+)\/questions$/, questionsScreen],
  [/^\/site\/([0-9a-f]{16})\/([\w-]+)\/photos$/, photosScreen],
  [/^\/site\/([0-9a-f]{16})\/([\w-]+)\/delivered$/, deliveredScreen],
  [/^\/site\/([0-9a-f]{16})\/([\w-]+)\/fitted$/, fittedScreen],
  [/^\/site\/([0-9a-f]{16})\/([\w-]+)\/stops$/, stopsScreen],
];

const [main, back, heading, sent, stops] = ["main", "#back", "#title", "#sent", "#stops"].map(onPage);
/** @type {any} */
let shown = { refresh() {}, leave() {} };
let turn = 0;

async function show() {
  const mine = ++turn;
  shown.leave?.();
  const path = location.pathname.replace(/\/$/, "") || "/site";
  const [pattern, screen] = SCREENS.find(([p]) => p.test(path)) ?? SCREENS[0];
  const made = await screen(...(pattern.exec(path)?.slice(1) ?? []));
  if (mine !== turn) return made.leave?.(); // another screen was asked for meanwhile
  shown = made;
  refill(main, made.element);
  made.attached?.();
  showTitle();
  scrollTo(0, 0);
}

function showTitle() {
  heading.textContent = shown.title;
  document.title = `${shown.title} · ${say("app.name")}`;
  stops.hidden = !shown.stops;
  stops.textContent = shown.stops?.text;
  if (shown.stops) stops.href = shown.stops.href;
  back.hidden = !shown.back;
  if (!shown.back) return;
  back.href = shown.back.href;
  back.textContent = "‹";
  back.setAttribute("aria-label", shown.back.text);
}

export function go(path) {
  history.pushState(null, "", path);
  return show();
}

document.addEventListener("click", (/** @type {any} */ event) => {
  const link = event.target.closest?.("a[href^='/site']");
  if (!link || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  go(link.getAttribute("href"));
});
document.addEventListener("go", (/** @type {any} */ event) => go(event.detail));
addEventListener("popstate", show);

async function showSent() {
  const entries = await queued();
  const photos = (await keep.all("photos")).filter((photo) => photo.state !== "sent");
  const asked = entries.filter((entry) => entry.state === "clash").length;
  const refused = [...entries, ...photos].filter((entry) => entry.state === "refused").length;
  const waiting = entries.length + photos.length - asked - refused;
  const [kind, text] =
    asked ? ["ask", say("sent.asked", { n: asked })]
    : refused ? ["ask", say("sent.refused", { n: refused })]
    : !state.letIn ? ["ask", say("sent.not_let_in")]
    : waiting ? ["waiting", say("sent.waiting", { n: waiting })]
    : state.signal === null ? ["offline", say("sent.asking")]
    : !state.signal ? ["offline", say("sent.no_signal")]
    : ["all", say("sent.all")];
  sent.className = `sent ${kind}`;
  refill(sent, el("a", { href: "/site/unsent" }, text));
}

changed.addEventListener("change", async (/** @type {any} */ { detail }) => {
  await showSent();
  if (detail.state) await shown.signal?.();
  if (!detail.house) return;
  await shown.refresh?.(detail.house);
  showTitle();
});

await show();
await showSent();
document.documentElement.dataset.ready = "yes";
if ("serviceWorker" in navigator) await navigator.serviceWorker.register("/worker.js");
await keep.holdOn();
await start();
await showSent();
if (!(await housesSeen()).length) await shown.refresh?.();
