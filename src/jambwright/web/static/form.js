// Forms of the desk: each answer is sent as it is given, as one change of the readings file. A refusal stays beside its field.

import { afresh } from "./afresh.js";
import { allOnPage, button, el, onPage, refill } from "./dom.js";
import { newId } from "./keep.js";
import { ask, NoSignal, Refusal } from "./server.js";
import { same, split } from "./tree.js";
import { say } from "./texts.js";
import { NoValue, valueOf } from "./typed_values.js";

const main = onPage("main");
const { house } = main.dataset;
const unsent = new Set();
let last = Promise.resolve();

const was = (element) => JSON.parse(element.dataset.was || "null");
const nearest = (element) => element.closest(".field, [data-group], [data-by], .wide, form");
const toldOf = (element) => nearest(element).querySelector(".told");
const lastKey = (path) => split(path).at(-1);

function tell(element, ...children) {
  refill(toldOf(element), ...children);
}

const inTurn = (work) => (last = last.then(work, work));

// Changes go one after another; while they do, word of a new version is of our own making.
async function send(changes) {
  main.dataset.sending = "yes";
  try {
    const answer = await ask("POST", `/api/houses/${house}/changes`, {
      device: "desk",
      changes: changes.map((change) => ({ id: newId(), at: new Date().toISOString(), ...change })),
    });
    main.dataset.version = answer.house.version;
    return answer;
  } finally {
    delete main.dataset.sending;
  }
}

// Whether all were kept. What was refused, and what another person changed meanwhile, is told beside `element`.
async function change(element, changes) {
  tell(element);
  try {
    const { outcomes } = await send(changes);
    unsent.delete(element);
    const refused = outcomes.filter((one) => one.outcome === "refused").flatMap((one) => one.problems);
    const clash = outcomes.find((one) => one.outcome === "clash");
    if (refused.length) tell(element, refused.map((problem) => el("p", {}, problem.say)));
    else if (clash) tell(element, asked(element, clash));
    return !refused.length && !clash;
  } catch (error) {
    if (!(error instanceof NoSignal || error instanceof Refusal)) throw error;
    unsent.add(element);
    const say_ = error instanceof NoSignal ? say("form.not_sent") : error.message;
    tell(element, el("p", {}, say_), button(say("unsent.again"), () => inTurn(() => kept(element, changes))));
    return false;
  }
}

// Somebody else changed it meanwhile: both are shown, and one is chosen.
function asked(element, clash) {
  const settle = (value) => inTurn(async () => {
    if (await change(element, [{ path: clash.path, was: clash.before, value, settles: clash.id }])) afresh();
  });
  const shown = (value) => (value === null ? say("clash.nothing") : typeof value === "object" ? JSON.stringify(value) : String(value));
  return [el("p", {}, say("clash.why")), el("div", { class: "choices" },
    button(say("clash.theirs", { value: shown(clash.before) }), () => settle(clash.before)),
    button(say("clash.mine", { value: shown(clash.after) }), () => settle(clash.after)))];
}

async function kept(element, changes) {
  if (!(await change(element, changes))) return false;
  for (const { path, value } of changes) {
    for (const control of allOnPage("[data-path]")) {
      if (control.dataset.path === path) control.dataset.was = JSON.stringify(value);
    }
  }
  const row = element.closest("[data-row]");
  if (row) rowKept(row, changes[0]);
  const mark = nearest(element).querySelector(".kept");
  if (mark) {
    mark.textContent = say("form.kept");
    setTimeout(() => { mark.textContent = ""; }, 4000);
  }
  recount(element);
  const wall = element.closest("[data-group]")?.querySelector(".wall-section");
  if (wall) wall.src = `/houses/${house}/wall.svg?at=${encodeURIComponent(wall.dataset.at)}&v=${main.dataset.version}`;
  return true;
}

// The list that a table stands for, with the cell just kept: a row added next is added to what is there.
function rowKept(row, { path, value }) {
  const table = row.closest("[data-list]");
  const { key } = table.dataset;
  const own = (one, number) => (key ? one[key] : String(number)) === row.dataset.name;
  const list = was(table).map((one, number) => (own(one, number) ? { ...one, [lastKey(path)]: value ?? undefined } : one));
  table.dataset.was = JSON.stringify(list);
}

// What is blank and asked for, counted anew: in its field, its part and the list of parts.
function recount(element) {
  const field = element.closest(".field");
  const part = element.closest("[data-part]");
  if (!field || !part) return;
  const blank = valueOf(element) === null;
  if (field.classList.contains("missing")) field.dataset.mayMiss = "yes";
  field.classList.toggle("missing", blank && field.dataset.mayMiss === "yes");
  const n = part.querySelectorAll(".field.missing").length;
  part.querySelector(".part-state").textContent = n ? say("form.missing", { n }) : "";
  for (const count of allOnPage(`[data-count="${part.dataset.part}"]`)) {
    count.textContent = n;
    count.hidden = !n;
  }
}

