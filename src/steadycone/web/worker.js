// Answers for the yard when it can't be reached: the emergency list, and the stations this person looked at. Nothing else of anybody's is kept.
// @ts-check
/// <reference lib="webworker" />
const VERSION = "@VERSION@";
const KEPT = ["@KEPT@"];
const FILES = `files ${VERSION}`;
const PAGES = "pages"; // of who is signed in; gone when they sign out
const PATIENCE = 3000; // ms that a page may take before the one kept is shown
const ALWAYS = ["/emergency", "/offline"];
const STATION = /^\/stations\/[a-z0-9-]+(\/round)?$/;

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

worker.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(FILES)
      .then((kept) => kept.addAll([...KEPT, ...ALWAYS.map((url) => new Request(url, { cache: "reload", credentials: "omit" })), "/favicon.ico"]))
      .then(() => worker.skipWaiting()),
  );
});

worker.addEventListener("activate", (event) => {
  const old = (/** @type {string} */ name) => name.startsWith("files ") && name !== FILES;
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name))))
      .then(() => worker.clients.claim()),
  );
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== worker.location.origin) return;
  if (request.method === "POST" && /^\/(sign-out|sign-in)$/.test(url.pathname)) {
    event.respondWith(fetch(request).finally(() => caches.delete(PAGES)));
  } else if (request.method !== "GET") {
    return;
  } else if (url.pathname.startsWith("/static/") || url.pathname === "/favicon.ico") {
    event.respondWith(caches.match(request).then((kept) => kept ?? fetch(request)));
  } else if (request.mode === "navigate") {
    event.respondWith(page(event, url));
  }
});

/**
 * The yard's own answer; after three seconds, or without a connection, the page that was kept.
 * @param {FetchEvent} event @param {URL} url @returns {Promise<Response>}
 */
async function page(event, url) {
  const known = ALWAYS.includes(url.pathname) ? await (await caches.open(FILES)).match(url.pathname) : STATION.test(url.pathname) ? await kept(url) : undefined;
  try {
    const found = await (known ? inTime(fetch(event.request)) : fetch(event.request));
    if (STATION.test(url.pathname) && found.ok && !found.redirected) event.waitUntil(keep(url.pathname, found.clone()));
    if (url.pathname === "/emergency" && found.ok && !url.search) event.waitUntil(renew(url.pathname, found.clone()));
    return found;
  } catch {
    return known ?? (await (await caches.open(FILES)).match("/offline")) ?? Response.error();
  }
}

/** @param {URL} url */
async function kept(url) {
  return (await caches.open(PAGES)).match(url.pathname);
}

/** @param {Promise<Response>} asked @returns {Promise<Response>} */
function inTime(asked) {
  return Promise.race([asked, new Promise((_, reject) => setTimeout(() => reject(new Error("too slow")), PATIENCE))]);
}

/** @param {string} path @param {Response} found */
async function renew(path, found) {
  await (await caches.open(FILES)).put(path, found);
}

/** Keep a station's page, and its round with it, so that a round can be begun without a connection. @param {string} path @param {Response} found */
async function keep(path, found) {
  const pages = await caches.open(PAGES);
  await pages.put(path, found);
  if (path.endsWith("/round")) return;
  const round = await fetch(`${path}/round`, { credentials: "same-origin", redirect: "error" });
  if (round.ok) await pages.put(`${path}/round`, round);
}
