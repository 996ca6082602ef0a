// The service worker: pages open without a signal as they last were. What is asked goes to the garden's server first; only when that doesn't
// answer does the device's own copy, marked as kept. Nothing that is written goes through here: entries wait in IndexedDB (keep_idb.ts).
//
// An update can't be stuck: the pages' document and this script come from the network whenever there is one, their parts are named by
// version, and a new worker takes over at once.
import { isShown, keptCopy, named, trimmed } from "./rules";

declare const __PAGES__: string;
declare const self: ServiceWorkerGlobalScope;

const shell = `leafturn-shell-${__PAGES__}`;
const answers = "leafturn-answers";
const parts = [`/app.js?v=${__PAGES__}`, `/app.css?v=${__PAGES__}`, "/icon.svg", "/manifest.webmanifest"];
const documentName = "/";
const documentPatience = 4_000;
const answerPatience = 12_000;
const mostAnswers = 120;

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(shell);
    // Past the browser's own cache: what is kept under this version's name is this version.
    await cache.addAll(parts.map((name) => new Request(name, { cache: "reload" })));
    // A device that isn't paired yet is led elsewhere: the document is kept when it is first shown.
    const shown = await fetch(documentName, { cache: "reload" }).catch(() => null);
    if (shown?.ok === true && !shown.redirected) await cache.put(documentName, shown);
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("leafturn-shell-") && name !== shell) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

function within(ms: number, request: Request): Promise<Response> {
  return new Promise((done, fail) => {
    const timer = setTimeout(() => fail(new Error("no answer in time")), ms);
    fetch(request).then(done, fail).finally(() => clearTimeout(timer));
  });
}

async function page(request: Request): Promise<Response> {
  try {
    const response = await within(documentPatience, request);
    // The pages are one document at every address.
    if (response.ok && !response.redirected && isShown(new URL(request.url).pathname)) await (await caches.open(shell)).put(documentName, response.clone());
    return response;
  } catch {
    return (await caches.match(documentName)) ?? Response.error();
  }
}

async function part(request: Request): Promise<Response> {
  return (await caches.match(request)) ?? await fetch(request);
}

async function answer(request: Request): Promise<Response> {
  const cache = await caches.open(answers);
  const asked = fetch(request).then(async (response) => {
    if (response.ok) {
      await cache.delete(request);
      await cache.put(request, response.clone());
      for (const old of trimmed(await cache.keys(), mostAnswers)) await cache.delete(old);
    }
    return response;
  });
  try {
    return await Promise.race([asked, new Promise<never>((_, fail) => setTimeout(() => fail(new Error("no answer in time")), answerPatience))]);
  } catch {
    const kept = await cache.match(request);
    // Nothing kept: a slow answer is still better than none.
    return kept === undefined ? await asked : keptCopy(kept);
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (request.mode === "navigate") {
    if (isShown(url.pathname)) event.respondWith(page(request));
  } else if (named(url.pathname) === "part") {
    event.respondWith(part(request));
  } else if (named(url.pathname) === "answer") {
    event.respondWith(answer(request));
  }
});
