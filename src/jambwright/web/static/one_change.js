// One change from the desk, kept at once or refused: nobody at a desk is asked later whose answer holds.

import { ask, Refusal } from "./server.js";
import { get, same } from "./tree.js";
import { say } from "./texts.js";

const changedSince = () => new Refusal(412, [{ field: "", say: say("desk.changed_since"), kind: "bad" }]);

// Its number, to be taken back by (null where it was so already), and the house as it now is.
export async function keepOne(house, path, was, value) {
  const found = await ask("GET", `/api/houses/${house}`);
  if (!same(get(found.survey, path), was)) throw changedSince();
  const id = Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
  const change = { id, path, was, value, at: new Date().toISOString() };
  const answer = await ask("POST", `/api/houses/${house}/changes`, { device: "desk", changes: [change] });
  const [{ outcome, problems }] = answer.outcomes;
  if (outcome === "refused") throw new Refusal(422, problems);
  if (outcome === "clash") throw changedSince();
  return { id: outcome === "taken" ? id : null, house: answer.house };
}

export async function takeBackOne(house, id) {
  const answer = await ask("POST", `/api/houses/${house}/changes/${id}/undo`);
  const [{ outcome, problems }] = answer.outcomes;
  if (outcome !== "taken") throw new Refusal(422, problems);
  return answer.house;
}
