// What the phone keeps: houses as last seen, changes and photos not sent yet, and figures half typed.
// Everything typed is written here before anything else happens with it.

const NAME = "jambwright";
const STORES = { houses: "id", queue: "n", photos: "id", drafts: "key", facts: "key" };

let opened;

function open() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      for (const [store, keyPath] of Object.entries(STORES)) {
        asked.result.createObjectStore(store, { keyPath, autoIncrement: store === "queue" });
      }
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

async function inStore(store, mode, work) {
  const transaction = (await open()).transaction(store, mode, { durability: "strict" });
  const request = work(transaction.objectStore(store));
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve(request.result);
    transaction.onabort = transaction.onerror = () => reject(transaction.error);
  });
}

export const get = (store, key) => inStore(store, "readonly", (s) => s.get(key));
export const all = (store) => inStore(store, "readonly", (s) => s.getAll());
export const put = (store, value) => inStore(store, "readwrite", (s) => s.put(value));
export const remove = (store, key) => inStore(store, "readwrite", (s) => s.delete(key));

export async function fact(key, value) {
  if (value !== undefined) return put("facts", { key, value });
  return (await get("facts", key))?.value;
}

export function newId(bytes = 16) {
  const random = crypto.getRandomValues(new Uint8Array(bytes));
  return Array.from(random, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

export async function device() {
  const known = await fact("device");
  if (known) return known;
  const made = newId();
  await fact("device", made);
  return made;
}

// Ask the browser not to throw our data away when space is short.
export async function holdOn() {
  if (navigator.storage?.persist) await navigator.storage.persist();
}
