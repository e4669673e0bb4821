// The desk: buttons that send, planning with progress, files in, and word when someone else changed the house.

import { afresh } from "./afresh.js";
import { el, onPage, refill } from "./dom.js";
import { ask, Refusal } from "./server.js";
import { say } from "./texts.js";

const [told, main] = ["#told", "main"].map(onPage);
/** @type {(id: string) => any} */
const find = (id) => document.getElementById(id);

function tell(problems) {
  refill(told, el("ul", { class: "problems" }, problems.map((problem) => el("li", {}, problem.say))));
  told.scrollIntoView({ block: "nearest" });
}

async function trying(work) {
  try {
    refill(told);
    await work();
  } catch (error) {
    tell(error instanceof Refusal ? error.problems : [{ say: say("sent.no_signal") }]);
  }
}

const onSubmit = (id, work) =>
  find(id)?.addEventListener("submit", (event) => {
    event.preventDefault();
    trying(() => work(event.target));
  });

document.addEventListener("click", (/** @type {any} */ event) => {
  const button = event.target.closest("[data-send]");
  if (!button || (button.dataset.sure && !confirm(button.dataset.sure))) return;
  trying(async () => {
    const [method, path] = button.dataset.send.split(" ");
    const body = button.dataset.body && JSON.parse(button.dataset.body);
    const answer = await ask(method, path, body, button.dataset.match ? { "If-Match": button.dataset.match } : {});
    const refused = (answer?.outcomes ?? []).filter((one) => one.outcome === "refused").flatMap((one) => one.problems);
    if (refused.length) return tell(refused);
    return button.dataset.then ? location.assign(button.dataset.then) : afresh();
  });
});

onSubmit("add-house", async (form) => {
  const made = await ask("POST", "/api/houses", { label: form.elements.label.value });
  location.assign(`/houses/${made.id}`);
});

onSubmit("import-house", async (form) => {
  const made = await ask("POST", "/api/houses/import", await form.elements.file.files[0].text());
  location.assign(`/houses/${made.id}`);
});

onSubmit("answer", async (form) => {
  const { house, plan } = form.dataset;
  refill(find("answered"));
  const found = await ask("POST", `/api/houses/${house}/plans/${plan}/answer`, new FormData(form));
  const lines = found.say.map((line) => el("li", {}, line));
  refill(find("answered"), el("ul", { class: found.agrees ? "go" : "problems" }, lines));
});

onSubmit("survey", async (form) => {
  const { house, version } = form.dataset;
  await ask("PUT", `/api/houses/${house}/survey.yaml`, find("text").value, { "If-Match": `"${version}"` });
  location.assign(`/houses/${house}`);
});

onSubmit("fitted", async (form) => {
  const { house, version } = form.dataset;
  await ask("PUT", `/api/houses/${house}/fitted.yaml`, find("fitted-text").value, { "If-Match": `"${version}"` });
  location.assign(`/houses/${house}`);
});

onSubmit("let-in", async () => {
  const made = await ask("POST", "/api/people", { name: find("name").value, role: find("role").value });
  const known = made.known ? [el("p", { class: "remark" }, say("people.known"))] : [];
  if (made.only_here) return refill(find("code"), ...known, el("p", { class: "problems" }, say("people.only_here")), el("p", {}, el("code", {}, made.address)));
  const code = new DOMParser().parseFromString(made.code, "image/svg+xml").documentElement;
  code.setAttribute("role", "img");
  code.setAttribute("aria-label", say("people.scan"));
  return refill(find("code"), ...known, el("p", {}, say("people.scan")), document.importNode(code, true), el("p", {}, el("code", {}, made.address)));
});

find("make-plan")?.addEventListener("click", () => trying(() =>
  longWork(`/api/houses/${main.dataset.house}/plans`, undefined, find("make-plan"), find("planning"))));

