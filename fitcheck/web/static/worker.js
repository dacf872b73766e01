// Serves the bench when the network drops: pages come from the network, and where there is none
// from what was kept. Answers are never kept here; the page itself says how old its answer is.
"use strict";

const KEPT = "bench-2";
const START = "/bench";
// The bench of each part, and the help; which parts there are, the bench itself says.
const isPage = (path) => path === START || path === "/help" || /^\/bench\/[a-z]+$/.test(path);
const FILES = ["/static/top.css", "/static/page.css", "/static/page.js", "/static/bench.js", "/static/mark.svg"];

async function fetched(path) {
  const answer = await fetch(path, { credentials: "same-origin" });
  // A page that sends one on to the passphrase is no page to keep.
  if (!answer.ok || answer.redirected) return null;
  return answer;
}

async function keepAll() {
  const cache = await caches.open(KEPT);
  const keep = async (path) => {
    const answer = await fetched(path).catch(() => null);
    if (!answer) return "";
    const text = answer.clone().text();
    await cache.put(path, answer);
    return text;
  };
  const bench = await keep(START);
  const parts = [...bench.matchAll(/href="(\/bench\/[a-z]+)"/g)].map((found) => found[1]);
  await Promise.all([...new Set([...parts, "/help", ...FILES])].map(keep));
}

self.addEventListener("install", (event) => {
  event.waitUntil(keepAll().then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  const old = (names) => Promise.all(names.filter((name) => name !== KEPT).map((name) => caches.delete(name)));
  event.waitUntil(caches.keys().then(old).then(() => self.clients.claim()));
});

async function page(request, path) {
  const cache = await caches.open(KEPT);
  try {
    const answer = await fetch(request);
    if (request.method === "GET" && answer.ok && !answer.redirected && isPage(path)) {
      await cache.put(path, answer.clone());
    }
    return answer;
  } catch (error) {
    const kept = (await cache.match(path)) || (await cache.match(START));
    if (kept) return kept;
    throw error;
  }
}

async function file(request, path) {
  const cache = await caches.open(KEPT);
  try {
    const answer = await fetch(request);
    if (answer.ok && FILES.includes(path)) await cache.put(path, answer.clone());
    return answer;
  } catch (error) {
    const kept = await cache.match(path);
    if (kept) return kept;
    throw error;
  }
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) return;
  if (event.request.mode === "navigate") event.respondWith(page(event.request, url.pathname));
  else if (event.request.method === "GET" && url.pathname.startsWith("/static/")) {
    event.respondWith(file(event.request, url.pathname));
  }
});
