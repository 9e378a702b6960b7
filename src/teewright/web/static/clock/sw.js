// Answers for the server where there is no signal: the page of the clock and what belongs to it,
// as they were kept. Data are never kept here; those the page keeps itself.
// The server writes `VERSION` and `KEPT` before this.
/* global VERSION, KEPT */

const CACHE = `teewright-clock-${VERSION}`;
const SHELL = KEPT[0];

self.addEventListener("install", (event) => {
  event.waitUntil(keep().then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(clear().then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== location.origin) return;
  if (request.mode === "navigate") {
    const ours = pathname === SHELL || pathname.startsWith(`${SHELL}/`);
    if (ours) event.respondWith(kept(SHELL, request));
  } else if (KEPT.includes(pathname)) {
    event.respondWith(kept(pathname, request));
  }
});

/** Everything or nothing: half a page would not run. */
async function keep() {
  const cache = await caches.open(CACHE);
  await Promise.all(
    KEPT.map(async (path) => {
      const answer = await fetch(path, { cache: "no-store", credentials: "same-origin" });
      if (!answer.ok || answer.redirected) throw new Error(`${path}: ${answer.status}`);
      await cache.put(path, answer);
    }),
  );
}

async function clear() {
  for (const name of await caches.keys()) {
    if (name.startsWith("teewright-clock-") && name !== CACHE) await caches.delete(name);
  }
}

async function kept(path, request) {
  const found = await (await caches.open(CACHE)).match(path);
  return found ?? fetch(request);
}