// Long work: started, watched step by step, then the page is loaded anew or the problems are told.
async function longWork(path, body, button, bar) {
  const { work } = await ask("POST", path, body);
  const step = bar.nextElementSibling;
  const shown = (yes) => {
    if (button) button.disabled = yes;
    bar.parentElement.hidden = !yes;
  };
  bar.removeAttribute("value"); // how far is not known yet
  step.textContent = "";
  bar.parentElement.querySelector(".stop").onclick = () => trying(() => ask("DELETE", `/api/work/${work}`));
  shown(true);
  const events = new EventSource(`/api/work/${work}`);
  events.onmessage = ({ data }) => {
    const event = JSON.parse(data);
    if (event.step) {
      bar.max = event.of;
      bar.value = event.done;
      step.textContent = say("work.step", event);
      return;
    }
    events.close();
    shown(false);
    if (event.problems.length) tell(event.problems);
    else afresh();
  };
}

// The crew's days: an opening is dragged to a day, or its day is chosen; the others stay where they are.
function planDays(held, moves) {
  const crew = find("crew");
  const number = (id) => Number(find(id).value);
  const body = { first_day: find("first_day").value, fitters: number("fitters"), towers: number("towers"), outside_c: number("outside_c"), longer_minutes: number("longer_minutes"), covered: coversNow(), held, moves };
  return longWork(`/api/houses/${main.dataset.house}/days`, body, crew.querySelector("button"), find("crew-planning"));
}

const coversNow = () =>
  [...document.querySelectorAll("[data-cover]:checked")].map((/** @type {any} */ box) => box.dataset.cover);

const heldNow = () => JSON.parse(find("crew").dataset.held);

function hold(mark, day) {
  const held = heldNow();
  if (day) held[mark] = day;
  else delete held[mark];
  trying(() => planDays(held, mark));
}

onSubmit("crew", () => planDays(heldNow()));

// Keys go through the days one by one: only the one that Enter is pressed on, or that is left, is meant.
let passing = null;
const meant = () => {
  if (!passing) return;
  const { dataset, value } = passing;
  passing = null;
  hold(dataset.hold, value);
};
const holds = (work) => (/** @type {any} */ event) => event.target.dataset.hold && work(event);
let byKey = false;
document.addEventListener("pointerdown", () => { byKey = false; });
document.addEventListener("keydown", holds(({ key }) => {
  byKey = key !== "Enter";
  if (key === "Enter") meant();
}));
document.addEventListener("change", holds(({ target }) => {
  if (byKey) passing = target;
  else hold(target.dataset.hold, target.value);
}));
document.addEventListener("focusout", holds(meant));

find("days")?.addEventListener("dragstart", (event) => {
  event.dataTransfer.setData("text/plain", event.target.closest("tr").dataset.mark);
  event.dataTransfer.effectAllowed = "move";
});
for (const kind of ["dragover", "drop"]) {
  find("days")?.addEventListener(kind, (event) => {
    const cell = event.target.closest("[data-day]");
    if (!cell) return;
    event.preventDefault();
    const mark = event.dataTransfer.getData("text/plain");
    if (kind === "drop" && cell.closest("tr").dataset.mark === mark) hold(mark, cell.dataset.day);
  });
}

// What the focus goes to is seen whole, in a table that is wider than the screen too.
document.addEventListener("focusin", (/** @type {any} */ { target }) => {
  if (target.matches(".scroll *:focus-visible")) target.scrollIntoView({ block: "nearest", inline: "nearest" });
});

// Someone else changed the house: say so, and leave what is being typed here alone.
if (main.dataset.house) {
  const watched = new EventSource(`/api/houses/${main.dataset.house}/watch`);
  watched.onmessage = ({ data }) => {
    if (main.dataset.sending || Number(data) <= Number(main.dataset.version) || find("changed")) return;
    told.after(el("p", { id: "changed", class: "changed", role: "status" }, say("desk.changed"), " ",
      el("a", { href: location.href }, say("desk.load_again"))));
  };
  addEventListener("pagehide", () => watched.close());
}
