// The service worker: once the site was visited from a server, it works without one. It
// is put behind the list of files and their mark. Everything is asked of the server while
// there is one, so that a newer site shows at once, and else taken from what is kept.
"use strict";

self.addEventListener("install", (e) => e.waitUntil((async () => {
  const cache = await caches.open(kept);
  await cache.addAll(files);
  await self.skipWaiting();
})()));

self.addEventListener("activate", (e) => e.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith("bobweight-") && name !== kept) await caches.delete(name);
  await self.clients.claim();
})()));

self.addEventListener("fetch", (e) => {
  if (e.request.method !== "GET" || !e.request.url.startsWith(self.registration.scope)) return;
  e.respondWith((async () => {
    try {
      return await fetch(e.request);
    } catch (problem) {
      const url = new URL(e.request.url);
      if (url.pathname.endsWith("/")) url.pathname += "index.html";
      const here = await (await caches.open(kept)).match(url, { ignoreSearch: true });
      if (here) return here;
      throw problem;
    }
  })());
});
