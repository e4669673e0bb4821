// Openings placed along the wall: dragged on the elevation, or typed; kept as a change that can be undone.

import { afresh } from "./afresh.js";
import { allOnPage, button, el, onPage, refill } from "./dom.js";
import { keepOne, takeBackOne } from "./one_change.js";
import { NoSignal, Refusal } from "./server.js";
import { say } from "./texts.js";

const STEP_MM = 10;
const FROM_PX = 6;
const { house } = onPage("main").dataset;
const told = document.getElementById("placed");
const fail = (error) => {
  if (!(error instanceof Refusal || error instanceof NoSignal)) throw error;
  refill(told, el("span", { class: "problems" }, error instanceof Refusal ? error.message : say("sent.no_signal")));
};

async function place(mark, was, value) {
  try {
    const { id } = await keepOne(house, `/openings/${mark}/along_mm`, was, value);
    if (id === null) return;
    sessionStorage.setItem(`placed ${house}`, JSON.stringify({ id, mark, mm: value }));
    afresh();
  } catch (error) {
    fail(error);
  }
}

const alongOf = (hole) => (hole.dataset.along === "" ? null : Number(hole.dataset.along));

for (const hole of allOnPage(".faces [data-drag]")) {
  const face = hole.ownerSVGElement;
  let from = null;
  let to = null;
  hole.addEventListener("dragstart", (event) => event.preventDefault());
  hole.addEventListener("pointerdown", (event) => {
    from = event.clientX;
    to = null;
  });
  hole.addEventListener("pointermove", (event) => {
    if (from === null || (to === null && Math.abs(event.clientX - from) < FROM_PX)) return;
    hole.setPointerCapture(event.pointerId);
    const drawn = Number(hole.dataset.x);
    const far = Number(hole.dataset.room);
    const mm = drawn + (1000 * (event.clientX - from)) / face.getScreenCTM().a;
    to = Math.max(0, Math.min(far, Math.round(mm / STEP_MM) * STEP_MM));
    hole.setAttribute("transform", `translate(${(to - drawn) / 1000} 0)`);
    refill(told, say("along.at", { mark: hole.dataset.drag, mm: to }));
  });
  const end = (event) => {
    if (to !== null && event.type === "pointerup") place(hole.dataset.drag, alongOf(hole), to);
    else hole.removeAttribute("transform");
    from = null;
  };
  hole.addEventListener("pointerup", end);
  hole.addEventListener("pointercancel", end);
  hole.addEventListener("click", (event) => to !== null && event.preventDefault());
}

for (const input of allOnPage("[data-along-of]")) {
  input.addEventListener("change", () => {
    const was = input.defaultValue === "" ? null : Number(input.defaultValue);
    if (input.validity.valid) place(input.dataset.alongOf, was, input.value === "" ? null : Number(input.value));
    else refill(told, el("span", { class: "problems" }, say("along.no_place", { most: input.max })));
  });
}

const last = JSON.parse(sessionStorage.getItem(`placed ${house}`) ?? "null");
sessionStorage.removeItem(`placed ${house}`);
if (last) {
  const back = () => takeBackOne(house, last.id).then(() => afresh()).catch(fail);
  refill(told, last.mm === null ? say("along.free", last) : say("along.kept", last), " ", button(say("drawing.take_back"), back));
}
