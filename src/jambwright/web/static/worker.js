// Keeps the app on the phone, so that it opens with no signal. MARK and KEPT are put on top by the server.
// Data is not kept here: houses, changes and photos are in the phone's own database.

const NAME = `jambwright-${MARK}`;
const PAGE = "/site";

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(NAME).then((cache) => cache.addAll([PAGE, ...KEPT])).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches.keys()
      .then((names) => Promise.all(names.filter((name) => name !== NAME).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  if (event.request.mode === "navigate" && (url.pathname === PAGE || url.pathname.startsWith(`${PAGE}/`))) {
    event.respondWith(fetch(event.request).catch(() => caches.match(PAGE)));
  } else if (url.pathname.startsWith("/static/")) {
    event.respondWith(caches.match(event.request).then((kept) => kept ?? fetch(event.request)));
  }
});
