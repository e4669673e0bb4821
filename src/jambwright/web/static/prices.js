// The firm's prices: filled in as tables, kept as a whole. A refusal stands beside the field it is of.

import { el, onPage, refill } from "./dom.js";
import { ask, Refusal } from "./server.js";
import { split } from "./tree.js";
import { say } from "./texts.js";
import { NoValue, valueOf } from "./typed_values.js";

const form = onPage("#prices");
const bottom = form.querySelector(".keep-bar .told");
const controls = (under) => [...under.querySelectorAll("[data-path]")];
const keyOf = (control) => split(control.dataset.path).at(-1);
const toldOf = (control) => control.closest(".field")?.querySelector(".told");

function row(under) {
  const found = controls(under).map((control) => [keyOf(control), read(control)]).filter(([, value]) => value !== null);
  return Object.fromEntries(found);
}

function read(control) {
  try {
    return valueOf(control);
  } catch (error) {
    if (error instanceof NoValue) error.control = control;
    throw error;
  }
}

// The whole tree, from what stands in the form; a row filled in and not yet added is taken along.
function tree() {
  const found = { jambwright_prices: JSON.parse(form.dataset.tree).jambwright_prices };
  for (const table of form.querySelectorAll("[data-list]")) {
    const rows = [...table.querySelectorAll("[data-row], [data-new]")].map(row).filter((one) => Object.keys(one).length);
    if (rows.length) found[split(table.dataset.list)[0]] = rows;
  }
  for (const control of controls(form)) {
    if (control.closest("[data-list]")) continue;
    const value = read(control);
    const [first, second] = split(control.dataset.path);
    if (value === null) continue;
    if (second) (found[first] ??= {})[second] = value;
    else found[first] = value;
  }
  return found;
}

const anywhere = (field) => `/${field.replaceAll(".", "/")}`;

function place(problem) {
  const control = controls(form).find((one) => one.dataset.path === anywhere(problem.field));
  return (control && toldOf(control)) ?? bottom;
}

function tell(problems) {
  for (const problem of problems) place(problem).append(el("p", {}, problem.say));
  form.querySelector(".told:not(:empty)")?.scrollIntoView({ block: "center" });
}

async function keeping(work) {
  for (const told of form.querySelectorAll(".told")) refill(told);
  try {
    await work();
    location.assign("/prices?kept=yes"); // which houses must be planned again is told there
  } catch (error) {
    if (error instanceof NoValue) (toldOf(error.control) ?? bottom).append(el("p", {}, error.message));
    else tell(error instanceof Refusal ? error.problems : [{ field: "", say: say("form.not_sent") }]);
  }
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  keeping(() => ask("PUT", "/api/prices", tree()));
});

onPage("#prices-in").addEventListener("submit", (event) => {
  event.preventDefault();
  keeping(async () => ask("PUT", "/api/prices", await event.target.querySelector("input").files[0].text()));
});

form.addEventListener("click", ({ target }) => {
  const pressed = target.closest("button");
  const table = pressed?.closest("[data-list]");
  if (!table) return;
  if ("takeRow" in pressed.dataset) pressed.closest("tr").remove();
  else if ("addRow" in pressed.dataset) {
    const added = pressed.closest("tr");
    const next = added.cloneNode(true);
    for (const control of controls(next)) control.value = "";
    added.after(next);
    delete added.dataset.new;
    added.dataset.row = "";
    added.classList.remove("new");
    pressed.textContent = "×";
    pressed.setAttribute("aria-label", say("form.away"));
    pressed.classList.add("away");
    delete pressed.dataset.addRow;
    pressed.dataset.takeRow = "";
    next.querySelector("input, select")?.focus();
  }
});
document.documentElement.dataset.ready = "yes";
