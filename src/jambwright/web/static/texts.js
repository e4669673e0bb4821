// Every text a person reads comes from texts.json; values go in where it says {name}.

const texts = await (await fetch(new URL("./texts.json", import.meta.url))).json();

export function say(key, values = {}) {
  const counted = values.n === 1 && `${key}.one` in texts ? `${key}.one` : key;
  if (!(counted in texts)) throw new Error(`no text ${key}`);
  return texts[counted].replace(/\{(\w+)\}/g, (_, name) => String(values[name]));
}
