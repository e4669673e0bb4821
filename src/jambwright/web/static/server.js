// Requests to the server; every refusal comes back as {status, problems}.

import { say } from "./texts.js";

let token = "";

export class Refusal extends Error {
  constructor(status, problems) {
    super(problems.map((problem) => problem.say).join(" "));
    this.status = status;
    this.problems = problems;
  }
}

export class NoSignal extends Error {}

export async function me() {
  const found = await ask("GET", "/api/me");
  token = found.token;
  return found;
}

export async function ask(method, path, body, headers = {}) {
  if (method !== "GET" && !token) await me();
  let answer;
  try {
    answer = await fetch(path, {
      method,
      headers: { ...(method === "GET" ? {} : { "X-Jambwright-Token": token }), ...kind(body), ...headers },
      body: typeof body === "object" && !(body instanceof FormData) ? JSON.stringify(body) : body,
    });
  } catch {
    throw new NoSignal();
  }
  if (answer.status === 502 || answer.status === 503 || answer.status === 504) throw new NoSignal();
  if (answer.status === 304 || answer.status === 204) return null;
  const type = answer.headers.get("Content-Type") ?? "";
  const found = type.includes("json") ? await answer.json() : await answer.text();
  if (answer.ok) return found;
  if (answer.status === 403) token = "";
  throw new Refusal(answer.status, found.problems ?? [{ field: "", say: answer.status < 500 ? `${answer.status}` : say("refused.broken"), kind: "bad" }]);
}

/** @returns {Record<string, string>} */
function kind(body) {
  if (body === undefined || body instanceof FormData) return {};
  return { "Content-Type": typeof body === "string" ? "application/yaml" : "application/json" };
}
