// The firm's first page: houses found by part of their name, and the house to practise on.

import { ask, Refusal } from "./server.js";
import { allOnPage, el, onPage, refill } from "./dom.js";
import { say } from "./texts.js";

/** @type {any} nothing to find while there is no house */
const field = document.getElementById("find");
const houses = allOnPage("[data-words]");

function find() {
  const parts = field.value.toLowerCase().split(/\s+/).filter(Boolean);
  for (const house of houses) house.hidden = !parts.every((part) => house.dataset.words.includes(part));
  for (const section of allOnPage("section.state")) section.hidden = !section.querySelector("li:not([hidden])");
  const n = houses.filter((house) => !house.hidden).length;
  onPage("#found").textContent = parts.length ? say("houses.found", { n }) : "";
}

field?.addEventListener("input", find);
if (field?.value) find(); // the browser kept it when the page was gone back to

document.getElementById("practise")?.addEventListener("click", async (/** @type {any} */ { target }) => {
  target.disabled = true; // pressed twice it would make two
  try {
    const made = await ask("POST", "/api/houses/practice");
    location.assign(`/houses/${made.id}`);
  } catch (error) {
    target.disabled = false;
    const problems = error instanceof Refusal ? error.problems : [{ say: say("sent.no_signal") }];
    refill(document.getElementById("told"), el("ul", { class: "problems" }, problems.map((problem) => el("li", {}, problem.say))));
  }
});
