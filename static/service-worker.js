// Keeps the app's own files, which carry a digest of their content in their address, and says so when the server is away.
// No answer is ever kept: a page comes from the server or not at all. The server writes KEPT (addresses), AWAY (the page
// for a server that is away) and EDITION (of both) above this line.
addEventListener("install", (event) => {
  const keep = async () => {
    const cache = await caches.open(EDITION);
    await cache.addAll([...KEPT, AWAY]);
    await skipWaiting();
  };
  event.waitUntil(keep());
});

addEventListener("activate", (event) => {
  const clear = async () => {
    const names = await caches.keys();
    await Promise.all(names.filter((name) => name !== EDITION).map((name) => caches.delete(name)));
  };
  event.waitUntil(clear());
});

const kept = async (request) => (await caches.match(request)) ?? fetch(request);

const asked = async (request) => {
  try {
    return await fetch(request);
  } catch {
    const page = await caches.match(AWAY);
    if (!page) return Response.error();
    return new Response(page.body, { status: 503, statusText: "Server away", headers: page.headers });
  }
};

addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname, search } = new URL(request.url);
  if (request.method !== "GET" || origin !== location.origin) return;
  if (KEPT.includes(pathname + search)) event.respondWith(kept(request));
  else if (request.mode === "navigate") event.respondWith(asked(request));
});
