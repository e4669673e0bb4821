// Fields of a survey by path, as the store reaches them: /openings/W1/outside/width/bottom.

const NAMED_LISTS = { openings: "id", "house/rooms": "name", tools: "name", "defaults/systems": "name" };

export const split = (path) =>
  path.slice(1).split("/").map((key) => key.replaceAll("~1", "/").replaceAll("~0", "~"));

export const join = (...keys) =>
  keys.map((key) => "/" + key.replaceAll("~", "~0").replaceAll("/", "~1")).join("");

const nameField = (keys) => NAMED_LISTS[keys.join("/")];

function step(tree, at, key) {
  if (Array.isArray(tree) && nameField(at)) {
    return tree.find((item) => item[nameField(at)] === key);
  }
  return tree && typeof tree === "object" ? tree[key] : undefined;
}

export function get(tree, path) {
  const keys = split(path);
  let found = tree;
  keys.forEach((key, depth) => {
    found = step(found, keys.slice(0, depth), key);
  });
  return found ?? null;
}

// The tree with the value at the path; the old tree stays as it was.
export function put(tree, path, value) {
  return putAt(tree, [], split(path), value);
}

function putAt(tree, at, keys, value) {
  const [key, ...rest] = keys;
  const here = [...at, key];
  if (rest.length) {
    const empty = nameField(here) ? [] : {};
    value = putAt(step(tree, at, key) ?? empty, here, rest, value);
  }
  if (Array.isArray(tree)) {
    const field = nameField(at);
    const others = tree.filter((item) => item[field] !== key);
    if (value === null) return others;
    return others.length < tree.length
      ? tree.map((item) => (item[field] === key ? value : item))
      : [...tree, value];
  }
  const changed = { ...tree, [key]: value };
  if (value === null) delete changed[key];
  return changed;
}

// The order of a group's fields says nothing.
const inOrder = (_, value) => (value && typeof value === "object" && !Array.isArray(value)
  ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1))) : value);

export const same = (one, other) => JSON.stringify(one ?? null, inOrder) === JSON.stringify(other ?? null, inOrder);
