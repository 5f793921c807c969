// The worker of a preview: it takes the place of one that kept an edition here, drops what that one kept, and goes.

const SCOPE = self.registration.scope;

async function retire() {
  await Promise.all(["files", "records", "spare-records"].map((name) => caches.delete(`${SCOPE}${name}`)));
  const pages = await self.clients.matchAll({ type: "window" });
  await self.registration.unregister();
  for (const page of pages) await page.navigate(page.url); // they were showing the kept edition
}

self.addEventListener("install", () => void self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(retire()));