// A group that is not there yet: sent whole once what it needs is given, or begun as a copy of the usual one.
function startOf(element, path, value) {
  const group = element.closest('[data-group][data-present="no"]');
  if (!group) return { changes: [{ path, was: was(element), value }] };
  const needs = JSON.parse(group.dataset.needs);
  const inside = [...group.querySelectorAll("[data-path]")];
  const own = inside.filter((one) => split(one.dataset.path).length === split(group.dataset.group).length + 1);
  const given = Object.fromEntries(own.map((one) => [lastKey(one.dataset.path), valueOf(one)]).filter(([, one]) => one !== null));
  const missing = needs.filter((name) => !(name in given));
  if (missing.length) {
    const labels = own.filter((one) => missing.includes(lastKey(one.dataset.path))).map((one) => one.closest(".field").dataset.asked);
    return { held: say("form.held", { needs: labels.join(", ") }) };
  }
  if (!needs.length && !group.dataset.copies) return { changes: [{ path, was: was(element), value }], group };
  const copied = group.dataset.copies ? JSON.parse(group.dataset.copies) : {};
  return { changes: [{ path: group.dataset.group, was: null, value: { ...copied, ...given } }], group, whole: own };
}

async function answered(control) {
  const { path } = control.dataset;
  let value;
  try {
    value = valueOf(control);
  } catch (error) {
    if (!(error instanceof NoValue)) throw error;
    return tell(control, el("p", {}, error.message));
  }
  if (same(value, was(control)) && !control.closest('[data-present="no"]')) return tell(control);
  if (/^\/openings\/[^/]+\/id$/.test(path)) return remarked(control, value);
  const row = control.closest("[data-row]");
  const table = row?.closest("[data-list]");
  if (table?.dataset.key && lastKey(path) === table.dataset.key) return renamed(control, table, row, value);
  const { changes, held, group, whole } = startOf(control, path, value);
  if (held) {
    unsent.add(control);
    return tell(control, el("p", { class: "held" }, held));
  }
  if (!(await kept(control, changes))) return null;
  if (group) {
    group.dataset.present = "yes";
    for (const one of whole ?? []) {
      one.dataset.was = JSON.stringify(valueOf(one));
      unsent.delete(one);
      tell(one);
    }
    if (group.dataset.copies) afresh();
  }
  return null;
}

// Another mark is given in one step: readings, photos and frame as fitted go along.
async function remarked(control, mark) {
  tell(control);
  if (mark === null) return tell(control, el("p", {}, say("form.needs_name")));
  try {
    await ask("POST", `/api/houses/${house}/openings/${was(control)}/rename`, { id: mark });
    location.assign(`/houses/${house}/form?at=/openings/${mark}`);
  } catch (error) {
    tell(control, el("p", {}, error instanceof Refusal ? error.message : say("form.not_sent")));
  }
  return null;
}

// Another name for a row: the list with it, and every field that held the old one.
async function renamed(control, table, row, name) {
  if (name === null) return tell(control, el("p", {}, say("form.needs_name")));
  const list = was(table);
  const old = row.dataset.name;
  const key = table.dataset.key;
  const changes = [{ path: table.dataset.list, was: list, value: list.map((one) => (one[key] === old ? { ...one, [key]: name } : one)) }];
  for (const path of JSON.parse(row.dataset.uses || "[]")) changes.push({ path, was: old, value: name });
  if (await change(control, changes)) afresh();
  return null;
}

async function addedRow(table) {
  const controls = [...table.querySelectorAll("[data-new] [data-path]")];
  const told = table.parentElement.querySelector(":scope > .told");
  const fault = (text) => refill(told, el("p", {}, text));
  let given;
  try {
    given = Object.fromEntries(controls.map((one) => [lastKey(one.dataset.path), valueOf(one)]).filter(([, value]) => value !== null));
  } catch (error) {
    if (error instanceof NoValue) return fault(error.message);
    throw error;
  }
  const missing = controls.filter((one) => "needed" in one.dataset && !(lastKey(one.dataset.path) in given));
  if (missing.length) return fault(say("form.row_needs", { needs: missing.map((one) => one.closest("td").dataset.label).join(", ") }));
  const list = was(table);
  const { key } = table.dataset;
  if (key && (list ?? []).some((one) => one[key] === given[key])) return fault(say("form.listed", { name: given[key] }));
  if (await change(table, [{ path: table.dataset.list, was: list, value: [...(list ?? []), given] }])) afresh();
  return null;
}

async function tookRow(table, row) {
  const { key } = table.dataset;
  const list = was(table);
  const uses = JSON.parse(row.dataset.uses || "[]").length;
  if (!confirm(say(uses ? "form.away_used" : "form.away_sure", { what: row.dataset.name, n: uses }))) return;
  const rest = list.filter((one, number) => (key ? one[key] !== row.dataset.name : String(number) !== row.dataset.name));
  if (await change(table, [{ path: table.dataset.list, was: list, value: rest.length ? rest : null }])) afresh();
}

// A whole group goes: what stands there is asked of the server, for it holds more than this page shows.
async function tookGroup(taker) {
  const path = taker.dataset.takeAway;
  if (!confirm(say("form.away_sure", { what: taker.closest("fieldset").querySelector("legend")?.textContent ?? "" }))) return;
  const { survey } = await ask("GET", `/api/houses/${house}`);
  const standing = split(path).reduce((tree, key) => (Array.isArray(tree) ? tree.find((one) => one.id === key) : tree?.[key]) ?? null, survey);
  if (await change(taker, [{ path, was: standing, value: null }])) afresh();
}

async function addedName(adder) {
  const by = adder.closest("[data-by]");
  const name = by.querySelector("[data-new-name]").value.trim();
  const words = by.querySelector("[data-new-words]")?.value.trim();
  if (!name || words === "") return tell(adder, el("p", {}, say("form.needs_name")));
  const value = adder.dataset.addName === "groups_by" ? {} : words;
  const path = `${by.dataset.by}/${name.replaceAll("~", "~0").replaceAll("/", "~1")}`;
  if (await change(adder, [{ path, was: null, value }])) afresh();
  return null;
}

// A reading is kept whole: its figure with who took it, when, with what and how.
async function reading(row) {
  const parts = Object.fromEntries([...row.querySelectorAll("[data-path]")].map((one) => [lastKey(one.dataset.path), one]));
  try {
    const mm = valueOf(parts.mm);
    const { name } = await ask("GET", "/api/me");
    const given = Object.fromEntries(["tool", "how", "who", "when"].map((key) => [key, valueOf(parts[key])]).filter(([, value]) => value !== null));
    const old = was(row);
    const typed = old === null || !same(old.mm ?? old, mm);
    const value = mm === null ? null : { who: name, when: new Date().toISOString(), ...(typed ? { tool: given.tool, how: given.how } : given), mm };
    if (await kept(parts.mm, [{ path: row.dataset.reading, was: old, value: value && JSON.parse(JSON.stringify(value)) }])) row.dataset.was = JSON.stringify(value);
  } catch (error) {
    if (!(error instanceof NoValue || error instanceof NoSignal)) throw error;
    tell(parts.mm, el("p", {}, error instanceof NoSignal ? say("form.not_sent") : error.message));
  }
}

main.addEventListener("change", ({ target }) => {
  const control = target.closest("[data-path]");
  if (!control || control.closest("[data-new], #crew-form")) return;
  const row = control.closest("[data-reading]");
  inTurn(() => (row ? reading(row) : answered(control)));
});

main.addEventListener("click", ({ target }) => {
  const pressed = target.closest("button");
  if (!pressed) return;
  const table = pressed.closest("[data-list]");
  if ("listIt" in pressed.dataset) {
    const row = pressed.closest(".wide").querySelector("[data-new]");
    row.querySelector("[data-path]").value = pressed.dataset.listIt;
    row.scrollIntoView({ block: "center" });
    row.querySelector("select").focus();
  } else if ("addRow" in pressed.dataset) inTurn(() => addedRow(table));
  else if ("takeRow" in pressed.dataset) inTurn(() => tookRow(table, pressed.closest("[data-row]")));
  else if ("takeAway" in pressed.dataset) inTurn(() => tookGroup(pressed));
  else if ("addName" in pressed.dataset) inTurn(() => addedName(pressed));
});

document.getElementById("crew-form")?.addEventListener("submit", (/** @type {any} */ event) => {
  event.preventDefault();
  const form = event.target;
  inTurn(async () => {
    try {
      const given = Object.fromEntries([...form.querySelectorAll("[data-path]")].map((one) => [lastKey(one.dataset.path), valueOf(one)]).filter(([, value]) => value !== null));
      await ask("PUT", `/api/houses/${house}/crew`, given);
      refill(form.querySelector(":scope > .told"));
      for (const mark of form.querySelectorAll(".kept")) mark.textContent = say("form.kept");
    } catch (error) {
      refill(form.querySelector(":scope > .told"), (error.problems ?? [{ say: error instanceof NoValue ? error.message : say("form.not_sent") }]).map((problem) => el("p", {}, problem.say)));
    }
  });
});

addEventListener("beforeunload", (event) => {
  if (unsent.size) event.preventDefault();
});

// On a narrow screen only the parts that lack something begin unfolded: the whole form is long there.
if (matchMedia("(max-width: 700px)").matches && main.querySelectorAll("details.form-part").length > 1) {
  for (const part of main.querySelectorAll("details.form-part")) part.open = Boolean(part.querySelector(".field.missing"));
}

// The field that the address names: shown and ready to be filled in.
function open() {
  /** @type {any} */
  const field = document.getElementById(location.hash.slice(1)) ?? document.getElementById(decodeURIComponent(location.hash.slice(1)));
  for (let part = field?.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
  field?.scrollIntoView({ block: field.matches(".form-part") ? "start" : "center" });
  if (field && !field.matches(".form-part")) (field.matches("input, select, textarea") ? field : field.querySelector("input, select, textarea"))?.focus({ preventScroll: true });
}
addEventListener("hashchange", open);
if (location.hash) open();
document.documentElement.dataset.ready = "yes";
